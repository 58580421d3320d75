"""Lines: times, bounds, and what another key makes of them."""

from fractions import Fraction

import pytest
from together import together

from theorykit.errors import TheoryError
from theorykit.lines.text import Line, TimedNote
from theorykit.notes.key import KEYS
from theorykit.notes.note import Pitch
from theorykit.tunes.progression import FORMS, two_five_one

LONG = two_five_one("C")
PHRASE = "8th D5 F5 A5 C6 B5 Ab5 F5 D5 | C#5 D5 F5 Ab5 half B4 | whole E5"


def note(name, start, beats):
    return TimedNote(Pitch.parse(name), Fraction(start), Fraction(beats))


def test_notes_may_not_overlap():
    with pytest.raises(TheoryError, match="one note at a time"):
        Line(LONG, (note("C5", 0, 2), note("D5", 1, 1)))


def test_a_line_ends_with_its_progression():
    with pytest.raises(TheoryError, match="no longer than its progression"):
        Line(LONG, (note("C5", 11, 2),))


def test_a_pickup_is_shorter_than_a_bar():
    assert Line(LONG, (note("C5", -3, 2),)).notes[0].start == -3
    with pytest.raises(TheoryError, match="pickup"):
        Line(LONG, (note("C5", -4, 2),))


@pytest.mark.parametrize("time", [0.5, "1", None])
def test_times_are_exact(time):
    with pytest.raises(TheoryError, match="Fraction"):
        TimedNote(Pitch.parse("C5"), time, Fraction(1))


def test_what_no_instrument_plays_is_no_note():
    with pytest.raises(TheoryError, match="beyond"):
        note("B9", 0, 1)


# Written out by hand, letter by letter: each note keeps its degree over its chord.
@pytest.mark.parametrize(
    ("key", "text"),
    [
        ("F", "8th G5 Bb5 D6 F6 E6 Db6 Bb5 G5 | F#5 G5 Bb5 Db6 half E5 | whole A5"),
        ("Eb", "8th F5 Ab5 C6 Eb6 D6 Cb6 Ab5 F5 | E5 F5 Ab5 Cb6 half D5 | whole G5"),
        ("E", "8th F#5 A5 C#6 E6 D#6 C6 A5 F#5 | E#5 F#5 A5 C6 half D#5 | whole G#5"),
        ("Gb", "8th Ab4 Cb5 Eb5 Gb5 F5 Ebb5 Cb5 Ab4 | G4 Ab4 Cb5 Ebb5 half F4 | whole Bb4"),
        ("B", "8th C#5 E5 G#5 B5 A#5 G5 E5 C#5 | B#4 C#5 E5 G5 half A#4 | whole D#5"),
    ],
)
def test_a_line_is_respelled_for_its_new_key(key, text):
    assert Line.parse(PHRASE, LONG).transposed(key).text == text


# A line as G flat reads it, D for the b9 of Db7, and as each key writes it (common practice).
READ = "8th Ab4 Cb5 Eb5 Gb5 F5 D5 Cb5 Ab4 | G4 Ab4 Cb5 D5 half F4 | whole Bb4"


@pytest.mark.parametrize(
    ("key", "text"),
    [
        ("F#", "8th G#4 B4 D#5 F#5 E#5 D5 B4 G#4 | G4 G#4 B4 D5 half E#4 | whole A#4"),
        ("B", "8th C#5 E5 G#5 B5 A#5 G5 E5 C#5 | B#4 C#5 E5 G5 half A#4 | whole D#5"),
        ("E", "8th F#4 A4 C#5 E5 D#5 C5 A4 F#4 | E#4 F#4 A4 C5 half D#4 | whole G#4"),
        ("C", "8th D4 F4 A4 C5 B4 Ab4 F4 D4 | C#4 D4 F4 Ab4 half B3 | whole E4"),
        ("Gb", READ),
    ],
)
def test_a_plain_name_that_stood_for_another_gives_it_back_in_a_new_key(key, text):
    assert Line.parse(READ, two_five_one("Gb")).transposed(key).text == text


@together("old", [key for key in KEYS if key.mode == "major"], ids=str)
def test_no_key_has_a_double_sharp_that_the_line_had_not(old):
    """The #11, b9, b13 and #9 that G flat or C flat reads by plain names, and a step between."""
    text = "8th D4 F4 A4 G#4 G4 F4 E4 D#4 | B4 C#5 Bb4 Ab4 G4 Eb5 C#5 A#4 | whole G4"
    line = Line.parse(text, LONG).transposed(old).readable
    for new in KEYS:
        if new.mode == "major":
            names = [note.pitch.note for note in line.transposed(new).notes]
            assert max(name.alteration for name in names) < 2, (str(old), str(new), names)


def test_the_readable_spelling_keeps_what_the_key_holds():
    moved = Line.parse(PHRASE, LONG).transposed("Gb").readable
    assert moved.text == ("8th Ab4 Cb5 Eb5 Gb5 F5 D5 Cb5 Ab4 | G4 Ab4 Cb5 D5 half F4 | whole Bb4")


@together("form", FORMS)
@together("key", [key for key in KEYS if key.mode == "major"], ids=str)
def test_every_key_and_back_is_the_same_line(key, form):
    line = Line.parse("half F4 C5 | half B4 Ab4", two_five_one("C", form))
    there = line.transposed(key)
    back = there.transposed("C")
    steps = {n.pitch.midi - m.pitch.midi for n, m in zip(there.notes, line.notes, strict=True)}
    assert len(steps) == 1
    assert abs(steps.pop()) <= 6
    assert [n.pitch.note for n in back.notes] == [n.pitch.note for n in line.notes]


def test_octaves_are_added():
    line = Line.parse("whole C4", LONG)
    assert line.transposed("C", octaves=1).text == "whole C5"


def test_another_mode_is_refused():
    with pytest.raises(TheoryError, match="major key"):
        Line.parse("whole C4", LONG).transposed("C minor")


def test_no_transposition_needs_three_accidentals():
    """The #9 over the V of D sharp minor would be B with two sharps; three are not written."""
    line = Line.parse("whole D5 | A#4", two_five_one("C minor"))
    for key in KEYS:
        if key.mode == "minor":
            assert all(abs(n.pitch.note.alteration) < 3 for n in line.transposed(key).notes)
