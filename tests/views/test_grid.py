"""The grid as a view: what stands in its cells, and that it has no holes."""

import pytest

from theorykit import COLOURS, KEYS, TheoryError, colour, shortcuts, subsets
from theorykit.harmony.subsets import COLUMNS
from theorykit.tunes.progression import cadence_chords
from theorykit.views.grid import GridView, colour_grid, tension_grid


def test_the_cells_of_tensions_against_shapes_are_those_of_the_search():
    rows = subsets("Db7", "Gb")
    view = tension_grid(rows)
    assert len(view.rows) == 64
    assert len(view.columns) == len(COLUMNS) == 13
    for row, cells in zip(rows, view.cells, strict=True):
        for shape, cell in zip(COLUMNS, cells, strict=True):
            roots = [r.root.pretty for r in row.routes if r.row.suffix == shape.suffix]
            assert cell.split() == roots
    assert view.filled == sum(len({r.row.suffix for r in row.routes}) for row in rows)


def test_a_reader_may_keep_some_rows_and_columns():
    rows = [row for row in subsets("G7") if len(row.tensions) == 2 and row.routes]
    triads = tuple(shape for shape in COLUMNS if shape.family == "triad")
    view = tension_grid(rows, triads)
    assert view.columns == ("major", "m", "dim", "aug")
    assert "♭9 13" in view.rows


def test_the_cells_of_colours_against_keys_are_the_best_shortcuts():
    view = colour_grid(KEYS)
    assert (len(view.rows), len(view.columns)) == (len(COLOURS), 30)
    for row, cells in zip(COLOURS, view.cells, strict=True):
        for key, cell in zip(KEYS, cells, strict=True):
            _, dominant, target = cadence_chords(key)
            best = shortcuts(dominant, row, target)[0].pretty
            assert cell == (best if row.suits(key.mode) else "")


def test_the_words_tell_what_is_filled_and_where():
    view = colour_grid(["C", "A minor"], ["b9 13", "b9 b13"])
    assert view.alt == (
        "Table of 2 colours down and 2 keys across. ♭9 13: C major E; "
        "♭9 ♭13: C major A♭m, A minor Fm."
    )
    assert view.filled == 3


@pytest.mark.parametrize(
    ("call", "said"),
    [
        (lambda: GridView("", ("a",), ("b",), ((),), ""), "not a table"),
        (lambda: GridView("", ("a",), ("b", "c"), (("1",),), ""), "not a table: 1 rows of cells"),
        (lambda: tension_grid([]), "no rows for the table"),
        (lambda: colour_grid([]), "no table without keys and colours"),
        (lambda: colour_grid(["C"], []), "no table without keys and colours"),
        (lambda: colour_grid(["H"]), "not a key: 'H'"),
        (lambda: colour_grid(["C"], ["blue"]), "no such colour: 'blue'"),
    ],
)
def test_a_table_with_holes_is_refused(call, said: str):
    with pytest.raises(TheoryError, match=said):
        call()


def test_the_best_shortcut_of_a_colour_is_written_as_the_search_writes_it():
    view = colour_grid(["Db"], [colour("b9 13")])
    assert view.cells == (("F",),)
