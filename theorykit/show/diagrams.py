"""Diagrams: motion picture, clock of twelve, grid and bars of counts, for screen and for paper.

Each has two ways out of one layout: ``..._svg`` returns SVG text, fast enough for a widget that
answers a click; ``..._figure`` draws on matplotlib axes, for pages and for pictures in files.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from theorykit.show.clock_layout import clock_picture
from theorykit.show.counts_layout import counts_picture
from theorykit.show.grid_layout import grid_picture
from theorykit.show.motion_layout import motion_picture
from theorykit.show.palette import PAPER
from theorykit.show.picture import picture_axes, picture_svg
from theorykit.views.clock import ClockView
from theorykit.views.counts import CountsView
from theorykit.views.grid import GridView
from theorykit.views.motion import MotionView

if TYPE_CHECKING:
    from matplotlib.axes import Axes

__all__ = [
    "clock_figure",
    "clock_svg",
    "counts_figure",
    "counts_svg",
    "grid_figure",
    "grid_svg",
    "motion_figure",
    "motion_svg",
]


def motion_svg(view: MotionView, *, scale: float = 1.0, paper: str = PAPER) -> str:
    """Return a motion picture as SVG text; ``scale`` 1 is 528 pixels wide with its card.

    >>> from theorykit.harmony.resolution import resolve
    >>> from theorykit.views.motion import motion_of
    >>> "half ↓" in motion_svg(motion_of(resolve("G7", "b9", "C")))
    True
    """
    return picture_svg(motion_picture(view), scale=scale, paper=paper)


def motion_figure(view: MotionView, ax: Axes | None = None) -> Axes:
    """Return axes with a motion picture; without ``ax`` on a figure of its own."""
    return picture_axes(motion_picture(view), ax)


def clock_svg(view: ClockView, *, scale: float = 1.0, paper: str = PAPER) -> str:
    """Return a clock as SVG text; ``scale`` 1 is 488 pixels wide with its card.

    >>> from theorykit.views.clock import clock_of
    >>> "tritone of G7 and D♭7: B and F" in clock_svg(clock_of("G7", None, "Db7"))
    True
    """
    return picture_svg(clock_picture(view), scale=scale, paper=paper)


def clock_figure(view: ClockView, ax: Axes | None = None) -> Axes:
    """Return axes with a clock; without ``ax`` on a figure of its own."""
    return picture_axes(clock_picture(view), ax)


def grid_svg(view: GridView, *, scale: float = 1.0, paper: str = PAPER) -> str:
    """Return a grid as SVG text, as wide as its words need.

    >>> from theorykit.views.grid import colour_grid
    >>> ">E<" in grid_svg(colour_grid(["C"], ["b9 13"]))
    True
    """
    return picture_svg(grid_picture(view), scale=scale, paper=paper)


def grid_figure(view: GridView, ax: Axes | None = None) -> Axes:
    """Return axes with a grid; without ``ax`` on a figure of its own."""
    return picture_axes(grid_picture(view), ax)


def counts_svg(view: CountsView, *, scale: float = 1.0, paper: str = PAPER) -> str:
    """Return bars of counts as SVG text; ``scale`` 1 is 648 pixels wide with its card.

    >>> from theorykit.harmony.counts import evidence
    >>> from theorykit.views.counts import counts_of
    >>> "852 of 15,387" in counts_svg(counts_of([evidence("b9")]))
    True
    """
    return picture_svg(counts_picture(view), scale=scale, paper=paper)


def counts_figure(view: CountsView, ax: Axes | None = None) -> Axes:
    """Return axes with bars of counts; without ``ax`` on a figure of its own."""
    return picture_axes(counts_picture(view), ax)
