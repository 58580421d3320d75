"""Tables and bars: the grid of colours and keys, and counts as bars with their numbers."""

from __future__ import annotations

from theorykit.show.pictures.marks import Area, Label, Mark, Picture, Stroke, text_width
from theorykit.show.pictures.picture_colours import BARE, FADED, INK, LINE, TINT
from theorykit.views.bar_chart import BarRow, BarsView
from theorykit.views.counts import CountRow, CountsView
from theorykit.views.grid import GridView

# The grid.
GRID_ROW, GRID_HEAD = 26.0, 30.0
CELL = 13.0  # size of its words
CELL_SPACE = 14.0  # beside the words of a cell, both sides together
FILLED, HEADED = TINT, "#efece4"  # behind a filled cell and behind the heads
SHADES = ("#ffffff", "#f2f6fa", FILLED, "#b3d3ea")  # by strength; a sign tells the same
PLAIN = 2  # the strength of a cell where none is told

# The bars.
WIDTH = 620.0
ROW, BAR = 24.0, 13.0  # height of a row, and of the bar in it
TOP = 36.0  # of the first row
NAME, TITLE, SMALL = 14.0, 14.0, 12.0
WIDE = 1.12  # bold letters are wider
GAP = 10.0
TICK = 5.0  # half the height of the ends of an interval
FIRST_NOTE, NOTE = 20.0, 17.0  # from the last row to the first line below, and from line to line
BAR_COLOUR = BARE  # a bar is no note


def grid_picture(view: GridView) -> Picture:
    """Return the marks of a grid.

    >>> from theorykit.views.grid import colour_grid
    >>> picture = grid_picture(colour_grid(["C", "F"], ["b9", "b9 13"]))
    >>> [mark.text for mark in picture.marks if isinstance(mark, Label)][:3]
    ['over V of', 'C major', 'F major']
    """
    edges = _edges(view)
    height = GRID_HEAD + GRID_ROW * len(view.rows)
    marks: list[Mark] = [
        _area(0, 0, edges[-1], GRID_HEAD, HEADED),
        _area(0, 0, edges[1], height, HEADED),
        *_heads(view, edges),
    ]
    for place, (name, cells) in enumerate(zip(view.rows, view.cells, strict=True)):
        shades = view.strengths[place] if view.strengths else (PLAIN,) * len(cells)
        marks += _grid_row(name, cells, shades, edges, GRID_HEAD + GRID_ROW * place)
    return Picture(edges[-1], height, (*marks, *_rules(edges, height, view)), view.alt)


def _edges(view: GridView) -> list[float]:
    """Return the left edges of the columns and the right edge of the last."""
    columns = [(view.corner, *view.rows)]
    for place, head in enumerate(view.columns):
        columns.append((head, *(cells[place] for cells in view.cells)))
    edges = [0.0]
    for column in columns:
        widest = max(text_width(text, CELL) for text in column)
        edges.append(edges[-1] + max(widest + CELL_SPACE, 2 * CELL_SPACE))
    return edges


def _area(left: float, top: float, right: float, bottom: float, fill: str) -> Area:
    """Return a filled rectangle."""
    return Area(((left, top), (right, top), (right, bottom), (left, bottom)), fill)


def _words(left: float, right: float, top: float, text: str, bold: bool) -> Label:
    """Return the words in the middle of a cell."""
    return Label((left + right) / 2, top + GRID_ROW / 2 + 0.36 * CELL, text, CELL, INK, bold)


def _heads(view: GridView, edges: list[float]) -> list[Label]:
    """Return the words over the columns."""
    names = (view.corner, *view.columns)
    lefts, rights = edges[:-1], edges[1:]
    return [
        _words(left, right, (GRID_HEAD - GRID_ROW) / 2, name, place > 0)
        for place, (name, left, right) in enumerate(zip(names, lefts, rights, strict=True))
    ]


def _grid_row(
    name: str, cells: tuple[str, ...], shades: tuple[int, ...], edges: list[float], top: float
) -> list[Mark]:
    """Return one row: its head, and the filled cells."""
    marks: list[Mark] = [_words(edges[0], edges[1], top, name, True)]
    for left, right, cell, shade in zip(edges[1:-1], edges[2:], cells, shades, strict=True):
        if cell:
            marks.append(_area(left, top, right, top + GRID_ROW, SHADES[shade]))
            marks.append(_words(left, right, top, cell, False))
    return marks


def _rules(edges: list[float], height: float, view: GridView) -> list[Stroke]:
    """Return the lines between rows and columns."""
    across = [0.0, *(GRID_HEAD + GRID_ROW * place for place in range(len(view.rows) + 1))]
    return [
        *(Stroke(((x, 0), (x, height)), LINE, 0.8) for x in edges),
        *(Stroke(((0, y), (edges[-1], y)), LINE, 0.8) for y in across),
    ]


def counts_picture(view: CountsView | BarsView) -> Picture:
    """Return the marks of bars, the longest as wide as names and numbers leave room for.

    >>> from theorykit.harmony.counts import evidence
    >>> from theorykit.views.counts import counts_of
    >>> picture = counts_picture(counts_of([evidence("b9"), evidence("9")]))
    >>> [mark.text for mark in picture.marks if isinstance(mark, Label)][1:3]
    ['♭9', '852 of 15,387, 5.5 %']
    """
    rows: tuple[CountRow | BarRow, ...] = view.rows
    left = max(text_width(row.name, WIDE * NAME) for row in rows) + GAP
    right = WIDTH - max(text_width(row.words, SMALL) for row in rows) - GAP
    unit = (right - left) / max(row.reach for row in rows)
    marks: list[Mark] = [Label(0, 16, view.title, TITLE, INK, anchor="start")]
    for place, row in enumerate(rows):
        marks += _bar(row, left, unit, TOP + ROW * place + ROW / 2)
    bottom = TOP + ROW * len(rows) + FIRST_NOTE
    for place, text in enumerate(view.notes):
        y = bottom + NOTE * place
        marks.append(Label(0, y, text, SMALL, FADED, bold=False, anchor="start"))
    height = bottom + NOTE * len(view.notes) - NOTE / 2
    return Picture(WIDTH, height, tuple(marks), view.alt)


def _bar(row: CountRow | BarRow, left: float, unit: float, y: float) -> list[Mark]:
    """Return one bar with its name before it and its numbers behind it."""
    end = left + unit * row.share
    corners = ((left, y - BAR / 2), (end, y - BAR / 2), (end, y + BAR / 2), (left, y + BAR / 2))
    behind = left + unit * row.reach + GAP
    return [
        Label(left - GAP, y + 0.36 * NAME, row.name, NAME, INK, anchor="end"),
        Area(corners, BAR_COLOUR),
        *_interval(row, left, unit, y),
        Label(behind, y + 0.36 * SMALL, row.words, SMALL, INK, bold=False, anchor="start"),
    ]


def _interval(row: CountRow | BarRow, left: float, unit: float, y: float) -> list[Mark]:
    """Return the thin line of an interval with its ends, or nothing."""
    if row.interval is None:
        return []
    low, high = (left + unit * share for share in row.interval)
    ends = [Stroke(((x, y - TICK), (x, y + TICK)), INK, 1.2) for x in (low, high)]
    return [Stroke(((low, y), (high, y)), INK, 1.2), *ends]
