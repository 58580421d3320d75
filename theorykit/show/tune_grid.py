"""The grid of a tune as a picture: SVG text for the screen, matplotlib axes for paper."""

from __future__ import annotations

from typing import TYPE_CHECKING

from theorykit.show.palette import PAPER
from theorykit.show.picture import picture_axes, picture_svg
from theorykit.show.tune_grid_layout import tune_grid_picture
from theorykit.views.tune_page import TuneGridView

if TYPE_CHECKING:
    from matplotlib.axes import Axes

__all__ = ["tune_grid_figure", "tune_grid_svg"]


def tune_grid_svg(view: TuneGridView, *, scale: float = 1.0, paper: str = PAPER) -> str:
    """Return the grid of a tune as SVG text; ``scale`` 1 is 798 pixels wide with its card.

    >>> from theorykit.tunes.charts import Chart
    >>> from theorykit.views.tune_page import tune_grid
    >>> picture = tune_grid_svg(tune_grid(Chart.of("Db", "Ebm7", "Ab7", "Dbmaj7")))
    >>> [text in picture for text in (">E♭m7<", ">A♭7<", ">1  ii-V-I D♭, long<")]
    [True, True, True]
    """
    return picture_svg(tune_grid_picture(view), scale=scale, paper=paper)


def tune_grid_figure(view: TuneGridView, ax: Axes | None = None) -> Axes:
    """Return axes with the grid of a tune; without ``ax`` on a figure of its own."""
    return picture_axes(tune_grid_picture(view), ax)
