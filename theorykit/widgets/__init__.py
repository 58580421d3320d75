"""Controls for a notebook: what the reader chooses, one view, one assignment to each picture."""

from theorykit.widgets.exploring import Explorer, explorer
from theorykit.widgets.identifying import IdentifyNotes, identify_notes
from theorykit.widgets.substituting import Substitutions, substitutions
from theorykit.widgets.tabling import SubsetTable, subset_table

__all__ = [
    "Explorer",
    "IdentifyNotes",
    "SubsetTable",
    "Substitutions",
    "explorer",
    "identify_notes",
    "subset_table",
    "substitutions",
]
