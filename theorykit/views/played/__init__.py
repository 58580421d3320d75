"""Played lines: early and late notes, and rounds beside each other."""

from theorykit.views.played.rounds import rounds_of
from theorykit.views.played.timing import NoteTiming, TimingView, timing_of

__all__ = ["NoteTiming", "TimingView", "rounds_of", "timing_of"]
