"""Links to the files that were made: the browser saves them, and opens a page as one of its own."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from functools import partial
from pathlib import Path
from typing import Any

import anywidget
import traitlets as t

from theorykit.widgets.faults import noted

_HERE = Path(__file__).parent
MOST = 40  # links; the others are folded
RANK = {ending: n for n, ending in enumerate((".zip", ".html", ".pdf", ".musicxml", ".mp3"))}
TYPES = {
    ".html": "text/html;charset=utf-8",
    ".pdf": "application/pdf",
    ".musicxml": "application/vnd.recordare.musicxml+xml",
    ".mid": "audio/midi",
    ".mp3": "audio/mpeg",
    ".zip": "application/zip",
}
SAYS = "Press a name to save the file."
PAGE_SAYS = "The web page opens as a page of its own."
CONTENTS_SAYS = "The table of contents finds its files in the folder, and in the zip."
GONE = "This file is not there any more, or cannot be read. Press make again."


class MadeFiles(anywidget.AnyWidget):
    """A list of files, each sent to the page when it is pressed.

    ``files`` tells of each its name, its size, and whether it is a page to look at.

    >>> links = MadeFiles()
    >>> links.show([])
    >>> links.files
    []
    """

    _esm = (_HERE / "made_files.js").read_text("utf-8")
    files: t.List = t.List().tag(sync=True)
    says = t.Unicode("").tag(sync=True)
    most = t.Int(MOST).tag(sync=True)

    def __init__(self) -> None:
        self._paths: tuple[Path, ...] = ()
        super().__init__()
        self.on_msg(self._asked)

    def show(self, paths: Iterable[Path]) -> None:
        """Show links to files, those first that are wanted first; those that are gone are not."""
        found = (file for file in paths if file.is_file())
        ranked = sorted(found, key=lambda file: (RANK.get(file.suffix, len(RANK)), file))
        noted(partial(self._set, self._paths))
        self._set(tuple(ranked))

    def _set(self, paths: tuple[Path, ...]) -> None:
        """Set what the page shows."""
        more = [PAGE_SAYS] if any(map(_is_page, paths)) else []
        more += [CONTENTS_SAYS] if any(map(_is_contents, paths)) else []
        self._paths = paths
        with self.hold_sync():
            self.says = " ".join([SAYS, *more])
            self.files = [[file.name, _size(file), _is_page(file)] for file in paths]

    def _asked(self, _: object, message: Mapping[str, Any], __: object) -> None:
        """Send the file that the page asks for, or say why it does not come."""
        place, number = message.get("file"), message.get("number")
        file = dict(enumerate(self._paths)).get(place) if isinstance(place, int) else None
        try:
            data = b"" if file is None else file.read_bytes()
        except OSError:
            file = None
        if file is None:  # gone, or the list is another one by now
            self.send({"number": number, "problem": GONE})
            return
        kind = TYPES.get(file.suffix, "application/octet-stream")
        self.send({"number": number, "name": file.name, "type": kind}, [data])


def _is_contents(file: Path) -> bool:
    """Tell whether a file is a table of contents: it is of use beside its files alone."""
    return file.suffix == ".html" and " - contents - " in file.name


def _is_page(file: Path) -> bool:
    """Tell whether a file is a page that stands by itself."""
    return file.suffix == ".html" and not _is_contents(file)


def _size(file: Path) -> str:
    """Return the size of a file, in words."""
    try:
        size = file.stat().st_size
    except OSError:  # it has gone meanwhile
        return ""
    return f"{size / 1e6:.1f} MB" if size >= 1e6 else f"{max(1, round(size / 1e3))} kB"
