"""Bars of counts: where their names, lengths, intervals and numbers stand."""

from __future__ import annotations

from theorykit.show.keyboard_layout import Label
from theorykit.show.legends import text_width
from theorykit.show.palette import FADED, INK, ROLE_COLOURS
from theorykit.show.picture import Area, Mark, Picture, Stroke
from theorykit.views.counts import CountRow, CountsView

__all__ = ["counts_picture"]

WIDTH = 620.0
ROW, BAR = 24.0, 13.0  # height of a row, and of the bar in it
TOP = 36.0  # of the first row
NAME, TITLE, SMALL = 14.0, 14.0, 12.0
WIDE = 1.12  # bold letters are wider
GAP = 10.0
TICK = 5.0  # half the height of the ends of an interval
FIRST_NOTE, NOTE = 20.0, 17.0  # from the last row to the first line below, and from line to line
BAR_COLOUR = ROLE_COLOURS["chord"]


def counts_picture(view: CountsView) -> Picture:
    """Return the marks of bars, the longest as wide as names and numbers leave room for.

    >>> from theorykit.harmony.counts import evidence
    >>> from theorykit.views.counts import counts_of
    >>> picture = counts_picture(counts_of([evidence("b9"), evidence("9")]))
    >>> [mark.text for mark in picture.marks if isinstance(mark, Label)][1:3]
    ['♭9', '852 of 15,387, 5.5 %']
    """
    left = max(text_width(row.name, WIDE * NAME) for row in view.rows) + GAP
    right = WIDTH - max(text_width(row.words, SMALL) for row in view.rows) - GAP
    unit = (right - left) / max(row.reach for row in view.rows)
    marks: list[Mark] = [Label(0, 16, view.title, TITLE, INK, anchor="start")]
    for place, row in enumerate(view.rows):
        marks += _row(row, left, unit, TOP + ROW * place + ROW / 2)
    bottom = TOP + ROW * len(view.rows) + FIRST_NOTE
    for place, text in enumerate(view.notes):
        y = bottom + NOTE * place
        marks.append(Label(0, y, text, SMALL, FADED, bold=False, anchor="start"))
    height = bottom + NOTE * len(view.notes) - NOTE / 2
    return Picture(WIDTH, height, tuple(marks), view.alt)


def _row(row: CountRow, left: float, unit: float, y: float) -> list[Mark]:
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


def _interval(row: CountRow, left: float, unit: float, y: float) -> list[Mark]:
    """Return the thin line of an interval with its ends, or nothing."""
    if row.interval is None:
        return []
    low, high = (left + unit * share for share in row.interval)
    ends = [Stroke(((x, y - TICK), (x, y + TICK)), INK, 1.2) for x in (low, high)]
    return [Stroke(((low, y), (high, y)), INK, 1.2), *ends]
