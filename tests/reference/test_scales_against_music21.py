"""Scales and set classes against music21, and against Forte's numbers.

Sources: music21 (BSD), `scale` and `chord.Chord.forteClass`, version 10; the numbers are those of
Allen Forte, *The Structure of Atonal Music* (1973), from memory, and for the altered scale also in
Wikipedia contributors, *Altered scale*, undated.
"""

import re

import pytest
from music21 import chord, scale
from outside import as_music21, from_music21
from together import together

from theorykit import SCALES, Chord, Note, Scale, colour
from theorykit.notes.scales import ScaleRow, scale_row

ROOTS = "C C# Db D Eb E F F# Gb G Ab A Bb B".split()
PARENTS = {
    "major": scale.MajorScale,
    "melodic minor": scale.MelodicMinorScale,
    "harmonic minor": scale.HarmonicMinorScale,
}
ORDINALS = {"2nd": 1, "3rd": 2, "4th": 3, "5th": 4, "6th": 5, "7th": 6}

FORTE = {
    "major": "7-35", "dorian": "7-35", "phrygian": "7-35", "lydian": "7-35", "mixolydian": "7-35",
    "natural minor": "7-35", "locrian": "7-35",
    "melodic minor": "7-34", "dorian b2": "7-34", "lydian augmented": "7-34",
    "lydian dominant": "7-34", "mixolydian b6": "7-34", "locrian #2": "7-34", "altered": "7-34",
    "harmonic minor": "7-32", "locrian natural 6": "7-32", "ionian #5": "7-32", "dorian #4": "7-32",
    "phrygian dominant": "7-32", "lydian #2": "7-32", "altered bb7": "7-32",
    "whole-half diminished": "8-28", "half-whole diminished": "8-28", "whole tone": "6-35",
    "major pentatonic": "5-35", "minor pentatonic": "5-35",
    "blues": "6-47", "bebop dominant": "8-23",
}  # fmt: skip
CHORDS = {"7": "4-27B", "dim7": "4-28", "7b9": "5-31B", "m7": "4-26", "maj7": "4-20", "aug": "3-12"}


def forte(notes: tuple[Note, ...]) -> str:
    """The set class of some notes, as music21 counts it."""
    return chord.Chord([as_music21(str(note)) for note in notes]).forteClass


@together("root", ROOTS)
@together("name", PARENTS)
def test_parent_scales_are_spelled_alike(name: str, root: str):
    theirs = PARENTS[name](as_music21(root)).getPitches(direction=scale.Direction.ASCENDING)
    assert list(map(str, Scale.parse(f"{root} {name}").notes)) == from_music21(theirs)[:7]


# music21 has no pentatonic scale; see below for the mode of ours.
MODES = [row for row in SCALES if row.mode_of and "pentatonic" not in row.name]


@together("row", MODES, ids=lambda row: row.name)
def test_a_mode_is_its_parent_begun_elsewhere(row: ScaleRow):
    parent, place = re.fullmatch(r"(.*), (\w+) mode", row.mode_of).groups()  # type: ignore[union-attr]
    for root in ("C", "Ab", "E", "B"):
        found = PARENTS[parent](as_music21(root)).getPitches(direction=scale.Direction.ASCENDING)
        notes = from_music21(found)[:7]
        turned = notes[ORDINALS[place] :] + notes[: ORDINALS[place]]
        assert list(map(str, Scale(Note.parse(turned[0]), row).notes)) == turned


def test_the_minor_pentatonic_is_the_major_one_begun_on_its_sixth():
    a, c = Scale.parse("A minor pentatonic").notes, Scale.parse("C major pentatonic").notes
    assert a == (*c[4:], *c[:4])


@together("root", ROOTS)
def test_symmetric_scales_sound_alike(root: str):
    """music21's octatonic scale is the whole-half one; its mode 1 is half-whole."""
    theirs = {
        "whole-half diminished": scale.OctatonicScale(as_music21(root)),
        "half-whole diminished": scale.OctatonicScale(as_music21(root), 1),
        "whole tone": scale.WholeToneScale(as_music21(root)),
    }
    for name, found in theirs.items():
        ours = {note.semitone for note in Scale.parse(f"{root} {name}").notes}
        assert ours == {pitch.pitchClass for pitch in found.getPitches()}


@together("name", FORTE)
def test_a_scale_belongs_to_the_set_class_that_forte_numbered(name: str):
    found = forte(Scale(Note("C"), scale_row(name)).notes)
    assert found.rstrip("AB") == FORTE[name]


def test_every_scale_has_its_number_checked():
    assert set(FORTE) == {row.name for row in SCALES}


@pytest.mark.parametrize("kind", CHORDS)
def test_a_chord_belongs_to_the_set_class_that_forte_numbered(kind: str):
    for root in ("C", "Gb", "A"):
        assert forte(Chord.parse(root + kind).notes) == CHORDS[kind]


@pytest.mark.parametrize(
    ("name", "number"),
    [
        ("altered", "7-34"),
        ("lydian dominant", "7-34"),
        ("half-whole diminished", "8-28"),
        ("whole tone", "6-35"),
        ("b9", "4-28"),
        ("tritone substitute", "4-27"),
        ("its related ii", "4-20"),
        ("suspended b9", "4-27"),
        ("b9 13", "3-11"),
    ],
)
def test_a_colour_belongs_to_the_set_class_that_forte_numbered(name: str, number: str):
    assert forte(colour(name).notes("G7")).rstrip("AB") == number
