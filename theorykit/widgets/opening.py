"""Opening a file of the reader's: its melody as a line, and what was done to read it."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import ipywidgets as ipw

from theorykit.show.files import LineFile, open_line
from theorykit.show.text import sentences_html
from theorykit.tunes.progression import Progression
from theorykit.widgets.controls import guarded, panel, picture, put, typed
from theorykit.widgets.fields import tick, unwatched, upload

__all__ = ["Opening", "uploaded_line"]

ENDINGS = (".musicxml", ".xml", ".mxl", ".mid", ".midi")
LONGEST_NAME = 60  # characters of the file's own name that refusals repeat
_ODD = re.compile(r"^\W*$|[^\w. ()-]|^\.+")


class Opening(ipw.VBox):
    """A button that opens a file; ``take`` is given the line that was found in it.

    ``over`` returns the chords of the moment, for a line that is to stand over them.
    """

    def __init__(
        self, over: Callable[[], Progression], take: Callable[[LineFile, str], None]
    ) -> None:
        self._over, self._take = over, take
        self.file = upload("open a file", ENDINGS, self._opened)
        self.part = typed("part", "", "its name or number, if the melody is not found by itself")
        self.mine = tick("over the chords above", tip="not over those of the file")
        self.problem, self.told = picture(), picture()
        super().__init__([panel(self.file, self.part, self.mine), self.problem, self.told])

    def _opened(self, _: object) -> None:
        """Read what was opened; the same file can be opened again."""
        found = tuple(self.file.value)
        with unwatched(self._opened, self.file):
            self.file.value = ()
        if found:
            put(self.told, "")
            guarded(self.problem, lambda: self._read(found[0]))

    def _read(self, one: dict[str, Any]) -> None:
        """Read one file and hand its line on."""
        part = self.part.value.strip()
        over = self._over() if self.mine.value else None
        wanted = int(part) if part.isdecimal() else part or None
        found = uploaded_line(one, over=over, part=wanted)
        self._take(found, str(one["name"]))
        title = f"{one['name']}: {found.title}" if found.title else str(one["name"])
        put(self.told, sentences_html(title, *found.report))


def uploaded_line(
    one: dict[str, Any], *, over: Progression | None = None, part: str | int | None = None
) -> LineFile:
    """Return the line in an uploaded file."""
    with TemporaryDirectory() as folder:
        file = Path(folder) / _ODD.sub("_", str(one["name"]))[-LONGEST_NAME:]
        file.write_bytes(bytes(one["content"]))
        return open_line(file, over=over, part=part)
