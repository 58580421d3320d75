"""Taken lines seen: early and late notes, and rounds beside each other."""

from theorykit.views.taken.rounds import rounds_of
from theorykit.views.taken.timing import NoteTiming, TimingView, timing_of

__all__ = ["NoteTiming", "TimingView", "rounds_of", "timing_of"]
