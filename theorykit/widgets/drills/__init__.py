"""Drills on a page: what the journal asks, what a chapter or a class asks, ear training."""

from theorykit.widgets.drills.drilling import Drill, drill
from theorykit.widgets.drills.ear_training import EarTraining, ear_training

__all__ = ["Drill", "EarTraining", "drill", "ear_training"]
