"""Played lines: early and late notes, rounds beside each other, answers under their questions."""

from theorykit.views.played.comparing import ComparedLines, compared_lines, compared_rounds
from theorykit.views.played.rounds import rounds_of
from theorykit.views.played.timing import NoteTiming, TimingView, timing_of

__all__ = [
    "ComparedLines",
    "NoteTiming",
    "TimingView",
    "compared_lines",
    "compared_rounds",
    "rounds_of",
    "timing_of",
]
