"""The browser that Python runs in: what its page offers, where there is one around.

Where the workbook runs without an installation, a module of JavaScript stands beside Python; it
engraves and it mixes sound. Nothing else imports it, and nowhere else it is there.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from functools import cache
from typing import Any

from theorykit.errors import TheoryError


@cache
def _page() -> Any:
    """Return the module of the page."""
    import theorykit_browser

    return theorykit_browser


class Engraver:
    """The engraver of the page, with the calls that the staff asks for."""

    def __init__(self) -> None:
        self._toolkit = _page().engraver

    def resetOptions(self) -> None:
        """Forget what the score before was engraved with."""
        self._toolkit.resetOptions()

    def setOptions(self, options: Mapping[str, Any]) -> None:
        """Set options by their names."""
        self._toolkit.setOptions(json.dumps(options))

    def loadData(self, text: str) -> bool:
        """Read a score; return whether it can be engraved."""
        return bool(self._toolkit.loadData(text))

    def getPageCount(self) -> int:
        """Return how many pages it has."""
        return int(self._toolkit.getPageCount())

    def renderToSVG(self, page: int) -> str:
        """Return a page as the text of a picture."""
        return str(self._toolkit.renderToSVG(page))


@cache
def sound_index() -> dict[str, Any]:
    """Return what is told of the sounds that lie beside the page."""
    told: dict[str, Any] = json.loads(_page().read("sounds/index.json").to_bytes())
    return told


def file_part(name: str, start: int, end: int) -> bytes:
    """Return some bytes of a file of sounds; the file is fetched once."""
    data = _page().part(f"sounds/{name}", start, end)
    return bytes(data.to_bytes())


def mixed(wishes: Mapping[str, Any]) -> Any:
    """Return the sound of notes in their room, as the page's two channels.

    ``wishes`` are plain data: the notes with their sounds, the length, and how it ends.
    """
    return _page().mix(json.dumps(wishes))


def encoded(sound: Any, form: str, quality: float) -> bytes:
    """Return two channels as the bytes of a file: ``"wav"``, ``"ogg"`` or ``"mp3"``."""
    return bytes(_page().encode(sound, form, quality).to_bytes())


def installed_only(what: str) -> TheoryError:
    """Return the refusal of what a page cannot do.

    It says what needs the installed workbook.
    """
    return TheoryError(f"{what} needs the installed workbook (want theorykit on this machine)")
