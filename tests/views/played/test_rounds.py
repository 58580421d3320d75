"""Rounds beside each other: what is counted, and which was most in time."""

from __future__ import annotations

import pytest

from theorykit import Line, take_down, two_five_one
from theorykit.notes.reader import reader
from theorykit.views.played import rounds_of

TEXTS = {  # the colour over V and the landing were written by hand (common practice)
    "C": ("quarter D5 F5 B4 Ab4 | whole G4", "♭9", "5"),
    "Db": ("quarter Eb5 Gb5 C5 A4 | whole Ab4", "♭9", "5"),
    "F#": ("quarter G#4 B4 E#5 D5 | whole C#5", "♭9", "5"),
    "Eb": ("quarter F5 Ab5 D5 F5 | whole G5", "none", "3"),
}


def taken(key: str, late: float = 0.0):
    """A line that is played at 120, its second note late."""
    line = Line.parse(TEXTS[key][0], two_five_one(key, "short"))
    rows = [
        (1 + float(n.start) / 2 + late * (place == 1), 1 + float(n.end) / 2, n.pitch.midi)
        for place, n in enumerate(line.notes)
    ]
    return take_down(rows, progression=line.progression, tempo=120, start=1)


@pytest.mark.parametrize("key", TEXTS)
def test_a_round_is_told_by_its_notes_its_time_its_colour_and_its_landing(key):
    text, over_v, home = TEXTS[key]
    view = rounds_of([taken(key, 0.07), taken(key)])
    assert view.cells[1] == ("2", "5", "5 of 5", over_v, home, text)
    assert view.cells[0][2] == "4 of 5"
    assert view.words == "Round 2 was most in time, within 50 milliseconds."
    assert len(view.heads) == len(view.cells[0])


def test_of_equal_rounds_none_is_called_the_best_and_an_empty_one_is_told():
    view = rounds_of([taken("C"), None, taken("C")])
    assert view.words == ""
    assert view.cells[1] == ("2", "0", "", "", "", "no note was heard")
    assert rounds_of([]).cells == ()


def test_the_line_is_told_as_text_at_concert_pitch_and_a_reader_of_other_pitch_is_told_so():
    concert, trumpet = rounds_of([taken("Db")]), rounds_of([taken("Db")], reader=reader("trumpet"))
    assert trumpet.cells[0][5] == concert.cells[0][5] == taken("Db").line.text
    assert "concert" in trumpet.heads[5]
    assert "concert" not in concert.heads[5]
