"""The desk for lines."""

from theorykit.widgets.lines.keeping import tags_of
from theorykit.widgets.lines.writing import LineDesk, line_desk, line_title

__all__ = ["LineDesk", "line_desk", "line_title", "tags_of"]
