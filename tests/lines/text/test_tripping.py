"""What trips the eye in the letters of a line, written by hand as a teacher would mark it."""

import pytest

from theorykit.lines.text import Line, trips
from theorykit.lines.writing import Wishes, write_lines
from theorykit.lines.writing.first_sight import changes_form
from theorykit.notes.note import Pitch
from theorykit.notes.reader import reader
from theorykit.tunes.progression import two_five_one


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("D5 F5 A5 C6 B5 Bb5 A5 F5", 0),  # B Bb A: a half step that goes on
        ("D5 F5 A5 C6 C#6 C6 A5 F5", 1),  # there and back on one letter
        ("D5 Db5 C5 B4 A4 B4 D5 D#5", 2),  # one letter in three forms
        ("D5 F5 A5 C6 B5 G5 Bb5 A5", 1),  # two forms, and another note between them
        ("G5 F5 A5 C6 D#6 C6 G5 A5", 1),  # C minor, its 3rd on D
        ("G5 F5 A5 C6 Eb6 C6 G5 A5", 0),  # the same in thirds
        ("D5 F5 A5 C6 G#5 Bb5 A5 F5", 1),  # a sharp beside a flat
        ("D5 F5 A5 C6 B5 Ab5 E5 F5", 0),  # E major over G7, whose flat 9 is A flat
        ("D5 B4 E5 Ab4 F4 D4 E4 G4", 1),  # the same over Dm7
    ],
)
def test_a_line_trips_the_eye_where_a_reader_stops(text, found):
    """Common practice of copying: one letter, one form; a triad in thirds; sharps or flats."""
    assert trips(Line.parse(f"8th {text} | whole G5", two_five_one("C", "short"))) == found


@pytest.mark.parametrize(
    ("text", "found"),
    [
        ("8th D5 F5 A5 C6 B5 F5 Ab5 F5 | whole G5", 0),  # A over Dm7, Ab over G7
        ("8th D5 F5 C6 A5 Ab5 C6 B5 F5 | whole G5", 1),  # the same side by side
        ("8th D5 F5 A5 C6 B5 F5 Eb5 D5 | D#5 E5 half E5 quarter rest", 1),  # one pitch by two names
        (
            "8th D5 F5 A5 C6 B5 F#5 A5 F5 | F#5 G5 half G5 quarter rest",
            2,
        ),  # there and back, over the bar too
        ("8th D5 F5 A5 C6 B5 D5 F5 F#5 | F5 G5 half G5 quarter rest", 2),
    ],
)
def test_another_chord_may_have_another_form_and_a_bar_line_hides_no_trip(text, found):
    """Common practice, as above: what stood a few notes before is remembered over the bar line."""
    assert trips(Line.parse(text, two_five_one("C", "short"))) == found


def test_sharps_and_flats_of_the_signature_are_mixed_freely():
    """B flat and E flat are in the signature of G minor, and F sharp is its leading note."""
    line = Line.parse(
        "8th A4 C5 Eb5 G5 F#5 Eb5 C5 Bb4 | whole A4", two_five_one("G minor", "short")
    )
    assert trips(line) == 0
    assert changes_form(line.notes) == 0


# Key, form, colour, reader and seed of lines in which a reader stopped, on some page.
STOPPED = (
    ("Db major", "long", "its related ii", "B flat", 24014),
    ("A minor", "short", "#9 b13", "F", 56717),
    ("Eb minor", "short", "#9 b13", "bass clef", 30069),
)


@pytest.mark.parametrize(("key", "form", "colour", "who", "seed"), STOPPED)
def test_lines_are_chosen_that_do_not_trip_the_eye(key, form, colour, who, seed):
    wishes = Wishes.for_reader(who)
    (line,) = write_lines(two_five_one(key, form), colour, count=1, seed=seed, wishes=wishes)
    assert trips(line) + trips(line.written_for(reader(who))) == 0


def test_nothing_on_a_page_in_b_flat_lies_below_the_lowest_note_of_a_saxophone():
    """It is the written B flat below the staff (common practice)."""
    written = Wishes.for_reader("B flat").compass[0] + reader("B flat").semitones
    assert written == Pitch.parse("Bb3").midi


@pytest.mark.parametrize(("name", "found"), [("C4", 1), ("B#3", 0)])
def test_a_pitch_keeps_its_name_over_the_bar_line(name, found):
    """B sharp over the I of D sharp minor, and the same key of the piano a bar before as C."""
    over = two_five_one("D# minor", "short")
    bars = (f"half G#4 8th C#4 {name} B3 E3", "8th F#3 A#3 G#3 B#3 half A#3")
    here, plain = (Line.parse(" | ".join(one), over) for one in (bars, (bars[0], "whole A#3")))
    assert trips(here) - trips(plain) == found
