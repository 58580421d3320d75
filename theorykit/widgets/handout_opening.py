"""Opening the text file of a handout, and bringing back one that was on the desk before."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from theorykit.errors import TheoryError, shown
from theorykit.handout.handout import Handout
from theorykit.show.text import sentences_html
from theorykit.widgets.controls import choice, guarded, put
from theorykit.widgets.fields import button
from theorykit.widgets.file_opening import FileOpening

__all__ = ["HandoutOpening"]

ENDING = ".toml"
NONE_BEFORE = ("none yet", "")
LONGEST = 60  # characters of a title in the list


class HandoutOpening(FileOpening):
    """A button that opens a file, a field for its path, and a list of what was here before.

    ``take`` is given the text of the handout that is to be on the desk.
    """

    def __init__(self, take: Callable[[str], None]) -> None:
        self._take = take
        self.before = choice("here before", [NONE_BEFORE], "", "handouts that were on this desk")
        self.back = button("bring it back", self._press_back, "the handout chosen in the list")
        super().__init__("open a handout", (ENDING,), self._read_handout, self.before, self.back)

    def offer(self, texts: tuple[str, ...]) -> None:
        """List the handouts that can be brought back."""
        rows = [(_title(text), text) for text in texts] or [NONE_BEFORE]
        if self.before.options != tuple(rows):
            self.before.options = rows
        self.before.value = rows[0][1]
        self.back.disabled = not texts

    def _read_handout(self, name: str, content: bytes) -> tuple[str, ...]:
        """Read one file and put its handout on the desk."""
        try:
            self._take(str(Handout.parse(content.decode("utf-8-sig"))))
        except UnicodeDecodeError:
            raise TheoryError(f"{shown(name)} is no text (want UTF-8)") from None
        except TheoryError as error:
            raise TheoryError(f"{shown(name)} is no handout: {error}") from None
        return "", f"Opened from {name}. What was on the desk is under 'here before'."

    def _press_back(self, _: Any) -> None:
        """Bring back what was chosen."""
        put(self.told, "")
        guarded(self.problem, self._bring_back)

    def _bring_back(self) -> None:
        """Put the chosen handout on the desk."""
        if not self.before.value:
            raise TheoryError("no handout was here before (want one opened in place of another)")
        title = _title(self.before.value)
        self._take(self.before.value)
        put(self.told, sentences_html("", f"Brought back: {title}."))


def _title(text: str) -> str:
    """Return what a handout is called, or how its text begins where it cannot be read."""
    try:
        return Handout.parse(text).title[:LONGEST]
    except TheoryError:
        return f"unfinished: {' '.join(text.split())[:LONGEST]}"
