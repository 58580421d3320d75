"""The chord chart of a tune: the whole tune at a reader's pitch on one page, and nothing else."""

from __future__ import annotations

from dataclasses import replace

from theorykit.handout.blocks import TuneBlock
from theorykit.handout.fitting import fitted
from theorykit.handout.front import Edition, Front
from theorykit.handout.names import names_in
from theorykit.handout.page import page_pdf
from theorykit.tunes.charts import Chart

__all__ = ["chord_chart_pdf"]

UNTITLED = "A tune"


def chord_chart_pdf(chart: Chart, edition: Edition) -> bytes:
    """Return a page with the chords of a tune as a tagged PDF, as they are written.

    >>> chord_chart_pdf(Chart.of("F", "Gm7", "C7", "F6", "%"), Edition("E flat"))[:5]
    b'%PDF-'
    """
    title = chart.title.strip() or UNTITLED
    front = Front(title, fits="1 page", as_typed=names_in(title))  # a title is the composer's
    block = TuneBlock(chart=str(chart), lines="none", show=("grid",))
    one = fitted(front, (block,), edition)
    bare = tuple(replace(section, heading="") for section in one.sections)
    return page_pdf(front, bare, edition, one.setting, told=one.told)
