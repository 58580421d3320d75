"""Marks at the lines of bars."""

from __future__ import annotations

import pytest

from theorykit.errors import TheoryError
from theorykit.tunes.charts import Chart
from theorykit.views.staves.bar_line_marks import BarMark, bar_marks


def endings(text: str) -> list[tuple[tuple[int, ...], tuple[int, ...], str]]:
    """Where endings begin and end."""
    marks = bar_marks(Chart.parse(text))
    return [(mark.ending, mark.ending_under, mark.ending_ends) for mark in marks]


def test_an_ending_ends_at_its_repeat_sign_and_the_last_one_stays_open():
    assert endings("|: C | 1. F | G :| 2. F | C |") == [
        ((), (), ""),
        ((1,), (), ""),
        ((), (1,), "stop"),
        ((2,), (2,), "discontinue"),
        ((), (), ""),
    ]


def test_an_ending_for_two_passes_has_both_numbers():
    found = endings("|: C | 1.2. F :| 3. G |")
    assert found[1] == ((1, 2), (1, 2), "stop")
    assert found[2] == ((3,), (3,), "discontinue")


def test_a_repeat_after_endings_is_no_part_of_them():
    found = endings("|: C | 1. F :| 2. G |: Am | Dm :|")
    assert [under for _, under, _ in found] == [(), (1,), (2,), (), ()]


def test_sections_and_times_are_told():
    marks = bar_marks(Chart.parse("A: | C | F |\nB: | 3/4 G |"))
    assert [mark.section for mark in marks] == ["A", "", "B"]
    assert [mark.time for mark in marks] == [(4, 4), (4, 4), (3, 4)]


def test_an_unknown_end_is_refused():
    with pytest.raises(TheoryError, match="not the end of an ending"):
        BarMark(ending_ends="halt")
