"""Opening a file of the reader's: its melody as a line, and what was done to read it."""

from __future__ import annotations

import re
from collections.abc import Callable
from functools import partial
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import ipywidgets as ipw

from theorykit.show.files import LineFile, open_line
from theorykit.show.saving import file_at
from theorykit.show.text import sentences_html
from theorykit.tunes.progression import Progression
from theorykit.widgets.controls import guarded, panel, picture, put, typed
from theorykit.widgets.fields import tick, unwatched, upload

__all__ = ["Opening", "uploaded_line"]

LIMIT = "MusicXML or MIDI, at most 10 MB; the page does not send a larger file."
ENDINGS = (".musicxml", ".xml", ".mxl", ".mid", ".midi")
LONGEST_NAME = 60  # characters of the file's own name that refusals repeat
_ODD = re.compile(r"^\W*$|[^\w. ()-]|^\.+")


class Opening(ipw.VBox):
    """A button that opens a file, and a field for its path; ``take`` is given the line in it.

    ``over`` returns the chords of the moment, for a line that is to stand over them.
    """

    def __init__(
        self, over: Callable[[], Progression], take: Callable[[LineFile, str], None]
    ) -> None:
        self._over, self._take = over, take
        self.file = upload("open a file", ENDINGS, self._opened)
        self.path = typed("or its path", "", "a file, from the folder of the notebook")
        self.part = typed("part", "", "its name or number, if the melody is not found by itself")
        self.mine = tick("over the chords above", tip="not over those of the file")
        self.limit, self.problem, self.told = picture(), picture(), picture()
        put(self.limit, sentences_html("", LIMIT))
        chosen = panel(self.part, self.mine)
        super().__init__([panel(self.file, self.path), chosen, self.limit, self.problem, self.told])
        self.path.observe(self._named, "value")

    def _opened(self, _: object) -> None:
        """Read what was opened; the same file can be opened again."""
        found = tuple(self.file.value)
        with unwatched(self._opened, self.file):
            self.file.value = ()
        for one in found:
            self._read(str(one["name"]), partial(uploaded_line, one))

    def _named(self, _: object) -> None:
        """Read the file at the path."""
        if path := self.path.value.strip():
            self._read(path, lambda **wishes: open_line(file_at(path), **wishes))

    def _read(self, name: str, find: Callable[..., LineFile]) -> None:
        """Read one file; what was said before is no longer true."""
        put(self.told, "")
        guarded(self.problem, lambda: self._hand_on(name, find))

    def _hand_on(self, name: str, find: Callable[..., LineFile]) -> None:
        """Find the line in a file and hand it on."""
        part = self.part.value.strip()
        over = self._over() if self.mine.value else None
        found = find(over=over, part=int(part) if part.isdecimal() else part or None)
        self._take(found, name)
        title = f"{name}: {found.title}" if found.title else name
        put(self.told, sentences_html(title, *found.report))


def uploaded_line(
    one: dict[str, Any], *, over: Progression | None = None, part: str | int | None = None
) -> LineFile:
    """Return the line in an uploaded file."""
    with TemporaryDirectory() as folder:
        file = Path(folder) / _ODD.sub("_", str(one["name"]))[-LONGEST_NAME:]
        file.write_bytes(bytes(one["content"]))
        return open_line(file, over=over, part=part)
