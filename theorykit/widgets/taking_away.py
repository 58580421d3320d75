"""Taking away: a link that holds a file, or a file at a path that the reader types."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import ipywidgets as ipw

from theorykit.show.exports import (
    CHORUS_FILES,
    EXPORTS,
    Export,
    TakenChorus,
    Wanted,
    chorus_bytes,
    link_html,
)
from theorykit.show.files import file_at, write_file
from theorykit.show.html_text import sentences_html
from theorykit.widgets.controls import button, choice, guarded, panel, picture, put, tick, typed

__all__ = ["Exporting", "Kind", "Taking", "line_kinds", "stem"]

WIDE = "700px"
LONGEST_NAME = 40  # characters of a name that becomes the name of a file
_ODD = re.compile(r"\W+")


@dataclass(frozen=True, slots=True)
class Kind:
    """A kind of file: its name in the list, its ending, its media type, what makes it."""

    name: str
    ending: str
    media: str
    make: Callable[[], bytes]


def line_kinds(wanted: Callable[[], Wanted]) -> list[Kind]:
    """Return the kinds of file that a line can become; ``wanted`` returns the line to take away."""

    def kind(name: str, row: Export) -> Kind:
        return Kind(name, row.ending, row.media, lambda: row.make(wanted()))

    return [kind(name, row) for name, row in EXPORTS.items()]


class Exporting(ipw.VBox):
    """Controls for a file of one of some kinds; ``title`` returns what it is called in a link."""

    def __init__(self, kinds: Sequence[Kind], title: Callable[[], str]) -> None:
        self._title = title
        self.kind = choice("kind of file", [(kind.name, kind) for kind in kinds], kinds[0])
        self.link = button("make a link", self._link, "a link in the page that saves the file")
        self.path = typed("path", "", "a file, from the folder of the notebook")
        self.path.layout.width = WIDE
        self.write = button("write the file", self._write, "write to the path")
        self.replace = tick("replace a file of this name")
        self.problem, self.told = picture(), picture()
        super().__init__(self._parts())

    def _parts(self) -> list[ipw.Widget]:
        """Lay the parts out."""
        written = panel(self.path, self.write, self.replace)
        return [panel(self.kind, self.link), written, self.problem, self.told]

    def stale(self) -> None:
        """Take away a link that holds what is not there any more."""
        put(self.told, "")
        put(self.problem, "")

    def _link(self, _: object) -> None:
        """Put the file into a link."""
        self.stale()
        guarded(self.problem, self._make_link)

    def _make_link(self) -> None:
        """Make the file, then the link that holds it."""
        kind: Kind = self.kind.value
        put(self.told, link_html(f"{stem(self._title())}{kind.ending}", kind.media, kind.make()))

    def _write(self, _: object) -> None:
        """Write the file to the path."""
        self.stale()
        guarded(self.problem, self._make_file)

    def _make_file(self) -> None:
        """Make the file, then write it."""
        kind: Kind = self.kind.value
        file = file_at(self.path.value, kind.ending)
        write_file(file, kind.make(), replace=self.replace.value)
        self.replace.value = False
        put(self.told, sentences_html("", f"Written to {file}."))


def stem(title: str) -> str:
    """Return a name for a file from a title.

    >>> stem("Ida's turn, E♭"), stem("?!")
    ('Ida_s_turn_E', 'line')
    """
    return _ODD.sub("_", title).strip("_")[:LONGEST_NAME] or "line"


CHORUS_WIDE = "560px"


class Taking(ipw.VBox):
    """Controls for a file; ``what`` returns the chorus that is to be taken away."""

    def __init__(self, what: Callable[[], TakenChorus]) -> None:
        self._what = what
        self.kind = choice("kind of file", list(CHORUS_FILES), "MusicXML")
        self.link = button("make a link", self._link, "a link in the page that saves the file")
        self.path = typed("path", "", "a file, from the folder of the notebook")
        self.path.layout.width = CHORUS_WIDE
        self.write = button("write the file", self._write, "write to the path")
        self.replace = tick("replace a file of this name")
        self.problem, self.told = picture(), picture()
        written = panel(self.path, self.write, self.replace)
        super().__init__([panel(self.kind, self.link), written, self.problem, self.told])

    def _link(self, _: object) -> None:
        """Put the file into a link."""
        put(self.told, "")
        guarded(self.problem, self._make_link)

    def _make_link(self) -> None:
        """Make the file, then the link that holds it."""
        taken, kind = self._what(), CHORUS_FILES[self.kind.value]
        data = chorus_bytes(taken, self.kind.value)
        put(self.told, link_html(f"{_stem(taken)}{kind.ending}", kind.media, data))

    def _write(self, _: object) -> None:
        """Write the file to the path."""
        put(self.told, "")
        guarded(self.problem, self._make_file)

    def _make_file(self) -> None:
        """Make the file, then write it."""
        file = file_at(self.path.value, CHORUS_FILES[self.kind.value].ending)
        data = chorus_bytes(self._what(), self.kind.value)
        write_file(file, data, replace=self.replace.value)
        self.replace.value = False
        put(self.told, sentences_html("", f"Written to {file}."))


def _stem(taken: TakenChorus) -> str:
    """Return a name for the file from the title of the tune."""
    words = re.findall(r"[a-z0-9]+", taken.chorus.chart.title.lower())
    return "_".join(words)[:60] or "chorus"
