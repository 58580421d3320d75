"""What is said of substitutes: the case that puzzles, and sentences against their numbers."""

import re

import pytest
import spoken
from hypothesis import given
from hypothesis import strategies as st

from theorykit import Chord, Substitute, substitutes
from theorykit.harmony.substitutes import substitute

HALF_STEP_BELOW = "major seventh chord a half step below I"

PUZZLE = {
    ("G7", "C"): (
        "Its notes B D♯ F♯ A♯ are 3 ♭13 7 ♯9 of G7.",
        "The same notes are ♭3 5 ♭7 9 of A♭m7, the related ii of the tritone substitute D♭7: Bmaj7 "
        "is A♭m7 with its 9 and without its root.",
        "The natural 7 of G7, F♯, is the 11 of D♭7, and falls a half step to its 3rd, F, which is "
        "the ♭7 of G7.",
        "Over D♭ the whole chord is ♭7 9 11 13: the suspended sound of D♭7.",
    ),
    ("Ab7", "Dbm"): (
        "Its notes C E G B are 3 ♭13 7 ♯9 of A♭7.",
        "The same notes are ♭3 5 ♭7 9 of Am7, the related ii of the tritone substitute D7: Cmaj7 "
        "is Am7 with its 9 and without its root.",
        "The natural 7 of A♭7, G, is the 11 of D7, and falls a half step to its 3rd, G♭, which is "
        "the ♭7 of A♭7.",
        "Over D the whole chord is ♭7 9 11 13: the suspended sound of D7.",
    ),
    ("C#7", "F#"): (
        "Its notes F A C E are 3 ♭13 7 ♯9 of C♯7.",
        "The same notes are ♭3 5 ♭7 9 of Dm7, the related ii of the tritone substitute G7: Fmaj7 "
        "is Dm7 with its 9 and without its root.",
        "The natural 7 of C♯7, B♯, is the 11 of G7, and falls a half step to its 3rd, B, which is "
        "the ♭7 of C♯7.",
        "Over G the whole chord is ♭7 9 11 13: the suspended sound of G7.",
    ),
}


@pytest.mark.parametrize(("chords", "expected"), PUZZLE.items(), ids=str)
def test_the_case_that_puzzles_students_is_explained_from_both_sides(chords, expected):
    found = substitute(HALF_STEP_BELOW, *chords)
    assert found.sections[0][1][1:] == expected


# Voice leading from memory of handbooks: the 7 of ii falls to the 3 of V and the 7 of V to the 3 of
# I (Coker, Elements of the Jazz Language; Ligon, Connecting Chords with Linear Harmony); all four
# notes of the tritone substitute move by half steps into a triad (common practice).
@pytest.mark.parametrize(
    ("name", "chord", "told"),
    [
        ("related ii", "Dm7", "C falls a half step to B, the 3rd of G7"),
        ("related ii", "G7", "F falls a half step to E, the 3rd of I"),
        ("tritone substitute", "Db7", "C♭ rises a half step to C, the root of I"),
        ("tritone substitute", "Db7", "A♭ falls a half step to G, the 5th of I"),
        ("backdoor dominant", "Bb7", "A♭ falls a half step to G, the 5th of I"),
        ("suspended version", "G9sus4", "C stays as the root of I"),
    ],
)
def test_voices_lead_as_handbooks_teach(name: str, chord: str, told: str):
    found = substitute(name, "G7", "C")
    line = next(t for t in found.words if t.startswith(f"{Chord.parse(chord).pretty} to "))
    assert told in line


DOMINANTS = "7 9 13 7b9 7#9 7alt 9#11 13b9 7b9b13 7sus4 9sus4 7sus4b9 7#5".split()
TARGETS = ["", *"6 6/9 maj7 m m6 m(maj7) m7 7 m7b5 sus4 maj9".split()]
roots = st.sampled_from("C Db D Eb E F F# G Ab A Bb B C# Gb".split())
dominants = st.builds(lambda root, kind: root + kind, roots, st.sampled_from(DOMINANTS))
targets = st.builds(lambda root, kind: root + kind, roots, st.sampled_from(TARGETS))
homes = st.sampled_from([None, "major", "minor"])


@given(dominants, st.one_of(targets, homes))
def test_no_explanation_contradicts_its_own_numbers(dominant: str, target: str | None):
    for found in substitutes(dominant, target):
        sections = dict(found.sections)
        called = {chord.pretty: chord for chord in (*found.chords, found.target, found.dominant)}
        called["I"] = found.target
        _check_ways(found, sections["where it goes"], called)
        _check_shared(found, sections["what it shares"])
        for text in sections["what it is"]:
            _check_brings(found, text)
        for text in sections["the bass"]:
            spoken.check_bass(text)
        for text in sections[f"over {found.dominant.pretty}"]:
            spoken.check_over(text)
        for text in sections["what rubs"]:
            list(spoken.claimed_moves(text.replace(": it ", f": {_named(text)} "), called))


def _check_brings(found: Substitute, text: str) -> None:
    """What each dominant of a family is said to bring over the original root."""
    root = found.dominant.root.semitone
    for name, said in re.findall(r"([A-G][♭♯]?7) brings ([♭♯\d ]+\d)", text):
        places = [(note.semitone - root) % 12 for note in Chord.parse(name).notes]
        assert [spoken.degree(word).semitone for word in said.split()] == places, text


def _named(text: str) -> str:
    """The note that an excuse speaks of: "It may pass as G♭, ..."."""
    found = re.match(rf"It may pass as ({spoken.NOTE}),", text)
    return found[1] if found else ""


def _check_ways(found: Substitute, texts: tuple[str, ...], called: dict[str, Chord]) -> None:
    """Every chord tells all its moves and their sum; the last line compares with the original."""
    told = [text for text in texts if "to compare" not in text]
    assert len(told) == len(found.chords)
    for text, one in zip(told, found.readings, strict=True):
        sizes = list(spoken.claimed_moves(text, called))
        assert len(sizes) == len(one.chord.notes)
        spoken.check_sum(text, sizes)
    for text in set(texts) - set(told):
        moves = found.plain_resolution.moves
        spoken.check_sum(text, [move.semitones for move in moves])


def _check_shared(found: Substitute, texts: tuple[str, ...]) -> None:
    """The notes said to be in common are just those, and the tritone is where it is said to be."""
    original = {note.semitone for note in found.dominant.notes}
    for text in texts:
        match = re.match(r"(\S+) and (\S+) have (\w+) notes? in common(?:: (.*))?\.", text)
        if not match:
            continue
        chord = Chord.parse(match[1])
        common = {note.semitone for note in chord.notes} & original
        listed = re.sub(r" \(written [^)]*\)", "", match[4] or "")
        said = [spoken.note(name) for name in re.findall(spoken.NOTE, listed)]
        assert sorted(said) == sorted(common)
        assert spoken.count(match[3]) == len(common)
    kept = [text for text in texts if text.startswith("The tritone is kept")]
    assert bool(kept) == found.keeps_tritone
    for text in kept:
        pair, places = re.search(r"kept: (.*), the .*, are (.*)\.", text).groups()
        chord = Chord.parse(places.rsplit(" of ", 1)[1])
        sounds = [spoken.note(name) for name in re.findall(spoken.NOTE, pair)]
        said = re.findall(rf"the ({spoken.DEGREE})", places)
        assert [spoken.tone(chord, spoken.degree(text)) for text in said] == sounds
