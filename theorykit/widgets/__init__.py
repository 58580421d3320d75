"""Widgets: controls for a notebook, one view and one assignment to each picture."""

from theorykit.widgets.exploring import Explorer, explorer
from theorykit.widgets.handouts import HandoutDesk, handout_desk
from theorykit.widgets.identifying import IdentifyNotes, identify_notes
from theorykit.widgets.lines import LineDesk, line_desk
from theorykit.widgets.phrases import PhraseShelf, phrase_book
from theorykit.widgets.substituting import Substitutions, substitutions
from theorykit.widgets.tabling import SubsetTable, subset_table
from theorykit.widgets.tunes import TuneDesk, tune_desk

__all__ = [
    "Explorer",
    "HandoutDesk",
    "IdentifyNotes",
    "LineDesk",
    "PhraseShelf",
    "SubsetTable",
    "Substitutions",
    "TuneDesk",
    "explorer",
    "handout_desk",
    "identify_notes",
    "line_desk",
    "phrase_book",
    "subset_table",
    "substitutions",
    "tune_desk",
]
