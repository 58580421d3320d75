"""Taking a chorus away: a link that holds the file, or a file at a path that the reader types."""

from __future__ import annotations

import re
from collections.abc import Callable

import ipywidgets as ipw

from theorykit.show.chorus_files import CHORUS_FILES, TakenChorus, chorus_bytes
from theorykit.show.exports import link_html
from theorykit.show.saving import file_at, write_file
from theorykit.show.text import sentences_html
from theorykit.widgets.controls import choice, guarded, panel, picture, put, typed
from theorykit.widgets.fields import button, tick

__all__ = ["Taking"]

WIDE = "560px"


class Taking(ipw.VBox):
    """Controls for a file; ``what`` returns the chorus that is to be taken away."""

    def __init__(self, what: Callable[[], TakenChorus]) -> None:
        self._what = what
        self.kind = choice("kind of file", list(CHORUS_FILES), "MusicXML")
        self.link = button("make a link", self._link, "a link in the page that saves the file")
        self.path = typed("path", "", "a file, from the folder of the notebook")
        self.path.layout.width = WIDE
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
