"""Scales: the table, and spelled examples. Checks against music21 are in tests/reference."""

import pytest
from plain import names
from together import together

from theorykit import SCALES, Note, Scale, TheoryError
from theorykit.notes.scales import ScaleRow, scale_row

# Written out by hand: every scale of the table once on C or on the root where handbooks print it.
SPELLED = {
    "C major": "C D E F G A B",
    "D dorian": "D E F G A B C",
    "E phrygian": "E F G A B C D",
    "F lydian": "F G A B C D E",
    "G mixolydian": "G A B C D E F",
    "A natural minor": "A B C D E F G",
    "B locrian": "B C D E F G A",
    "C melodic minor": "C D Eb F G A B",
    "D dorian b2": "D Eb F G A B C",
    "Eb lydian augmented": "Eb F G A B C D",
    "F lydian dominant": "F G A B C D Eb",
    "G mixolydian b6": "G A B C D Eb F",
    "A locrian #2": "A B C D Eb F G",
    "B altered": "B C D Eb F G A",
    "C altered": "C Db Eb Fb Gb Ab Bb",
    "C harmonic minor": "C D Eb F G Ab B",
    "D locrian natural 6": "D Eb F G Ab B C",
    "Eb ionian #5": "Eb F G Ab B C D",
    "F dorian #4": "F G Ab B C D Eb",
    "G phrygian dominant": "G Ab B C D Eb F",
    "Ab lydian #2": "Ab B C D Eb F G",
    "B altered bb7": "B C D Eb F G Ab",
    "C whole-half diminished": "C D Eb F Gb Ab A B",
    "C half-whole diminished": "C Db D# E F# G A Bb",
    "C whole tone": "C D E F# G# Bb",
    "C major pentatonic": "C D E G A",
    "A minor pentatonic": "A C D E G",
    "C blues": "C Eb F Gb G Bb",
    "C bebop dominant": "C D E F G A Bb B",
    # and in the keys that are easily spelled wrong
    "Ab melodic minor": "Ab Bb Cb Db Eb F G",
    "Bb harmonic minor": "Bb C Db Eb F Gb A",
    "F# major": "F# G# A# B C# D# E#",
    "Gb major": "Gb Ab Bb Cb Db Eb F",
    "C# altered": "C# D E F G A B",
    "Db lydian dominant": "Db Eb F G Ab Bb Cb",
}


@together("name", SPELLED)
def test_a_scale_is_spelled_as_written_by_hand(name: str):
    assert names(Scale.parse(name).notes) == SPELLED[name]


def test_every_row_is_among_the_scales_written_by_hand():
    assert {Scale.parse(name).row for name in SPELLED} == set(SCALES)


def test_no_name_belongs_to_two_scales():
    every = [name for row in SCALES for name in (row.name, *row.aliases)]
    assert len(every) == len(set(every))


def test_no_two_rows_have_the_same_formula():
    assert len({row.formula for row in SCALES}) == len(SCALES)


@together("row", SCALES, ids=lambda row: row.name)
def test_a_formula_climbs_from_its_root_and_repeats_no_sound(row: ScaleRow):
    steps = [degree.semitones for degree in row.degrees]
    assert steps[0] == 0
    assert steps == sorted(set(steps))
    assert steps[-1] < 12


@together("row", SCALES, ids=lambda row: row.name)
def test_every_name_of_a_scale_is_read_and_one_is_printed(row: ScaleRow):
    for name in (row.name, *row.aliases):
        assert scale_row(name) is scale_row(name.upper()) is row
        assert str(Scale.parse(f"Eb {name}")) == f"Eb {row.name}"


def test_signs_are_for_the_eye():
    assert Scale.parse("B♭ dorian ♭2").pretty == "B♭ dorian ♭2"
    assert str(Scale(Note("B", -1), scale_row("dorian b2"))) == "Bb dorian b2"


@pytest.mark.parametrize(
    ("typed", "name", "pretty"),
    [
        ("D locrian 6", "D locrian natural 6", "D locrian ♮6"),
        ("D locrian ♮6", "D locrian natural 6", "D locrian ♮6"),
        ("Bb locrian #6", "Bb locrian natural 6", "B♭ locrian ♮6"),
        ("F# locrian natural 2", "F# locrian #2", "F♯ locrian ♯2"),
        ("F# locrian ♮2", "F# locrian #2", "F♯ locrian ♯2"),
        ("E phrygian ♮6", "E dorian b2", "E dorian ♭2"),
        ("B-flat altered", "Bb altered", "B♭ altered"),
        ("F sharp melodic minor", "F# melodic minor", "F♯ melodic minor"),
        ("Ab natural minor", "Ab natural minor", "A♭ natural minor"),
    ],
)
def test_a_natural_degree_is_read_and_shown_with_its_sign(typed: str, name: str, pretty: str):
    """The names of the modes: common practice."""
    scale = Scale.parse(typed)
    assert (str(scale), scale.pretty) == (name, pretty)
    assert Scale.parse(scale.pretty) == scale


@pytest.mark.parametrize(
    "wrong", ["", "C", "C minorish", "H major", "major", "C " + "x" * 10_000, None]
)
def test_what_is_no_scale_is_refused(wrong: object):
    with pytest.raises(TheoryError):
        Scale.parse(wrong)  # type: ignore[arg-type]
