"""Opening a file with a line: its melody, and what was done to read it."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path
from tempfile import TemporaryDirectory

from theorykit.show.files import LineFile, open_line
from theorykit.tunes.progression import Progression
from theorykit.widgets.controls import typed
from theorykit.widgets.fields import tick
from theorykit.widgets.file_opening import FileOpening

__all__ = ["ENDINGS", "Opening", "line_in"]

ENDINGS = (".musicxml", ".xml", ".mxl", ".mid", ".midi")
LONGEST_NAME = 60  # characters of the file's own name that refusals repeat
_ODD = re.compile(r"^\W*$|[^\w. ()-]|^\.+")


class Opening(FileOpening):
    """A button that opens MusicXML or MIDI, and a field for its path.

    ``over`` returns the chords of the moment, for a line that is to stand over them; ``take`` is
    given the line and the name of the file.
    """

    def __init__(
        self, over: Callable[[], Progression], take: Callable[[LineFile, str], None]
    ) -> None:
        self._over, self._take = over, take
        self.part = typed("part", "", "its name or number, if the melody is not found by itself")
        self.mine = tick("over the chords above", tip="not over those of the file")
        super().__init__("open a file", ENDINGS, self._hand_on, self.part, self.mine)

    def _hand_on(self, name: str, content: bytes) -> tuple[str, ...]:
        """Find the line in a file and hand it on."""
        part = self.part.value.strip()
        over = self._over() if self.mine.value else None
        found = line_in(name, content, over=over, part=int(part) if part.isdecimal() else part)
        self._take(found, name)
        return (f"{name}: {found.title}" if found.title else name, *found.report)


def line_in(
    name: str, content: bytes, *, over: Progression | None = None, part: str | int = ""
) -> LineFile:
    """Return the line in the content of a file.

    >>> line_in("x.mid", b"MThd")
    Traceback (most recent call last):
    theorykit.errors.TheoryError: x.mid is refused: its MIDI header is cut off (want MusicXML \
(.musicxml, .xml, .mxl) or MIDI (.mid))
    """
    with TemporaryDirectory() as folder:
        file = Path(folder) / _ODD.sub("_", Path(name).name)[-LONGEST_NAME:]
        file.write_bytes(content)
        return open_line(file, over=over, part=None if part == "" else part)
