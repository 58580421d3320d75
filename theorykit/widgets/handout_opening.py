"""Opening the text file of a handout, and bringing back the one that was there before."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import Any

import ipywidgets as ipw

from theorykit.errors import TheoryError, shown
from theorykit.handout.handout import Handout
from theorykit.show.saving import file_at
from theorykit.show.text import sentences_html
from theorykit.widgets.controls import guarded, panel, picture, put, typed
from theorykit.widgets.fields import button, unwatched, upload

__all__ = ["HandoutOpening"]

ENDING = ".toml"


class HandoutOpening(ipw.VBox):
    """A button that opens a file, a field for its path, and a button that goes back.

    ``take`` is given the handout that was opened; ``back`` puts the one before in its place, or
    refuses where there is none.
    """

    def __init__(self, take: Callable[[Handout], None], back: Callable[[], None]) -> None:
        self._take, self._back = take, back
        self.file = upload("open a handout", (ENDING,), self._opened)
        self.path = typed("or its path", "", "a text file, from the folder of the notebook")
        self.back = button("bring back the one before", self._press_back)
        self.problem, self.told = picture(), picture()
        super().__init__([panel(self.file, self.path, self.back), self.problem, self.told])
        self.path.observe(self._named, "value")

    def _opened(self, _: object) -> None:
        """Read what was opened; the same file can be opened again."""
        found = tuple(self.file.value)
        with unwatched(self._opened, self.file):
            self.file.value = ()
        for one in found:
            self._read(str(one["name"]), partial(_uploaded, one))

    def _named(self, _: object) -> None:
        """Read the file at the path."""
        if path := self.path.value.strip():
            self._read(path, lambda: Handout.read(file_at(path, ENDING)))

    def _read(self, name: str, find: Callable[[], Handout]) -> None:
        """Read one file; what was said before is no longer true."""
        put(self.told, "")

        def act() -> None:
            self._take(find())
            put(self.told, sentences_html("", f"Opened from {name}."))

        guarded(self.problem, act)

    def _press_back(self, _: object) -> None:
        """Bring back what was typed before."""
        put(self.told, "")
        guarded(self.problem, self._back)


def _uploaded(one: dict[str, Any]) -> Handout:
    """Return the handout in an uploaded file."""
    try:
        return Handout.parse(bytes(one["content"]).decode("utf-8"))
    except UnicodeDecodeError:
        raise TheoryError(f"{shown(str(one['name']))} is no text (want UTF-8)") from None
