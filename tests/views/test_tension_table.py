"""The table of tensions: every filter and every order, and the nine triads that it must hold."""

from __future__ import annotations

from itertools import pairwise

import pytest
from sweeps import keys

from theorykit.errors import TheoryError
from theorykit.harmony.subsets import SIX_TENSIONS
from theorykit.notes.degree import Degree, degrees
from theorykit.views.tension_table import ROWS, SHAPE_NAMES, SORTS, tension_table


@pytest.mark.parametrize("key", keys(), ids=str)
def test_all_64_sets_are_there_with_a_cell_for_every_head(key):
    table = tension_table(key)
    assert len({row.tensions for row in table.rows}) == 64
    assert {len(cells) for cells in table.cells} == {len(table.heads)}
    assert all(cells[-1].endswith(".") for cells in table.cells)
    assert "64 of 64" in table.caption


def test_the_triad_columns_hold_the_nine_upper_structures_and_no_others():
    """Over C7: D Eb Gb Ab A, Cm Dbm Ebm F#m (Wikipedia contributors, Upper structure, undated)."""
    altered = set(degrees("b9 #9 #11 b13"))
    table = tension_table("F")
    found = {"major": set(), "m": set()}
    for row, cells in zip(table.rows, table.cells, strict=True):
        named = dict(zip(table.heads, cells, strict=True))
        if altered & set(row.tensions):
            for head, roots in found.items():
                roots.update(named[head].split())
    assert found["major"] == {"D", "E♭", "G♭", "A♭", "A"}
    assert found["m"] == {"C", "E♭", "F♯", "D♭"}


@pytest.mark.parametrize("tension", SIX_TENSIONS, ids=str)
def test_with_and_without_a_tension_are_two_halves(tension: Degree):
    having = tension_table("C", having=[tension]).rows
    without = tension_table("C", without=[tension]).rows
    assert len(having) == len(without) == 32
    assert all(tension in row.tensions for row in having)
    assert not any(tension in row.tensions for row in without)


@pytest.mark.parametrize("shape", SHAPE_NAMES)
def test_a_shape_leaves_the_rows_whose_cell_is_filled(shape):
    whole, table = tension_table("Eb"), tension_table("Eb", shape=shape)
    column = whole.heads.index(shape)
    assert [cells[0] for cells in table.cells] == [c[0] for c in whole.cells if c[column]]
    assert table.rows or shape == "maj7"


def test_rows_that_a_small_shape_brings_and_the_others_are_the_whole_table():
    every, small, large = (tension_table("C", rows=rows).rows for rows in ROWS)
    assert set(small) | set(large) == set(every)
    assert not set(small) & set(large)
    assert all(row.routes for row in small)


@pytest.mark.parametrize("sort", SORTS)
def test_rows_climb_in_what_they_are_sorted_by(sort):
    rows = tension_table("Gb", sort=sort).rows
    assert len(rows) == 64
    assert all(SORTS[sort](one) <= SORTS[sort](other) for one, other in pairwise(rows))


def test_wishes_that_exclude_each_other_leave_no_row():
    b9 = degrees("b9")
    assert tension_table("C", having=b9, without=b9).cells == ()


@pytest.mark.parametrize("wish", [{"shape": "m13"}, {"rows": "some"}, {"sort": "by taste"}])
def test_an_unknown_wish_is_refused(wish):
    with pytest.raises(TheoryError, match="no such"):
        tension_table("C", **wish)
