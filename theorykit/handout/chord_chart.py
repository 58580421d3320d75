"""The chord chart of a tune: the whole tune at a reader's pitch on one page, and nothing else."""

from __future__ import annotations

from dataclasses import replace

from theorykit.handout.front import Edition, Front
from theorykit.handout.names import names_in
from theorykit.handout.page import PLAIN, SETTINGS, Engraver, Setting, page_extent, page_pdf
from theorykit.handout.pieces import Section
from theorykit.tunes.charts import Chart
from theorykit.views.tune_page import tune_grid

__all__ = ["chord_chart_pdf"]

UNTITLED = "A tune"
LARGE = replace(PLAIN, measure=SETTINGS[-1].measure)


def chord_chart_pdf(chart: Chart, edition: Edition) -> bytes:
    """Return a page with the chords of a tune as a tagged PDF, as they are written.

    The chart is as wide as the page allows, and smaller where it would need a second one.

    >>> chord_chart_pdf(Chart.of("F", "Gm7", "C7", "F6", "%"), Edition("E flat"))[:5]
    b'%PDF-'
    """
    title = chart.title.strip() or UNTITLED
    front = Front(title, as_typed=names_in(title))  # a title is its composer's
    ways = [(_section(chart, edition, one, wide=one is LARGE), one) for one in (LARGE, *SETTINGS)]
    for section, setting in ways:
        if page_extent(front, (section,), edition, setting).pages == 1:
            break
    return page_pdf(front, (section,), edition, setting)


def _section(chart: Chart, edition: Edition, setting: Setting, *, wide: bool) -> Section:
    """Return the grid of a chart; a ``wide`` one fills the width of the text."""
    engraver = Engraver(edition.who, edition.size, setting.measure, setting.small)
    page = chart.written_for(edition.who)
    view = tune_grid(replace(page, title=""), brackets=False, columns=engraver.columns)
    pieces = engraver.tune(view)
    if wide and len(pieces) == 1:
        pieces = (replace(pieces[0], width=1.0),)
    return Section("", pieces)
