"""Chord tones of sixty kinds on seventeen roots, against music21's chord symbols.

Source: music21 (BSD), `harmony.ChordSymbol`, version 10. Some of its figures are wrong or missing
(it drops the alteration of G13b9, and cannot read maj9, 6/9 or 9sus4), so those kinds are built
from the parts that it does read right: `9add13` for 13, `M9` for maj9, `6add9` for 6/9.
"""

import pytest
from music21 import harmony
from outside import as_music21, from_music21
from sweeps import some_and_all

from theorykit import Chord

ROOTS = "C C# Db D D# Eb E F F# Gb G G# Ab A A# Bb B".split()

# Our symbol, and the figure that means the same in music21.
FIGURES = {
    "": "", "m": "m", "dim": "dim", "aug": "+", "sus4": "sus4", "sus2": "sus2", "5": "power",
    "add9": "add9", "madd9": "madd9",
    "6": "6", "6/9": "6add9", "m6": "m6", "m6/9": "m6add9",
    "maj7": "maj7", "maj9": "M9", "maj11": "M11", "maj13": "M9add13",
    "maj7#5": "maj7#5", "maj7#11": "maj7#11", "maj9#11": "M9add#11",
    "m7": "m7", "m9": "m9", "m11": "m11", "m13": "m9add13", "m7add11": "m7add11",
    "m(maj7)": "mM7", "m(maj9)": "mM9",
    "m7b5": "ø7", "m9b5": "ø7add9", "m11b5": "ø7add9add11", "dim7": "o7",
    "7": "7", "9": "9", "11": "11", "13": "9add13", "7add13": "7add13",
    "7b5": "7b5", "7#5": "+7", "9#5": "+9",
    "7b9": "7b9", "7#9": "7#9", "7#11": "7#11", "7b13": "7b13", "9#11": "9#11", "9b13": "9addb13",
    "7b9b13": "7b9b13", "7#5#9": "7#9#5", "7#5b9": "7#5addb9", "7b9#11": "7b9#11",
    "7b9#9": "7addb9add#9", "7#9b13": "7add#9addb13",
    "13b9": "7addb9add13", "13#9": "7add#9add13", "13#11": "9add#11add13",
    "13b9#11": "7addb9add#11add13",
    "7sus4": "7sus4", "9sus4": "7susadd9", "13sus4": "7susadd9add13", "7sus4b9": "7susaddb9",
    "13sus4b9": "7susaddb9add13",
}  # fmt: skip


def test_there_are_at_least_forty_kinds_and_seventeen_roots():
    assert len(FIGURES) >= 40
    assert len(set(ROOTS)) == 17


@pytest.mark.parametrize("kind", FIGURES, ids=lambda kind: kind or "major")
@pytest.mark.parametrize("roots", some_and_all("C Db F# Bb".split(), ROOTS))
def test_the_notes_of_a_kind_are_spelled_alike_on_every_root(kind: str, roots: list[str]):
    for root in roots:
        ours = Chord.parse(root + kind)
        theirs = harmony.ChordSymbol(as_music21(root) + FIGURES[kind])
        assert sorted(map(str, ours.notes)) == sorted(from_music21(theirs.pitches)), str(ours)


def test_the_altered_dominant_sounds_alike_on_every_root():
    """music21 has no figure for it; built from parts its b5 stands where ours has the #11."""
    for root in ROOTS:
        theirs = harmony.ChordSymbol(as_music21(root) + "7alterb5addb9add#9addb13")
        ours = Chord.parse(root + "7alt")
        assert {note.semitone for note in ours.notes} == set(theirs.pitchClasses)
