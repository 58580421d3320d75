"""A small menu under a picture that saves it: as PNG, SVG or PDF, in a link or to a path."""

from __future__ import annotations

from collections.abc import Callable
from operator import not_

import ipywidgets as ipw
from traitlets import dlink

from theorykit.errors import TheoryError
from theorykit.show.exports import file_stem, link_html
from theorykit.show.files import file_at, write_file
from theorykit.show.html_text import sentences_html
from theorykit.show.pictures import PAPER, Drawable, picture_bytes
from theorykit.widgets.controls import (
    answer,
    button,
    choice,
    guarded,
    panel,
    picture,
    put,
    tick,
    typed,
)
from theorykit.widgets.faults import Page, lasting

__all__ = ["Saving"]

# Each kind with its ending and its media type (IANA).
KINDS = (
    ("PNG, for slides", (".png", "image/png")),
    ("SVG, for the web", (".svg", "image/svg+xml")),
    ("PDF, for print", (".pdf", "application/pdf")),
)
PAPERS = (("cream, as here", PAPER), ("white", "#ffffff"), ("none, see-through", "none"))
NARROW = {"width": "250px", "label_width": "80px"}
WIDE = "380px"
OPENER = {"width": "auto", "height": "24px", "margin": "0 2px 6px 2px", "align_self": "flex-start"}
# As wide as what is above it, and never the reason that it is wider.
NO_WIDER = {"width": "0px", "min_width": "100%"}
FRAME = {"border_left": "2px solid #8a8a8a", "padding": "0 0 0 8px", "margin": "0 0 8px 0"}


class Saving(Page):
    """A button that opens the menu of one picture; its controls are there once it was opened.

    ``noun`` says which picture it is, and ``place`` shows it. ``title`` returns what stands behind
    the noun in the name of the file, ``view`` what is drawn; without it, it is the SVG of a staff.

    >>> from theorykit.show.pictures import picture_svg
    >>> from theorykit.views.clock import clock_of
    >>> clock, place = clock_of("F#7"), picture()
    >>> place.value = picture_svg(clock)
    >>> menu = Saving("clock", place, lambda: "F#7", lambda: clock)
    >>> menu.opener.value = True
    >>> menu.link.click()
    >>> menu.told.value[:36]
    '<a download="clock_Fsharp7.png" href'
    """

    def __init__(
        self,
        noun: str,
        place: ipw.HTML,
        title: Callable[[], str],
        view: Callable[[], Drawable | None] | None = None,
    ) -> None:
        self._noun, self._place, self._title = noun, place, title
        self.menu: ipw.VBox | None = None
        self._view = view or (lambda: place.value)
        self.opener = ipw.ToggleButton(
            description=f"save {noun}",
            tooltip=f"save the {noun} as a picture: PNG, SVG or PDF",
            layout=ipw.Layout(**OPENER),
            style={"font_size": "12px"},
        )
        self.problem = picture()
        super().__init__([self.opener])
        self.opener.observe(self._open, "value")
        dlink((place, "value"), (self.opener, "disabled"), not_)

    def _open(self, _: object) -> None:
        """Show the menu, or put it away; where it cannot be made, that is said in its place."""
        if not guarded(self.problem, self._turn):
            self.children = [self.opener, self.problem]

    def _turn(self) -> None:
        """Show the menu or put it away; it is made when it is wanted for the first time."""
        if not self.opener.value:
            self.children = [self.opener]
            return
        if self.menu is None:
            self.menu = self._made_menu()
        self.children = [self.opener, self.menu]

    def _made_menu(self) -> ipw.VBox:
        """Make the controls and return them."""
        named = f"of the {self._noun}"
        self.kind = choice("kind of file", KINDS, KINDS[0][1], f"kind of file {named}", **NARROW)
        self.paper = choice("paper", PAPERS, PAPER, f"colour behind it {named}", **NARROW)
        self.link = button("make a link", self._link, f"a link that saves the {self._noun}")
        self.path = typed(
            "path",
            "",
            "a file, from the folder of the notebook",
            example="pictures/thursday",
            width=WIDE,
        )
        self.path.style.description_width = NARROW["label_width"]
        self.write = button("write the file", self._write, f"write the {self._noun} to the path")
        self.replace = tick("replace a file of this name")
        self.told = picture()
        chosen = panel(self.kind, self.paper, self.link)
        written = panel(self.path, self.write, self.replace)
        # Another picture, kind or paper: a link that was made holds the one before.
        for control in (self.kind, self.paper, self._place):
            control.observe(self._stale, "value")
        parts = [chosen, written, self.problem, self.told]
        return ipw.VBox(parts, layout=ipw.Layout(**FRAME, **NO_WIDER))

    @answer
    def _stale(self, _: object) -> None:
        """Take away what was said of a file."""
        put(self.told, "")
        put(self.problem, "")

    def _bytes(self, ending: str) -> bytes:
        """Return the picture as the content of a file."""
        drawable = self._view() if self._place.value else None
        if drawable is None:
            raise TheoryError(f"there is no {self._noun} to save (want one that is shown)")
        return picture_bytes(drawable, ending, paper=self.paper.value)

    @answer
    def _link(self, _: object) -> None:
        """Put the file into a link."""
        put(self.told, "")
        guarded(self.problem, self._make_link)

    def _make_link(self) -> None:
        """Make the file, then the link that holds it."""
        ending, media = self.kind.value
        data = self._bytes(ending)
        name = file_stem(f"{self._noun} {self._title()}")
        put(self.told, link_html(f"{name}{ending}", media, data))

    @answer
    def _write(self, _: object) -> None:
        """Write the file to the path."""
        put(self.told, "")
        guarded(self.problem, self._make_file)

    def _make_file(self) -> None:
        """Make the file, then write it; the ending of the path says what it is, if it has one."""
        file = file_at(self.path.value, self.kind.value[0])
        write_file(file, self._bytes(file.suffix), replace=self.replace.value)
        lasting(f"{file} is written.")
        self.replace.value = False
        put(self.told, sentences_html("", f"Written to {file}."))
