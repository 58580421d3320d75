"""Opening the text file of a handout, and bringing back one that was on the desk before."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any, Protocol

from theorykit.errors import TheoryError, shown
from theorykit.handout.handout import Handout
from theorykit.show.text import sentences_html
from theorykit.widgets.controls import choice, guarded, put
from theorykit.widgets.fields import button
from theorykit.widgets.file_opening import FileOpening
from theorykit.widgets.handout_draft import earlier_texts, put_aside

__all__ = ["EMPTY", "HandoutOpening"]

EMPTY = 'title = "For Thursday"\n'  # on a desk that nobody has used
ENDING = ".toml"
NONE_BEFORE = ("none yet", "")
LONGEST = 60  # characters of a title in the list
KEPT = "This is what you had on this desk last. The handout given with it is under 'here before'."


class _Text(Protocol):
    """The field that holds the text of the handout."""

    value: str


class HandoutOpening(FileOpening):
    """A button that opens a file, a field for its path, and a list of what was here before.

    ``text`` is the field that holds the handout on the desk, ``path`` the file of the draft and
    ``given`` the text that the desk was opened with. A text that gives way to another is put aside;
    ``change`` is called when it has.
    """

    def __init__(self, text: _Text, path: Path, given: str, change: Callable[[], None]) -> None:
        self._text, self._path, self._given, self._change = text, path, given, change
        self.before = choice("here before", [NONE_BEFORE], "", "handouts that were on this desk")
        self.back = button("bring it back", self._press_back, "the handout chosen in the list")
        super().__init__("open a handout", (ENDING,), self._read_handout, self.before, self.back)

    def begin(self) -> None:
        """List what was here before, and say so where the desk has not what it was given."""
        guarded(self.problem, self._list)
        if self._given and self._text.value != self._given:
            put(self.told, sentences_html("", KEPT))

    def _list(self) -> None:
        """List what was on this desk before, and what was given where something else is on it."""
        texts = earlier_texts(self._path)
        if self._given and self._given not in (self._text.value, *texts):
            texts += (self._given,)
        rows = [(_title(text), text) for text in texts] or [NONE_BEFORE]
        if self.before.options != tuple(rows):
            self.before.options = rows
        self.before.value = rows[0][1]
        self.back.disabled = not texts

    def _exchange(self, text: str) -> None:
        """Put another text in the place of the one on the desk, which is put aside."""
        if self._text.value not in (text, EMPTY):
            put_aside(self._path, self._text.value)
        self._change()
        self._text.value = text
        self._list()

    def _read_handout(self, name: str, content: bytes) -> tuple[str, ...]:
        """Read one file and put its handout on the desk."""
        try:
            self._exchange(str(Handout.parse(content.decode("utf-8-sig"))))
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
        self._exchange(self.before.value)
        put(self.told, sentences_html("", f"Brought back: {title}."))


def _title(text: str) -> str:
    """Return what a handout is called, or how its text begins where it cannot be read."""
    try:
        return Handout.parse(text).title[:LONGEST]
    except TheoryError:
        return f"unfinished: {' '.join(text.split())[:LONGEST]}"
