"""A line on the page: its staff with what each note does, and a teacher's words beside it."""

from __future__ import annotations

import ipywidgets as ipw

from theorykit.show.staff import staff_svg
from theorykit.show.text import explanation_html, sentences_html, table_html
from theorykit.views.line_desk import LineView
from theorykit.views.staff import StaffView
from theorykit.widgets.controls import panel, picture, put

__all__ = ["LinePage", "line_picture"]

SCALE, ROOM = 50, 120  # percent; pixels kept free, so that nothing jumps
MOST_ON_ONE_LINE, PAGE_WIDTH = 4, 1000  # bars; pixels of a staff that is broken into lines
LONGEST = "420px"
SEEN = {"flex": "1 1 660px", "min_width": "300px"}
SAID = {"flex": "1 1 340px", "min_width": "280px"}
NO_NOTES = "No note yet."


class LinePage(ipw.VBox):
    """Pictures and words of one line."""

    def __init__(self) -> None:
        self.view: LineView | None = None
        self.staff, self.legend = picture(ROOM), picture()
        self.words, self.table = picture(), picture()
        for long in (self.words, self.table):  # a whole chorus is scrolled through
            long.layout.max_height, long.layout.overflow = LONGEST, "auto"
        seen = ipw.VBox([self.staff, self.legend, self.table], layout=SEEN)
        super().__init__([panel(seen, ipw.VBox([self.words], layout=SAID))])

    def show(self, view: LineView) -> None:
        """Draw a view; a staff gets new ids each time, so the same one is left alone."""
        if self.view is None or view.staff != self.view.staff:
            put(self.staff, line_picture(view.staff, SCALE))
        self.view = view
        put(self.legend, sentences_html("", view.legend or NO_NOTES, view.written))
        put(self.words, explanation_html(view.sections))
        cells = view.cells
        told = table_html(view.caption, view.heads, cells) if cells else ""
        put(self.table, told)


def line_picture(staff: StaffView, scale: float) -> str:
    """Return a staff on one line if it is short, else broken into lines."""
    long = len(staff.bars) > MOST_ON_ONE_LINE
    return staff_svg(staff, scale=scale, width=PAGE_WIDTH if long else None)
