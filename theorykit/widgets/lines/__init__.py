"""The desk for lines."""

from theorykit.widgets.lines.keeping import Keeping, tags_of
from theorykit.widgets.lines.writing import LineDesk, line_desk, line_title

__all__ = ["Keeping", "LineDesk", "line_desk", "line_title", "tags_of"]
