"""Drills on a page: what the journal asks, what a chapter or a class asks, ear training."""

from theorykit.widgets.drills.drilling import Drill, drill

__all__ = ["Drill", "drill"]
