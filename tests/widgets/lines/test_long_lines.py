"""Long lines on the desk: drawn quickly while letters are typed, and in full when it is quiet."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from theorykit.lines.text import Line
from theorykit.lines.writing import write_lines
from theorykit.show.engraving import label_room
from theorykit.tunes.progression import Progression, two_five_one
from theorykit.widgets import LineDesk, side_work
from theorykit.widgets.line_page import SCALE, line_picture

TIMES = 4


def long_line(key: str) -> Line:
    """Return a line that goes round several times over one progression."""
    over = two_five_one(key, "split")
    line = write_lines(over, "altered", count=1, seed=4)[0]
    notes = (
        replace(note, start=note.start + over.beats * turn)
        for turn in range(TIMES)
        for note in line.notes
        if not (turn == 0 and note.start < 0)
    )
    whole = sorted(notes, key=lambda note: note.start)
    ends = (*(after.start for after in whole[1:]), over.beats * TIMES)
    cut = tuple(
        replace(note, beats=min(note.beats, end - note.start))
        for note, end in zip(whole, ends, strict=True)
    )
    return Line(Progression(over.key, over.bars * TIMES), cut)


def told(picture: str) -> str:
    """Return a picture without the names of its parts, which are drawn by chance."""
    return re.sub(r"p[0-9a-f]{12}", "", picture)


def typed(desk: LineDesk) -> None:
    """Type other letters for some notes, one keystroke each."""
    words = desk.text.value.split()
    notes = [place for place, word in enumerate(words) if word[0] in "ABCDEFG"]
    for place, letter in zip(notes[::5], "FGABCDE", strict=False):
        words[place] = letter + words[place][-1]
        desk.text.value = " ".join(words)


@pytest.mark.parametrize("key", ["Db", "F#", "Bb minor"])
def test_what_is_typed_letter_by_letter_ends_as_it_is_drawn_in_full(key: str):
    desk = LineDesk(line=long_line(key), book="not opened")
    desk.page.quiet.at_once = False
    typed(desk)
    assert desk.problem.value == ""
    desk.page.settle()
    desk.page.quiet.cancel()
    whole = line_picture(desk.view.staff, SCALE)
    assert told(desk.page.staff.value) == told(whole)


def test_labels_that_stand_farther_apart_than_they_must_come_closer_when_it_is_quiet(monkeypatch):
    monkeypatch.setattr(side_work, "QUIET", 0.0)
    desk = LineDesk(line=long_line("Db"), book="not opened")
    desk.page.quiet.at_once = False
    wide = line_picture(desk.view.staff, SCALE, room=6.0)
    desk.page.staff.value = wide
    typed(desk)
    desk.page.quiet.join()
    whole = line_picture(desk.view.staff, SCALE)
    assert label_room(desk.page.staff.value) == label_room(whole) < label_room(wide) == 6.0


def test_a_staff_that_is_drawn_in_full_already_is_left_alone():
    desk = LineDesk(line=long_line("Db"), book="not opened")
    before = desk.page.staff.value
    desk.page.settle()
    assert desk.page.staff.value == before
