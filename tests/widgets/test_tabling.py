"""The table of tensions without a browser: every state of every control."""

from __future__ import annotations

from itertools import product

import pytest

from theorykit.errors import TheoryError
from theorykit.harmony.subsets import SIX_TENSIONS
from theorykit.notes.key import KEYS
from theorykit.views.tension_table import ROWS, SORTS
from theorykit.widgets import SubsetTable, subset_table
from theorykit.widgets.tabling import WISHES


def heads_of_rows(box: SubsetTable) -> list[str]:
    """The heads of the rows that the page shows."""
    parts = box.table.value.split('<th scope="row"')[1:]
    return [part.partition(">")[2].partition("<")[0] for part in parts]


def test_every_key_shows_its_dominant_and_all_sets():
    box = subset_table()
    for key in KEYS:
        box.key.value = str(key)
        assert box.problem.value == ""
        assert f"Over {box.view.chord.pretty}, going to {box.view.target.pretty}" in box.table.value
        assert len(heads_of_rows(box)) == 64


def test_every_order_shape_and_choice_of_rows_is_answered():
    box = subset_table("Db")
    for sort, rows in product(SORTS, ROWS):
        box.sort.value, box.rows.value = sort, rows
        assert heads_of_rows(box) == [row.pretty for row in box.view.rows]
    box.rows.value = ROWS[0]
    for shape in box.shape.options:
        box.shape.value = shape
        assert box.problem.value == ""
        assert heads_of_rows(box) == [row.pretty for row in box.view.rows]


@pytest.mark.parametrize("place", range(len(SIX_TENSIONS)), ids=lambda n: str(SIX_TENSIONS[n]))
def test_each_tension_can_be_wished_for_refused_or_left_open(place):
    box = subset_table("Bb minor")
    control = box.tensions[place]
    assert control.description == SIX_TENSIONS[place].pretty
    counts = []
    for wish in WISHES:
        control.value = wish
        counts.append(len(heads_of_rows(box)))
    assert counts == [64, 32, 32]


def test_all_tensions_wished_for_leave_one_row_and_a_contradiction_says_so():
    box = subset_table()
    for control in box.tensions:
        control.value = "with it"
    assert heads_of_rows(box) == ["♭9 9 ♯9 ♯11 ♭13 13"]
    box.rows.value = ROWS[1]
    assert heads_of_rows(box) == []
    assert "No row is left." in box.table.value


def test_controls_have_labels_of_their_own():
    box = subset_table()
    controls = [box.key, box.sort, box.shape, box.rows, *box.tensions]
    labels = [control.description for control in controls]
    assert len(set(labels) - {""}) == len(controls)


def test_a_key_that_is_none_is_refused():
    with pytest.raises(TheoryError, match="not a key"):
        subset_table("H")
