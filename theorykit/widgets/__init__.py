"""Controls for a notebook: what the reader chooses, one view, one assignment to each picture."""

from theorykit.widgets.exploring import Explorer, explorer

__all__ = ["Explorer", "explorer"]
