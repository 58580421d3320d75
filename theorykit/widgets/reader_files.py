"""Files of the reader: the own phrase book, and files that are opened by button or path."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial
from pathlib import Path

import ipywidgets as ipw

from theorykit.errors import TheoryError, shown
from theorykit.show.files import file_at
from theorykit.show.html_text import sentences_html
from theorykit.show.own_reader import own_folder
from theorykit.study.phrasebook import PhraseBook
from theorykit.widgets.controls import (
    answer,
    guarded,
    panel,
    picture,
    put,
    typed,
    unwatched,
    upload,
)
from theorykit.widgets.faults import Page

__all__ = ["FileOpening", "book_at", "own_book", "there_is_a_book"]

FILE = "phrases.sqlite"


def own_book() -> Path:
    """Return the path of the reader's own phrase book, in the user's data directory."""
    return own_folder() / FILE


def there_is_a_book(path: str) -> bool:
    """Tell whether anything lies at a path yet."""
    try:
        return file_at(path, ".sqlite").exists()
    except OSError as wrong:
        raise TheoryError(f"cannot look at {shown(path)}: {wrong.strerror}") from None


def book_at(path: str) -> PhraseBook:
    """Return the phrase book at a path; the reader's own folder is made, no other one is."""
    file = file_at(path, ".sqlite")
    try:
        if file == own_book():
            file.parent.mkdir(parents=True, exist_ok=True)
        return PhraseBook(file)
    except OSError as wrong:
        raise TheoryError(f"cannot use {shown(path)}: {wrong.strerror}") from None


LIMIT = "at most 10 MB; type the path of a larger file"
LARGEST = 100_000_000  # bytes, of any file


class FileOpening(Page):
    """A button that opens a file with one of some endings, and a field for a path.

    ``use`` is given the file's name and its content, and returns what is to be said of it: a title,
    which may be empty, and sentences. What else belongs beside the button is given as ``beside``.
    """

    def __init__(
        self,
        label: str,
        endings: Sequence[str],
        use: Callable[[str, bytes], Sequence[str]],
        *beside: ipw.Widget,
    ) -> None:
        self._use, self._ending = use, endings[0]
        self.file = upload(label, endings, self._opened)
        self.file.tooltip = f"{label}: {LIMIT}"
        self.path = typed("or its path", "", "a file, from the folder of the notebook")
        self.problem, self.told = picture(), picture()
        super().__init__([panel(self.file, self.path, *beside), self.problem, self.told])
        self.path.observe(self._named, "value")

    @answer
    def _opened(self, _: object) -> None:
        """Read what was opened; the same file can be opened again."""
        found = tuple(self.file.value)
        with unwatched(self._opened, self.file):
            self.file.value = ()
        for one in found:
            self._read(str(one["name"]), partial(bytes, one["content"]))

    @answer
    def _named(self, _: object) -> None:
        """Read the file at the path."""
        if path := self.path.value.strip():
            self._read(path, lambda: _content(path, self._ending))

    def _read(self, name: str, load: Callable[[], bytes]) -> None:
        """Read one file; what was said before is no longer true."""
        put(self.told, "")

        def act() -> None:
            put(self.told, sentences_html(*self._use(name, load())))

        guarded(self.problem, act)


def _content(path: str, ending: str) -> bytes:
    """Return what the file at a path holds."""
    file = file_at(path, ending)
    try:
        if file.stat().st_size > LARGEST:
            raise TheoryError(f"{shown(file.name)} is too large (want at most {LARGEST:,} bytes)")
        return file.read_bytes()
    except FileNotFoundError:
        raise TheoryError(f"no such file: {shown(path)} (want the path of a file)") from None
    except OSError as wrong:
        raise TheoryError(
            f"cannot read {shown(path)}: {wrong.strerror} (want the path of a file)"
        ) from None
