"""Sending: buttons that put what is on one desk onto the next one."""

from __future__ import annotations

from collections.abc import Callable

import ipywidgets as ipw

from theorykit.show.html_text import sentences_html
from theorykit.widgets.controls import button, guarded, panel, picture, put
from theorykit.widgets.faults import Page


class Sending(Page):
    """A row of buttons, empty until another desk takes something from this one.

    >>> row = Sending()
    >>> row.to("put it on the handout", lambda: "It is block 1.", "at its end")
    >>> row.buttons["put it on the handout"].click()
    >>> "It is block 1." in row.told.value
    True
    """

    def __init__(self) -> None:
        self.buttons: dict[str, ipw.Button] = {}
        self.row, self.problem, self.told = panel(), picture(), picture()
        super().__init__([self.row, self.problem, self.told])

    def stale(self) -> None:
        """Take away what was said of something that is not on the desk any more."""
        put(self.told, "")
        put(self.problem, "")

    def to(self, label: str, act: Callable[[], str], tip: str) -> None:
        """Add a button, in the place of one with the same label; ``act`` returns what it did."""

        def press(_: object) -> None:
            self.stale()
            guarded(self.problem, lambda: put(self.told, sentences_html("", act())))

        self.buttons[label] = button(label, press, tip)
        self.row.children = tuple(self.buttons.values())
