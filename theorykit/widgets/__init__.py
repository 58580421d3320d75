"""Controls for a notebook: what the reader chooses, one view, one assignment to each picture."""

from theorykit.widgets.exploring import Explorer, explorer
from theorykit.widgets.substituting import Substitutions, substitutions

__all__ = ["Explorer", "Substitutions", "explorer", "substitutions"]
