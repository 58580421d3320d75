"""Handouts that come to the desk: from files, and from what the first version of the desk kept."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

from theorykit.errors import TheoryError, shown
from theorykit.handout.handout import Handout
from theorykit.show.own_reader import own_folder
from theorykit.study.drafts import Data, Drafts
from theorykit.widgets.reader_files import FileOpening

EMPTY = 'title = "For Thursday"\n'  # on a desk that nobody has used
ENDING = ".toml"
LONGEST = 60  # characters of a title in a list
OWN = "This is a handout of your own now. The one before is in the list."


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


def handout_title(data: Data) -> str:
    """Return what a handout is called, or how its text begins where it cannot be read.

    >>> handout_title({"text": 'title = "Warm-up"'}), handout_title({"text": "title = "})
    ('Warm-up', 'unfinished: title =')
    """
    text = str(data.get("text", ""))
    try:
        return Handout.parse(text).title[:LONGEST]
    except TheoryError:
        return f"unfinished: {' '.join(text.split())[:LONGEST]}"


class HandoutOpening(FileOpening):
    """A button that opens a file and a field for its path; ``use`` is given the handout."""

    def __init__(self, use: Callable[[Data, str], None]) -> None:
        self._use = use
        super().__init__("open a handout", (ENDING,), _handout_in, take=self._hand_on)

    def _hand_on(self, read: tuple[str, Handout]) -> tuple[str, ...]:
        """Put the handout of a file on the desk."""
        name, handout = read
        self._use({"text": str(handout)}, OWN)
        return "", f"Opened from {name}. What was on the desk is in the list of your handouts."


def _handout_in(name: str, content: bytes) -> tuple[str, Handout]:
    """Read one file; return its name and its handout."""
    try:
        return name, Handout.parse(content.decode("utf-8-sig"))
    except UnicodeDecodeError:
        raise TheoryError(f"{shown(name)} is no text (want UTF-8)") from None
    except TheoryError as error:
        raise TheoryError(f"{shown(name)} is no handout: {error}") from None


# === What the first version kept ===

OLD, OLD_BEFORE = ".json", ".before.json"  # one draft, and the texts of before
FIRST = "handout-desk.json"
TAKEN = {"taken": True}


def drafts_path(path: Path | None) -> Path | None:
    """Return the file of drafts for a path, which may be that of a draft of the first version."""
    return path.with_suffix(".sqlite") if path is not None and path.suffix == OLD else path


def take_old(drafts: Drafts, path: Path | None, kind: str, place: str) -> None:
    """Take in, once, what the first version of the desk kept; its files are left as they are.

    What was on the desk then is on it now, unless something else was kept since.
    """
    old = (own_folder() / FIRST) if path is None else path.with_suffix(OLD)
    mark = f"{kind} {old.name} of the first version"
    texts = [] if drafts.left(mark)[1] else _old_texts(old)
    if not texts:
        return
    for text in reversed(texts):
        begun = drafts.begin(kind, handout_title({"text": text}), {"text": text})
    if drafts.left(place)[0] is None and old.exists():
        drafts.leave(place, begun.work, {})
    drafts.leave(mark, None, TAKEN)


def _old_texts(old: Path) -> list[str]:
    """Return the handout that was on the desk, and those of before, the last one first."""
    kept, before = _read(old), _read(old.with_suffix(OLD_BEFORE))
    rows = before if isinstance(before, list) else [before]
    found = [row.get("text") if isinstance(row, dict) else row for row in (kept, *rows)]
    return list(dict.fromkeys(text for text in found if isinstance(text, str) and text))


def _read(file: Path) -> Any:
    """Return what a file holds, None where there is none that can be read."""
    try:
        return json.loads(file.read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return None
