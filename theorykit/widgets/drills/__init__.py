"""Drills on a page: what the journal asks, what a chapter or a class asks, ear training."""

from theorykit.widgets.drills.chapter_drill import drill
from theorykit.widgets.drills.class_work import ClassAnswersPage, class_answers
from theorykit.widgets.drills.drilling import Drill
from theorykit.widgets.drills.ear_training import EarTraining, ear_training
from theorykit.widgets.drills.journal_desk import JournalDesk, journal

__all__ = [
    "ClassAnswersPage",
    "Drill",
    "EarTraining",
    "JournalDesk",
    "class_answers",
    "drill",
    "ear_training",
    "journal",
]
