"""Where segno, coda, fine and the jumps stand above a row of bars, beside its section boxes."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from fractions import Fraction
from itertools import pairwise

from theorykit.show.keyboard_layout import Label
from theorykit.show.legends import text_width
from theorykit.show.palette import INK
from theorykit.views.tune_page import GridBar

__all__ = ["LANE", "box_width", "jump_labels", "needs_lane"]

SIZE = 12.0  # of the words
BOX = 14.0  # of the letters in a section's box
LANE = 18.0  # height of a lane that holds the words alone
APART, EDGE = 7.0, 3.0  # between a box and a word, and from a word to its bar line

Place = Callable[[Fraction], float]


def box_width(section: str) -> float:
    """Return the width of the box around the name of a section."""
    return text_width(section, BOX) + 12


def needs_lane(bars: Sequence[GridBar], x_of: Place) -> bool:
    """Tell whether the words of a row need a lane of their own, because boxes leave no room."""
    boxed = any(bar.section for bar in bars)
    marked = any(bar.heads or bar.ends for bar in bars)
    spans = sorted(span for bar in bars for span in _spans(bar, x_of))
    return marked and not (boxed and all(one[1] <= other[0] for one, other in pairwise(spans)))


def _spans(bar: GridBar, x_of: Place) -> Iterator[tuple[float, float]]:
    """Return what a bar takes up in one lane: its box, and the words beside it."""
    left = x_of(Fraction(bar.column))
    if bar.section:
        yield left, left + box_width(bar.section)
    for label in jump_labels(bar, x_of, 0.0, beside=True):
        wide = text_width(label.text, label.size) + APART
        start = label.x - wide if label.anchor == "end" else label.x
        yield start, start + wide


def jump_labels(bar: GridBar, x_of: Place, y: float, *, beside: bool) -> Iterator[Label]:
    """Return the words of a bar at their base line: at its head, or ``beside`` its box, at its end.

    >>> from theorykit.tunes.charts import Chart
    >>> from theorykit.views.tune_page.tune_bars import grid_bars
    >>> bars = grid_bars(Chart.parse("| C | segno F | G D.S. |"))
    >>> [label.text for bar in bars for label in jump_labels(bar, float, 0, beside=False)]
    ['Segno', 'D.S.']
    """
    left, right = x_of(Fraction(bar.column)), x_of(Fraction(bar.column + 1))
    box = box_width(bar.section) + APART if beside and bar.section else EDGE
    if bar.heads:
        yield Label(left + box, y, ", ".join(bar.heads), SIZE, INK, True, "start")
    if bar.ends:
        yield Label(right - EDGE, y, ", ".join(bar.ends), SIZE, INK, True, "end")
