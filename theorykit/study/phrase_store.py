"""The file of a phrase book: one SQLite database, opened for each reading and each writing.

A write is one transaction with SQLite's rollback journal and full synchronisation, so a process
that is killed leaves what was saved before; two notebooks wait for each other's writes.
"""

from __future__ import annotations

import hashlib
import json
import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path

from theorykit.errors import TheoryError

__all__ = ["PhraseStore"]

VERSION = 1
APPLICATION = 0x74_6B_70_62  # "tkpb" in the header of the file, so that it can be told from others
MAGIC = b"SQLite format 3\x00"
PATIENCE = 20.0  # seconds to wait for another notebook's write
_HEADER = 100  # bytes, as the SQLite file format has them
_TABLES = """
CREATE TABLE phrases (
    name TEXT PRIMARY KEY,
    colour TEXT NOT NULL,
    form TEXT NOT NULL,
    bars INTEGER NOT NULL,
    data TEXT NOT NULL,
    digest TEXT NOT NULL
);
CREATE TABLE tags (
    name TEXT NOT NULL REFERENCES phrases (name) ON DELETE CASCADE ON UPDATE CASCADE,
    tag TEXT NOT NULL,
    PRIMARY KEY (name, tag)
);
"""

Data = dict[str, object]


class PhraseStore:
    """Phrases as plain data in one file."""

    def __init__(self, path: Path) -> None:
        self.path = path
        if not path.parent.is_dir():
            raise TheoryError(f"no such folder: {path.parent} (want one that exists)")
        if path.is_dir():
            raise TheoryError(f"a folder, not a phrase book: {path} (want a file)")
        self._look()
        with self._open() as book:
            self._found(book)
            self._inspect(book)

    def _look(self) -> None:
        """Refuse a file of another kind before SQLite touches it.

        Beside an unfinished write the header may be half written; SQLite mends it first.
        """
        journal = self.path.with_name(self.path.name + "-journal")
        if not self.path.exists() or self.path.stat().st_size == 0 or journal.exists():
            return
        with self.path.open("rb") as file:
            head = file.read(_HEADER)
        if not head.startswith(MAGIC) or len(head) < _HEADER:
            raise self._refusal("no phrase book, or one whose beginning is damaged")
        self._check(int.from_bytes(head[68:72]), int.from_bytes(head[60:64]))

    def _check(self, application: int, version: int) -> None:
        """Refuse another program's database and a newer book."""
        if application != APPLICATION:
            raise self._refusal("a database, but no phrase book")
        if version > VERSION:
            raise self._refusal(f"a phrase book of version {version}, newer than {VERSION}")

    def _refusal(self, what: str) -> TheoryError:
        """Word the refusal of a file."""
        return TheoryError(f"{self.path} is {what}; it was left as it is (want another path)")

    @contextmanager
    def _open(self) -> Iterator[sqlite3.Connection]:
        """Open the file; what SQLite complains of is told in words."""
        try:
            with closing(
                sqlite3.connect(self.path, timeout=PATIENCE, isolation_level=None)
            ) as book:
                book.execute("PRAGMA foreign_keys = ON")
                yield book
        except sqlite3.DatabaseError as wrong:
            raise self._told(wrong) from None

    def _told(self, wrong: sqlite3.DatabaseError) -> TheoryError:
        """Say what SQLite complains of."""
        text = str(wrong)
        if "locked" in text or "busy" in text:
            return TheoryError(f"{self.path} is being written by another notebook (try again)")
        if isinstance(wrong, sqlite3.OperationalError) and "malformed" not in text:
            return TheoryError(f"cannot use {self.path}: {text} (want a file that can be written)")
        return self._refusal(f"damaged ({text})")

    @contextmanager
    def _write(self) -> Iterator[sqlite3.Connection]:
        """Open the file for one write: all of it or nothing."""
        with self._open() as book:
            book.execute("BEGIN IMMEDIATE")
            try:
                yield book
            except BaseException:
                book.execute("ROLLBACK")
                raise
            book.execute("COMMIT")

    def _found(self, book: sqlite3.Connection) -> None:
        """Make the tables of a new book; a book that is there is checked for its version."""
        if self._numbers(book) == (0, 0) and _is_empty(book):
            book.execute("BEGIN IMMEDIATE")
            if _is_empty(book):  # still: no other notebook was faster
                for statement in _TABLES.split(";"):
                    book.execute(statement)
                book.execute(f"PRAGMA application_id = {APPLICATION}")
                book.execute(f"PRAGMA user_version = {VERSION}")
            book.execute("COMMIT")
        self._check(*self._numbers(book))

    def _numbers(self, book: sqlite3.Connection) -> tuple[int, int]:
        """Return the numbers in the header: whose file it is and of which version."""
        application, version = (
            int(book.execute(f"PRAGMA {name}").fetchone()[0])
            for name in ("application_id", "user_version")
        )
        return application, version

    def _inspect(self, book: sqlite3.Connection) -> None:
        """Refuse a damaged book: broken pages, or phrases that are not what was saved."""
        told = book.execute("PRAGMA quick_check(1)").fetchone()[0]
        if told != "ok":
            raise self._refusal(f"damaged ({told})")
        for data, digest in book.execute("SELECT data, digest FROM phrases"):
            self._read(data, digest)

    def _read(self, data: str, digest: str) -> Data:
        """Return one phrase, if it is what was saved."""
        if _digest(data) != digest:
            raise self._refusal("damaged (a phrase is not what was saved)")
        found: Data = json.loads(data)
        return found

    def add(self, phrases: list[Data], *, replace: bool = False) -> None:
        """Save phrases, all or none; a name that is taken is refused unless it is replaced."""
        with self._write() as book:
            for phrase in phrases:
                taken = self._row(book, phrase["name"])
                if taken and not replace:
                    raise TheoryError(
                        f"there is a phrase called {phrase['name']!r} already "
                        "(want another name, or replace=True)"
                    )
                self._put(book, phrase)

    def _put(self, book: sqlite3.Connection, phrase: Data) -> None:
        """Write one phrase in place of any of the same name."""
        text = json.dumps(phrase, ensure_ascii=False, sort_keys=True)
        name, bars = phrase["name"], phrase["bars"]
        tags = phrase["tags"]
        book.execute("DELETE FROM phrases WHERE name = ?", (name,))
        book.execute(
            "INSERT INTO phrases VALUES (?, ?, ?, ?, ?, ?)",
            (name, phrase["colour"], phrase["form"], _length(bars), text, _digest(text)),
        )
        for tag in dict.fromkeys(tags if isinstance(tags, list) else ()):
            book.execute("INSERT INTO tags VALUES (?, ?)", (name, tag))

    def remove(self, name: str) -> bool:
        """Delete a phrase; tell whether it was there."""
        with self._write() as book:
            return book.execute("DELETE FROM phrases WHERE name = ?", (name,)).rowcount > 0

    def get(self, name: str) -> Data | None:
        """Return the phrase with a name, or None."""
        with self._open() as book:
            row = self._row(book, name)
        return None if row is None else self._read(*row)

    def _row(self, book: sqlite3.Connection, name: object) -> tuple[str, str] | None:
        """Return what is stored under a name."""
        found: tuple[str, str] | None = book.execute(
            "SELECT data, digest FROM phrases WHERE name = ?", (name,)
        ).fetchone()
        return found

    def find(
        self, colour: str | None, form: str | None, bars: int | None, tag: str | None
    ) -> list[Data]:
        """Return the phrases that fit everything that is given, by name."""
        asked = {"colour": colour, "form": form, "bars": bars}
        given = {column: value for column, value in asked.items() if value is not None}
        where = [f"{column} = :{column}" for column in given]
        if tag is not None:
            where.append("name IN (SELECT name FROM tags WHERE tag = :tag)")
        clause = f" WHERE {' AND '.join(where)}" if where else ""
        query = f"SELECT data, digest FROM phrases{clause} ORDER BY name COLLATE NOCASE, name"
        with self._open() as book:
            rows = book.execute(query, {**given, "tag": tag}).fetchall()
        return [self._read(*row) for row in rows]


def _is_empty(book: sqlite3.Connection) -> bool:
    """Tell whether a database has no table yet."""
    return not book.execute("PRAGMA schema_version").fetchone()[0]


def _digest(text: str) -> str:
    """Return a fingerprint of stored text."""
    return hashlib.sha256(text.encode()).hexdigest()


def _length(bars: object) -> int:
    """Return how many bars a phrase has."""
    return len(bars) if isinstance(bars, list) else 0
