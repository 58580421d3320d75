"""A whole line an eighth earlier or later: what is moved, and when that reads better."""

from __future__ import annotations

from fractions import Fraction

import pytest
from sweeps import keys

from theorykit.errors import TheoryError
from theorykit.lines.demonstration import demonstration
from theorykit.lines.taking import better_place, mended
from theorykit.lines.taking.whole_lines import line_moved
from theorykit.lines.text import Line, TimedNote
from theorykit.lines.writing import write_lines
from theorykit.notes.note import Pitch
from theorykit.tunes.progression import FORMS, two_five_one

EIGHTH = Fraction(1, 2)
# A phrase from the Thursday workshop: a pickup of one eighth, chord tones on the beats.
PHRASE = (
    "pickup 8th C#4 | D4 F4 A4 C5 triplet 8th E5 D5 C5 8th A4 F4 | Ab4 G4 F4 D4 B3 D4 F4 F#4 | "
    "dotted quarter E4 8th rest G4 G4 G4 E4"
)


@pytest.mark.parametrize("key", keys())
@pytest.mark.parametrize("form", FORMS)
def test_only_what_was_moved_off_its_place_is_said_to_read_better_elsewhere(key, form):
    line = demonstration(key, form)
    assert better_place(line) == ""
    assert better_place(line_moved(line, EIGHTH)) == "earlier"


def test_a_line_of_eighths_that_begins_half_a_beat_late_is_noticed():
    line = Line.parse(PHRASE, two_five_one("C"))
    assert better_place(line) == ""
    late = mended(Line(line.progression, line.notes[:-1]), 0, "whole line later")
    assert better_place(late) == "earlier"
    back = mended(late, 0, "whole line earlier")
    assert back.notes == line.notes[:-1]


def test_a_line_without_room_stays():
    over = two_five_one("C", "short")
    first = Line(over, (TimedNote(Pitch.parse("F4"), -3 - EIGHTH, EIGHTH),))
    with pytest.raises(TheoryError, match="a bar before the first"):
        line_moved(first, -EIGHTH)
    last = Line.parse("whole rest | half rest quarter rest 8th rest C5", over)
    with pytest.raises(TheoryError, match="after the last bar"):
        line_moved(last, EIGHTH)


@pytest.mark.parametrize(
    ("text", "form"),
    [
        ("triplet 8th D4 E4 F4 8th rest A4 C5 D5 F5 Ab5 | G5 quarter E5 8th G5 half hold", "short"),
        (
            "8th rest quarter A4 C5 8th A4 quarter G4 | 8th rest quarter F4 Ab4 8th F4 quarter G4 "
            "| whole E4",
            "long",
        ),
        (
            "8th rest F5 quarter rest 8th rest A4 quarter rest | 8th rest B4 dotted half rest",
            "long",
        ),
    ],
    ids=("a triplet that would straddle a beat", "it lands on I", "short notes off the beat"),
)
def test_a_line_that_is_meant_so_stays_where_it_is(text, form):
    """Off the beat and on to I on its first beat: so lines are played (common practice)."""
    assert better_place(Line.parse(text, two_five_one("C", form))) == ""


@pytest.mark.sweep
def test_no_line_that_the_library_writes_is_said_to_read_better_elsewhere():
    for key in ("Gb", "C# minor", "Bb", "E minor"):
        for form in FORMS:
            lines = write_lines(two_five_one(key, form), "b9", seed=3, count=12)
            assert [line.text for line in lines if better_place(line)] == []
