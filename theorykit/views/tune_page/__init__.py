"""The page of a tune: its grid and the marks of its cadences."""

from theorykit.views.tune_page.job_labels import job_words
from theorykit.views.tune_page.tune_bars import (
    BARS_A_ROW,
    Bracket,
    GridBar,
    GridWord,
    TuneGridView,
    tune_grid,
)
from theorykit.views.tune_page.tune_marks import TuneMark
from theorykit.views.tune_page.tune_sections import heard_sections

__all__ = [
    "BARS_A_ROW",
    "Bracket",
    "GridBar",
    "GridWord",
    "TuneGridView",
    "TuneMark",
    "heard_sections",
    "job_words",
    "tune_grid",
]
