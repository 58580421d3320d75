"""The shelf: all works of the reader, the term, and the folder that they lie in."""

from theorykit.widgets.shelves.shelving import Shelf, shelf

__all__ = ["Shelf", "shelf"]
