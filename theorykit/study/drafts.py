"""Drafts: what the reader typed, work by work, with every earlier state, and where each was open.

A work is one tune, one line or one handout of the reader's, or what was chosen at one place. It has
states, of which one is the present; stepping back moves to an earlier one and throws nothing away.
A place is where a desk stands. It knows which work was open there last, and how the desk was set.
"""

from __future__ import annotations

import json
import os
import sqlite3
import time
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass, field
from pathlib import Path
from threading import RLock
from types import MappingProxyType
from typing import Any

from theorykit.errors import TheoryError, shown
from theorykit.study.own_file import PRIVATE, OwnFile

__all__ = ["Drafts", "Opened", "State", "Work"]

MOST_STATES, MOST_WORKS, MOST_PLACES = 100, 2000, 1000  # of a work, of a kind, of a file
OWN_FOLDER = 0o700
LARGEST, MOST_HISTORY = 1_000_000, 4_000_000  # characters of a state, and of a work's states

_TABLES = """
CREATE TABLE works (
    work INTEGER PRIMARY KEY AUTOINCREMENT,
    kind TEXT NOT NULL,
    title TEXT NOT NULL,
    now INTEGER NOT NULL,
    revision INTEGER NOT NULL,
    changed REAL NOT NULL
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
)
"""

Data = dict[str, Any]


@dataclass(frozen=True, slots=True)
class Work:
    """One work in a list: its number, its title, and when it was changed, in seconds of 1970."""

    number: int
    title: str
    changed: float


@dataclass(frozen=True, slots=True)
class State:
    """One state of a work: its number, when it was left, in seconds of 1970, and what it holds."""

    number: int
    changed: float
    data: Data = field(hash=False)


@dataclass(frozen=True, slots=True)
class Opened:
    """A work as one desk has it: the present state, and how many lie before it and after it.

    ``revision`` counts the changes of all desks, so that newer work of another one is noticed.
    """

    work: int
    kind: str
    revision: int
    state: State
    before: int
    after: int


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
    tables = _TABLES
    kinds = MappingProxyType(
        {
            "works": "kind text, title text, now integer, revision integer, changed real",
            "states": "work integer, number integer, changed real, data text",
            "places": "place text, work integerN, data text, changed real",
        }
    )
    is_private = True

    def __init__(self, path: Path | None = None) -> None:
        self._turn = RLock()
        self._memory: sqlite3.Connection | None = None
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
            if self._memory is not None:
                yield self._memory
                return
            if self._is_empty:
                self._make()
            with super()._open() as book:
                yield book

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
        if self._is_empty:
            return ()
        with self._open() as book:
            rows = book.execute(
                "SELECT work, title, changed FROM works WHERE kind = ? ORDER BY changed DESC, work",
                (kind,),
            ).fetchall()
        return tuple(Work(*row) for row in rows)

    def opened(self, work: int) -> Opened:
        """Return a work as it is now."""
        with self._open() as book:
            return _opened(book, work)

    def begin(self, kind: str, title: str, data: Data) -> Opened:
        """Begin a new work."""
        text = _written(data)
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
        text = _written(data)
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
        return tuple(_state(row) for row in rows)

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

    def take_out(self, work: int) -> None:
        """Take a work out of the file, with all its states."""
        with self._write() as book:
            book.execute("DELETE FROM works WHERE work = ?", (work,))

    # Places.

    def left(self, place: str) -> tuple[int | None, Data]:
        """Return the work that was open at a place last, and how the desk there was set."""
        if self._is_empty:
            return None, {}
        with self._open() as book:
            row = book.execute("SELECT work, data FROM places WHERE place = ?", (place,)).fetchone()
        return (None, {}) if row is None else (row[0], _read(row[1]))

    def leave(self, place: str, work: int | None, data: Data) -> None:
        """Note down which work is open at a place, and how the desk there is set."""
        text = _written(data)
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


def _written(data: Data) -> str:
    """Return data as they are kept, or refuse what is too much."""
    text = json.dumps(data, ensure_ascii=False)
    if len(text) > LARGEST:
        raise TheoryError(
            f"{len(text):,} characters are too much to be kept (want at most {LARGEST:,})"
        )
    return text.encode("utf-8", "replace").decode()


def _read(text: str) -> Data:
    """Return data that were kept."""
    with suppress(ValueError, RecursionError):
        found = json.loads(text)
        if isinstance(found, dict):
            return found
    raise TheoryError(f"no kept state: {shown(text)} (want an object)")


def _state(row: tuple[int, float, str]) -> State:
    """Return a state out of its row."""
    return State(row[0], row[1], _read(row[2]))


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
    return Opened(work, row[0], row[1], _state(row[2:]), before, after)


def _begun(book: sqlite3.Connection, kind: str, title: str, text: str) -> Opened:
    """Begin a work with one state; where there are too many, say so and lose none."""
    count = book.execute("SELECT COUNT(*) FROM works WHERE kind = ?", (kind,)).fetchone()[0]
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
    """Note down that a work has changed."""
    book.execute(
        "UPDATE works SET revision = revision + 1, changed = ?, title = COALESCE(?, title) "
        "WHERE work = ?",
        (time.time(), title, work),
    )
