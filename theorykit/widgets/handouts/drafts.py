"""Drafts of handouts: kept from one kernel to the next, opened from files, brought back.

Beside the file of the draft lies another one with the handouts that were on the desk before.
"""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any, Protocol

from theorykit.errors import TheoryError, shown
from theorykit.handout.files import write_whole
from theorykit.handout.handout import Handout
from theorykit.show.html_text import sentences_html
from theorykit.show.own_reader import own_folder
from theorykit.widgets.controls import answer, button, choice, guarded, put
from theorykit.widgets.reader_files import FileOpening

FILE = "handout-desk.json"
BEFORE = ".before.json"
MOST_KEPT = 50  # handouts of before


def own_draft() -> Path:
    """Return the path of the reader's own draft, in the user's data directory."""
    return own_folder() / FILE


def load_draft(file: Path) -> dict[str, Any]:
    """Return what was kept, or nothing where nothing was.

    >>> load_draft(Path("nowhere.json"))
    {}
    """
    found = _read(file)
    if found is None:
        return {}
    if not isinstance(found, dict) or not isinstance(found.get("text"), str):
        raise TheoryError(f"{shown(str(file))} is no kept draft (want the path of another file)")
    return found


def save_draft(file: Path, draft: dict[str, Any]) -> None:
    """Keep a draft: the file is the old one or the new one, whatever happens meanwhile."""
    _write(file, draft)


def earlier_texts(file: Path) -> tuple[str, ...]:
    """Return the handouts that were put aside for others, the last one first.

    >>> earlier_texts(Path("nowhere.json"))
    ()
    """
    found = _read(file.with_suffix(BEFORE))
    if found is None:
        return ()
    if isinstance(found, dict):  # as the first version kept it: one draft, not a list of texts
        found = [found.get("text")]
    if not isinstance(found, list) or not all(isinstance(text, str) for text in found):
        raise TheoryError(
            f"{shown(str(file.with_suffix(BEFORE)))} holds no handouts of before (want the "
            "path of another draft)"
        )
    return tuple(found)


def put_aside(file: Path, text: str) -> None:
    """Keep a handout that another one takes the place of, each text once."""
    others = [one for one in earlier_texts(file) if one != text]
    _write(file.with_suffix(BEFORE), [text, *others][:MOST_KEPT])


def readable(*texts: str) -> Handout:
    """Return the handout in the first of some texts that can be read; the last can be.

    >>> readable("", 'title = "half', 'title = "Whole"').title
    'Whole'
    """
    for text in texts[:-1]:
        try:
            return Handout.parse(text)
        except TheoryError:
            continue
    return Handout.parse(texts[-1])


def _read(file: Path) -> Any:
    """Return what a file holds, None where there is none."""
    try:
        return json.loads(file.read_text(encoding="utf-8"))
    except FileNotFoundError:
        return None
    except (OSError, ValueError) as error:
        raise TheoryError(f"cannot read {shown(str(file))}: {error} (want a kept draft)") from None


def _write(file: Path, value: Any) -> None:
    """Write a file, whole or not at all."""
    data = json.dumps(value, ensure_ascii=False, indent=1)
    write_whole(file, data.encode("utf-8", "replace"), overwrite=True, own=True)


# === Opening and bringing back ===

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
        beside = (self.before, self.back)
        super().__init__("open a handout", (ENDING,), _handout_in, *beside, take=self._hand_on)

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

    def _hand_on(self, read: tuple[str, Handout]) -> tuple[str, ...]:
        """Put the handout of a file on the desk."""
        name, handout = read
        self._exchange(str(handout))
        return "", f"Opened from {name}. What was on the desk is under 'here before'."

    @answer
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


def _handout_in(name: str, content: bytes) -> tuple[str, Handout]:
    """Read one file; return its name and its handout."""
    try:
        return name, Handout.parse(content.decode("utf-8-sig"))
    except UnicodeDecodeError:
        raise TheoryError(f"{shown(name)} is no text (want UTF-8)") from None
    except TheoryError as error:
        raise TheoryError(f"{shown(name)} is no handout: {error}") from None


def _title(text: str) -> str:
    """Return what a handout is called, or how its text begins where it cannot be read."""
    try:
        return Handout.parse(text).title[:LONGEST]
    except TheoryError:
        return f"unfinished: {' '.join(text.split())[:LONGEST]}"
