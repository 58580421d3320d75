"""A line on the page and in the making, and the chords that it stands over."""

from theorykit.views.line.chords_under import (
    FOUR_BARS,
    form_in,
    moved_onto,
    over_of,
    put_over,
    typed_over,
)
from theorykit.views.line.line_draft import LineDraft
from theorykit.views.line.line_views import LineView, line_view

__all__ = [
    "FOUR_BARS",
    "LineDraft",
    "LineView",
    "form_in",
    "line_view",
    "moved_onto",
    "over_of",
    "put_over",
    "typed_over",
]
