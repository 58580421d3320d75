"""A line on the page and in the making."""

from theorykit.views.line.line_draft import LineDraft
from theorykit.views.line.line_views import LineView, line_view

__all__ = ["LineDraft", "LineView", "line_view"]
