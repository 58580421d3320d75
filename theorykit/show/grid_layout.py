"""The grid: where its heads, cells and words stand."""

from __future__ import annotations

from theorykit.show.keyboard_layout import Label
from theorykit.show.legends import text_width
from theorykit.show.palette import INK, LINE
from theorykit.show.picture import Area, Mark, Picture, Stroke
from theorykit.views.grid import GridView

__all__ = ["grid_picture"]

ROW, HEAD = 26.0, 30.0
SIZE = 13.0
SPACE = 14.0  # beside the words of a cell, both sides together
FILLED, HEADED = "#dcebf5", "#efece4"  # behind a filled cell and behind the heads


def grid_picture(view: GridView) -> Picture:
    """Return the marks of a grid.

    >>> from theorykit.views.grid import colour_grid
    >>> picture = grid_picture(colour_grid(["C", "F"], ["b9", "b9 13"]))
    >>> [mark.text for mark in picture.marks if isinstance(mark, Label)][:3]
    ['over V of', 'C major', 'F major']
    """
    edges = _edges(view)
    height = HEAD + ROW * len(view.rows)
    marks: list[Mark] = [
        _area(0, 0, edges[-1], HEAD, HEADED),
        _area(0, 0, edges[1], height, HEADED),
        *_head(view, edges),
    ]
    for place, (name, cells) in enumerate(zip(view.rows, view.cells, strict=True)):
        marks += _row(name, cells, edges, HEAD + ROW * place)
    return Picture(edges[-1], height, (*marks, *_lines(edges, height, view)), view.alt)


def _edges(view: GridView) -> list[float]:
    """Return the left edges of the columns and the right edge of the last."""
    columns = [(view.corner, *view.rows)]
    for place, head in enumerate(view.columns):
        columns.append((head, *(cells[place] for cells in view.cells)))
    edges = [0.0]
    for column in columns:
        widest = max(text_width(text, SIZE) for text in column)
        edges.append(edges[-1] + max(widest + SPACE, 2 * SPACE))
    return edges


def _area(left: float, top: float, right: float, bottom: float, fill: str) -> Area:
    """Return a filled rectangle."""
    return Area(((left, top), (right, top), (right, bottom), (left, bottom)), fill)


def _text(left: float, right: float, top: float, text: str, bold: bool) -> Label:
    """Return the words in the middle of a cell."""
    return Label((left + right) / 2, top + ROW / 2 + 0.36 * SIZE, text, SIZE, INK, bold)


def _head(view: GridView, edges: list[float]) -> list[Label]:
    """Return the words over the columns."""
    names = (view.corner, *view.columns)
    lefts, rights = edges[:-1], edges[1:]
    return [
        _text(left, right, (HEAD - ROW) / 2, name, place > 0)
        for place, (name, left, right) in enumerate(zip(names, lefts, rights, strict=True))
    ]


def _row(name: str, cells: tuple[str, ...], edges: list[float], top: float) -> list[Mark]:
    """Return one row: its head, and the filled cells."""
    marks: list[Mark] = [_text(edges[0], edges[1], top, name, True)]
    for left, right, cell in zip(edges[1:-1], edges[2:], cells, strict=True):
        if cell:
            marks.append(_area(left, top, right, top + ROW, FILLED))
            marks.append(_text(left, right, top, cell, False))
    return marks


def _lines(edges: list[float], height: float, view: GridView) -> list[Stroke]:
    """Return the lines between rows and columns."""
    across = [0.0, *(HEAD + ROW * place for place in range(len(view.rows) + 1))]
    return [
        *(Stroke(((x, 0), (x, height)), LINE, 0.8) for x in edges),
        *(Stroke(((0, y), (edges[-1], y)), LINE, 0.8) for y in across),
    ]
