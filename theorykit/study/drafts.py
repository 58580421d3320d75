"""Drafts: what the reader typed, work by work, with every earlier state, and where each was open.

A work is one tune, one line or one handout of the reader's, or what was chosen at one place. It has
states, of which one is the present; stepping back moves to an earlier one and throws nothing away.
A place is where a desk stands. It knows which work was open there last, and how the desk was set.
A work that is put aside is in no list; it can be brought back.
"""

from __future__ import annotations

import os
import sqlite3
import time
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path
from threading import RLock
from types import MappingProxyType
from typing import Any

from theorykit.errors import TheoryError
from theorykit.study.own_file import PRIVATE, OwnFile
from theorykit.study.works import Data, Opened, State, Work, data_in, state_in, text_of

__all__ = ["Data", "Drafts", "Opened", "State", "Work"]

MOST_STATES, MOST_WORKS, MOST_PLACES = 100, 2000, 1000  # of a work, of a kind, of a file
MOST_ASIDE = 300  # works that were put aside
OWN_FOLDER = 0o700
MOST_HISTORY = 4_000_000  # characters of a work's states

_AGREED = """
CREATE TABLE agreed (
    folder TEXT NOT NULL,
    own TEXT NOT NULL,
    name TEXT NOT NULL,
    text TEXT NOT NULL,
    PRIMARY KEY (folder, own)
)
"""
_TABLES = f"""
CREATE TABLE works (
    work INTEGER PRIMARY KEY AUTOINCREMENT,
    kind TEXT NOT NULL,
    title TEXT NOT NULL,
    now INTEGER NOT NULL,
    revision INTEGER NOT NULL,
    changed REAL NOT NULL,
    aside REAL
);
CREATE TABLE states (
    work INTEGER NOT NULL REFERENCES works (work) ON DELETE CASCADE,
    number INTEGER NOT NULL,
    changed REAL NOT NULL,
    data TEXT NOT NULL,
    PRIMARY KEY (work, number)
);
CREATE TABLE places (
    place TEXT PRIMARY KEY,
    work INTEGER REFERENCES works (work) ON DELETE SET NULL,
    data TEXT NOT NULL,
    changed REAL NOT NULL
);
{_AGREED}
"""


class Drafts(OwnFile):
    """Works and places in one file, for its owner alone; without a path they are in memory.

    >>> drafts = Drafts()
    >>> first = drafts.begin("tune", "Thursday", {"text": "| Dm7 |"})
    >>> second = drafts.save(first, "Thursday", {"text": "| Dm7 | G7 |"}, fresh=True)
    >>> drafts.step(second, -1).state.data
    {'text': '| Dm7 |'}
    """

    what = "file of drafts"
    application = 0x74_6B_64_72  # "tkdr"
    version = 2
    tables = _TABLES
    upgrades = MappingProxyType({1: f"ALTER TABLE works ADD COLUMN aside REAL; {_AGREED}"})
    kinds = MappingProxyType(
        {
            "works": "kind text, title text, now integer, revision integer, changed real, "
            "aside realN",
            "states": "work integer, number integer, changed real, data text",
            "places": "place text, work integerN, data text, changed real",
            "agreed": "folder text, own text, name text, text text",
        }
    )
    is_private = True

    def __init__(self, path: Path | None = None) -> None:
        self._turn = RLock()
        self._memory: sqlite3.Connection | None = None
        self._one: sqlite3.Connection | None = None  # of the write that takes in those within it
        if path is None:
            self.path = Path("memory")
            self._memory = sqlite3.connect(
                ":memory:", check_same_thread=False, isolation_level=None
            )
            self._memory.execute("PRAGMA foreign_keys = ON")
            self._found(self._memory)
        elif path.exists():
            super().__init__(path)
        else:
            self.path = path  # it is made when something is kept

    @property
    def lasts(self) -> bool:
        """True where the drafts are there again tomorrow."""
        return self._memory is None

    @property
    def _is_empty(self) -> bool:
        """True where nothing was ever kept: looking into drafts makes no file."""
        return self._memory is None and not self.path.exists()

    @contextmanager
    def _open(self) -> Iterator[sqlite3.Connection]:
        """Open the file, or the memory, for one thread at a time."""
        with self._turn:
            if (there := self._one or self._memory) is not None:
                yield there
                return
            if self._is_empty:
                self._make()
            with super()._open() as book:
                yield book

    @contextmanager
    def _write(self) -> Iterator[sqlite3.Connection]:
        """Open the file for one write, or go on with the one that is being done."""
        with self._turn:
            if self._one is not None:
                yield self._one
                return
            with super()._write() as book:
                yield book

    @contextmanager
    def together(self) -> Iterator[None]:
        """Let all that is written within be one write: the whole of it or nothing.

        >>> drafts = Drafts()
        >>> with drafts.together():
        ...     drafts.leave("desk", drafts.begin("tune", "Thursday", {}).work, {})
        >>> drafts.left("desk")
        (1, {})
        """
        with self._turn, self._write() as book:
            before, self._one = self._one, book
            try:
                yield
            finally:
                self._one = before

    def _make(self) -> None:
        """Make the file, and its folder for its owner alone."""
        try:
            self.path.parent.mkdir(mode=OWN_FOLDER, parents=True, exist_ok=True)
            os.close(os.open(self.path, os.O_CREAT | os.O_WRONLY, PRIVATE))
        except OSError as wrong:
            raise TheoryError(f"cannot keep drafts in {self.path}: {wrong.strerror}") from None
        super().__init__(self.path)

    # Works.

    def works(self, kind: str) -> tuple[Work, ...]:
        """Return the works of a kind, the one that was changed last first."""
        rows = self._rows(
            "SELECT work, title, changed FROM works WHERE kind = ? AND aside IS NULL "
            "ORDER BY changed DESC, work",
            kind,
        )
        return tuple(Work(*row) for row in rows)

    def aside(self, kind: str) -> tuple[Work, ...]:
        """Return the works of a kind that were put aside, the last one first, each with when."""
        rows = self._rows(
            "SELECT work, title, aside FROM works WHERE kind = ? AND aside IS NOT NULL "
            "ORDER BY aside DESC, work",
            kind,
        )
        return tuple(Work(*row) for row in rows)

    def present(self, kind: str) -> dict[int, Data]:
        """Return what each work of a kind holds now, those put aside among them, by number."""
        rows = self._rows(
            "SELECT works.work, data FROM works JOIN states "
            "ON states.work = works.work AND number = now WHERE kind = ?",
            kind,
        )
        return {number: data_in(data) for number, data in rows}

    def _rows(self, question: str, *values: str) -> list[tuple[Any, ...]]:
        """Return rows of the file; there are none where nothing was ever kept."""
        if self._is_empty:
            return []
        with self._open() as book:
            return book.execute(question, values).fetchall()

    def opened(self, work: int) -> Opened:
        """Return a work as it is now."""
        with self._open() as book:
            return _opened(book, work)

    def begin(self, kind: str, title: str, data: Data) -> Opened:
        """Begin a new work."""
        text = text_of(data)
        with self._write() as book:
            return _begun(book, kind, title, text)

    def save(
        self, seen: Opened, title: str, data: Data, *, fresh: bool = False, forks: bool = True
    ) -> Opened:
        """Save the present state of a work that a desk has seen; return the work as it is then.

        A ``fresh`` one is a state of its own, else it takes the place of the one before. If another
        desk has saved meanwhile, its state stays: what is saved here becomes a work of its own, or
        one more state where the work never ``forks``.
        """
        text = text_of(data)
        with self._write() as book:
            row = book.execute("SELECT revision FROM works WHERE work = ?", (seen.work,)).fetchone()
            is_newer = row is None or row[0] != seen.revision
            if row is None or (is_newer and forks):
                return _begun(book, seen.kind, title, text)
            if fresh or is_newer or seen.after:
                _append(book, seen, text)
            else:
                book.execute(
                    "UPDATE states SET data = ?, changed = ? WHERE work = ? AND number = ?",
                    (text, time.time(), seen.work, seen.state.number),
                )
            _touch(book, seen.work, title)
            return _opened(book, seen.work)

    def states(self, work: int) -> tuple[State, ...]:
        """Return every state of a work, the newest first."""
        with self._open() as book:
            rows = book.execute(
                "SELECT number, changed, data FROM states WHERE work = ? ORDER BY number DESC",
                (work,),
            ).fetchall()
        return tuple(state_in(row) for row in rows)

    def step(self, seen: Opened, by: int) -> Opened:
        """Go one state back (-1) or forward (1); at an end nothing changes."""
        side, order = ("<", "DESC") if by < 0 else (">", "ASC")
        with self._write() as book:
            now = _opened(book, seen.work)
            row = book.execute(
                f"SELECT number FROM states WHERE work = ? AND number {side} ? "
                f"ORDER BY number {order} LIMIT 1",
                (seen.work, now.state.number),
            ).fetchone()
            if row is not None:
                book.execute("UPDATE works SET now = ? WHERE work = ?", (row[0], seen.work))
                _touch(book, seen.work)
            return _opened(book, seen.work)

    def put_aside(self, work: int) -> None:
        """Put a work aside; where very many are, the oldest of them goes for good."""
        with self._write() as book:
            book.execute("UPDATE works SET aside = ? WHERE work = ?", (time.time(), work))
            book.execute("UPDATE places SET work = NULL WHERE work = ?", (work,))
            book.execute(
                "DELETE FROM works WHERE work IN (SELECT work FROM works "
                "WHERE aside IS NOT NULL ORDER BY aside DESC LIMIT -1 OFFSET ?)",
                (MOST_ASIDE,),
            )

    def bring_back(self, work: int) -> Opened:
        """Bring a work back that was put aside."""
        with self._write() as book:
            book.execute("UPDATE works SET aside = NULL WHERE work = ?", (work,))
            return _opened(book, work)

    def take_out(self, work: int) -> None:
        """Take a work out of the file, with all its states."""
        with self._write() as book:
            book.execute("DELETE FROM works WHERE work = ?", (work,))

    # Works beside files of a folder: see ``papers``.

    def agreed(self, folder: str) -> dict[str, tuple[str, str]]:
        """Return what works and files of a folder agreed on last: by work, name and fingerprint."""
        rows = self._rows("SELECT own, name, text FROM agreed WHERE folder = ?", folder)
        return {own: (name, text) for own, name, text in rows}

    def agree(self, folder: str, rows: Mapping[str, tuple[str, str]]) -> None:
        """Note down what works and files of a folder agree on."""
        if rows == self.agreed(folder):
            return
        with self._write() as book:
            book.execute("DELETE FROM agreed WHERE folder = ?", (folder,))
            many = [(folder, own, *row) for own, row in rows.items()]
            book.executemany("INSERT INTO agreed VALUES (?, ?, ?, ?)", many)

    # Places.

    def left(self, place: str) -> tuple[int | None, Data]:
        """Return the work that was open at a place last, and how the desk there was set."""
        rows = self._rows("SELECT work, data FROM places WHERE place = ?", place)
        return (rows[0][0], data_in(rows[0][1])) if rows else (None, {})

    def leave(self, place: str, work: int | None, data: Data) -> None:
        """Note down which work is open at a place, and how the desk there is set."""
        text = text_of(data)
        with self._write() as book:
            book.execute(
                "INSERT OR REPLACE INTO places VALUES (?, ?, ?, ?)",
                (place, work, text, time.time()),
            )
            book.execute(
                "DELETE FROM places WHERE place NOT IN "
                "(SELECT place FROM places ORDER BY changed DESC LIMIT ?)",
                (MOST_PLACES,),
            )


def _opened(book: sqlite3.Connection, work: int) -> Opened:
    """Return a work as it is now."""
    row = book.execute(
        "SELECT kind, revision, number, states.changed, data FROM works JOIN states "
        "ON states.work = works.work AND number = now WHERE works.work = ?",
        (work,),
    ).fetchone()
    if row is None:
        raise TheoryError(f"no work {work} any more (want one of the list)")
    before, after = book.execute(
        "SELECT SUM(number < ?), SUM(number > ?) FROM states WHERE work = ?",
        (row[2], row[2], work),
    ).fetchone()
    return Opened(work, row[0], row[1], state_in(row[2:]), before, after)


def _begun(book: sqlite3.Connection, kind: str, title: str, text: str) -> Opened:
    """Begin a work with one state; where there are too many, say so and lose none."""
    listed = "SELECT COUNT(*) FROM works WHERE kind = ? AND aside IS NULL"
    count = book.execute(listed, (kind,)).fetchone()[0]
    if count >= MOST_WORKS:
        raise TheoryError(
            f"{count} are in your list already (want one of them taken out before a new one)"
        )
    now = time.time()
    made = book.execute(
        "INSERT INTO works (kind, title, now, revision, changed) VALUES (?, ?, 1, 1, ?)",
        (kind, title, now),
    )
    work = int(made.lastrowid or 0)
    book.execute("INSERT INTO states VALUES (?, 1, ?, ?)", (work, now, text))
    return _opened(book, work)


def _append(book: sqlite3.Connection, seen: Opened, text: str) -> None:
    """Add a state. What the reader stepped back over stays: the state come back to follows it."""
    work = seen.work
    last = book.execute("SELECT MAX(number) FROM states WHERE work = ?", (work,)).fetchone()[0]
    number = last + 1
    if seen.after:
        book.execute(
            "INSERT INTO states SELECT work, ?, changed, data FROM states "
            "WHERE work = ? AND number = ?",
            (number, work, seen.state.number),
        )
        number += 1
    book.execute("INSERT INTO states VALUES (?, ?, ?, ?)", (work, number, time.time(), text))
    book.execute("UPDATE works SET now = ? WHERE work = ?", (number, work))
    _let_go(book, work)


def _let_go(book: sqlite3.Connection, work: int) -> None:
    """Let the oldest states of a work go, so that a file does not grow for ever."""
    book.execute(
        "DELETE FROM states WHERE work = ? AND number NOT IN (SELECT number FROM states "
        "WHERE work = ? ORDER BY number DESC LIMIT ?)",
        (work, work, MOST_STATES),
    )
    rows = book.execute(
        "SELECT number, LENGTH(data) FROM states WHERE work = ? ORDER BY number DESC", (work,)
    ).fetchall()
    total = 0
    for number, length in rows:
        total += length
        if total > MOST_HISTORY and number != rows[0][0]:
            book.execute("DELETE FROM states WHERE work = ? AND number = ?", (work, number))


def _touch(book: sqlite3.Connection, work: int, title: str | None = None) -> None:
    """Note down that a work has changed; one that was put aside is back."""
    book.execute(
        "UPDATE works SET aside = NULL, revision = revision + 1, changed = ?, "
        "title = COALESCE(?, title) "
        "WHERE work = ?",
        (time.time(), title, work),
    )
