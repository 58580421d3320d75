"""Files of the reader: the own phrase book, and files that are opened by button or path."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial
from pathlib import Path
from typing import Any, Protocol
from weakref import WeakSet

import ipywidgets as ipw

from theorykit.errors import TheoryError, shown
from theorykit.show.files import file_at, make_own_folder
from theorykit.show.html_text import sentences_html
from theorykit.show.own_reader import own_folder
from theorykit.study.drafts import Drafts
from theorykit.study.phrasebook import PhraseBook
from theorykit.widgets.controls import (
    button,
    guarded,
    in_notebook,
    panel,
    picture,
    put,
    safely,
    typed,
    unwatched,
    upload,
)
from theorykit.widgets.faults import Page
from theorykit.widgets.side_work import SideWork

__all__ = [
    "FileOpening",
    "book_at",
    "book_called",
    "book_changed",
    "own_book",
    "own_drafts",
    "phrase_book_field",
    "show_changes",
    "there_is_a_book",
]

FILE, DRAFTS = "phrases.sqlite", "drafts.sqlite"
OWN_BOOK = "your own"  # what an empty field for a phrase book says


def own_book() -> Path:
    """Return the path of the reader's own phrase book, in the user's data directory."""
    return own_folder() / FILE


def own_drafts(path: Path | None = None) -> Drafts:
    """Return the drafts at a path, by default the reader's own; no file is made yet."""
    return Drafts(own_folder() / DRAFTS if path is None else path.expanduser())


def there_is_a_book(path: str) -> bool:
    """Tell whether anything lies at a path yet; the empty path is the reader's own book."""
    try:
        return _book_file(path).exists()
    except OSError as wrong:
        raise TheoryError(f"cannot look at {shown(path)}: {wrong.strerror}") from None


def book_called(path: str) -> str:
    """Return what the phrase book at a path is called on a page.

    >>> book_called(""), book_called("demonstration/thursday")
    ('your own phrase book', 'the phrase book thursday.sqlite')
    """
    file = _book_file(path)
    return "your own phrase book" if file == own_book() else f"the phrase book {file.name}"


class BookReader(Protocol):
    """A page that shows a phrase book."""

    @property
    def comm(self) -> object:
        """Its way to the browser, None once it is closed."""

    def book_changed(self, file: Path) -> None:
        """Look again, if it is the book that is shown."""


_LOOKING: WeakSet[BookReader] = WeakSet()


def show_changes(page: BookReader) -> None:
    """Tell a page from now on when a phrase is kept in a book, on any page of this kernel."""
    _LOOKING.add(page)


def book_changed(file: Path) -> None:
    """Tell the pages that show a phrase book, and are not closed, that a phrase was kept in it."""
    for page in list(_LOOKING):
        if page.comm is not None:
            page.book_changed(file)


def _book_file(path: str) -> Path:
    """Return the file of a phrase book."""
    return file_at(path, ".sqlite") if path.strip() else own_book()


def book_at(path: str) -> PhraseBook:
    """Return the phrase book at a path, the reader's own for the empty one.

    The reader's own folder is made, no other one is.
    """
    file = _book_file(path)
    try:
        if file == own_book():
            make_own_folder(file.parent)
        return PhraseBook(file)
    except OSError as wrong:
        raise TheoryError(f"cannot use {shown(path)}: {wrong.strerror}") from None


def phrase_book_field(path: str) -> ipw.Text:
    """Return a field for the path of a phrase book; empty, it means the reader's own."""
    field = typed("phrase book", path, "the file of the book; empty for your own")
    field.placeholder = OWN_BOOK
    return field


# === Opening ===

LIMIT = "at most 10 MB; type the path of a larger file"
LARGEST = 100_000_000  # bytes, of any file


def _as_it_is(words: Any) -> Any:
    """Return the words that a file was read to."""
    return words


class FileOpening(Page):
    """A button that opens a file with one of some endings, and a field for a path.

    ``read`` is given the file's name and its content; it works beside the page and can be stopped.
    ``take`` is given what it returned, puts it on the page, and returns what is to be said: a
    title, which may be empty, and sentences. Without ``take`` these are what ``read`` returns. What
    else belongs beside the button is given as ``beside``. ``wait`` waits for the file in hand.
    """

    def __init__(
        self,
        label: str,
        endings: Sequence[str],
        read: Callable[[str, bytes], Any],
        *beside: ipw.Widget,
        take: Callable[[Any], Sequence[str]] = _as_it_is,
    ) -> None:
        self._reading, self._taking, self._ending = read, take, endings[0]
        self._work: SideWork[Any] | None = None
        self.file = upload(label, endings, self._opened)
        self.file.tooltip = f"{label}: {LIMIT}"
        tip = "a file, from the folder of the notebook"
        self.path = typed("or its path", "", tip, example=f"lessons/thursday{endings[0]}")
        self.stop = button("stop reading", self._stop, "leave everything as it is")
        self.stop.layout.display = "none"
        self.problem, self.told = picture(), picture()
        super().__init__([panel(self.file, self.path, self.stop, *beside), self.problem, self.told])
        self.path.observe(self._named, "value")

    def _opened(self, _: object) -> None:
        """Read what was opened; the same file can be opened again.

        This holds no lock of the page: it waits for a file in hand, which may be put on the page.
        """
        found = tuple(self.file.value)
        with unwatched(self._opened, self.file):
            self.file.value = ()
        for one in found:
            self._read(str(one["name"]), partial(bytes, one["content"]))

    def _named(self, _: object) -> None:
        """Read the file at the path."""
        if path := self.path.value.strip():
            self._read(path, lambda: _content(path, self._ending))

    def _read(self, name: str, load: Callable[[], bytes]) -> None:
        """Begin to read one file; what was said before is no longer true.

        A file that is still being read is left. Without a page to answer it is waited for.
        """
        self._stop(None)
        self.wait()
        put(self.problem, "")
        put(self.told, sentences_html("", f"Reading {shown(name)}."))
        self.stop.layout.display = ""
        self._work = SideWork(
            lambda: self._reading(name, load()),
            self._take,
            self._failed,
            lambda why: put(self.told, sentences_html("", why)),
            self._ended,
        )
        self._work.begin()
        if not in_notebook():
            self.wait()

    def _take(self, found: Any) -> None:
        """Put what was read on the page, in turn with the answers to controls."""
        put(self.told, "")
        guarded(self.problem, lambda: put(self.told, sentences_html(*self._taking(found))))

    def _failed(self, wrong: Exception) -> None:
        """Say what is wrong with a file, as it is said of every answer."""

        def again() -> None:
            raise wrong

        put(self.told, "")
        safely(self.problem, again)(self.file)

    def _stop(self, _: object) -> None:
        """Leave the file in hand, unless it is read already."""
        if self._work is not None:
            self._work.stop()

    def _ended(self) -> None:
        """Take the button away again."""
        self.stop.layout.display = "none"

    def wait(self) -> None:
        """Wait until no file is being read any more."""
        if self._work is not None:
            self._work.wait()


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
