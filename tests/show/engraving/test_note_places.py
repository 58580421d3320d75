"""Which note of a line each written note of a staff is."""

from __future__ import annotations

import re
from dataclasses import replace

from theorykit.lines.text import Line
from theorykit.show.engraving import staff_svg
from theorykit.tunes.progression import two_five_one
from theorykit.views.staves import phrase_staff


def places(text: str) -> list[int]:
    """The places that the staff of a line says, in the order in which it is read."""
    staff = staff_svg(phrase_staff(Line.parse(text, two_five_one("Db"))))
    return [int(place) for place in re.findall(r'data-note="(\d+)"', staff)]


def test_every_note_has_its_place():
    assert places("8th F4 A4 triplet 8th C5 D5 C5 quarter A4 F4") == list(range(7))


def test_a_note_that_is_tied_over_bar_lines_is_one():
    tied = "quarter F4 A4 C5 8th rest E5 | whole hold | quarter hold A4 half rest"
    assert places(tied) == [0, 1, 2, 3, 3, 3, 4]


def test_a_staff_of_two_voices_says_no_place():
    view = phrase_staff(Line.parse("whole F4 | whole G4 | whole A4", two_five_one("C")))
    assert "data-note" not in staff_svg(replace(view, second=view.notes))
