"""The shelf: all works of the reader, the term, and the folder that they lie in."""

from theorykit.widgets.shelves.carrying import WorkFile, work_file
from theorykit.widgets.shelves.shelving import Shelf, shelf

__all__ = ["Shelf", "WorkFile", "shelf", "work_file"]
