"""A file of the reader's own: one SQLite database, opened for each reading and each writing.

A write is one transaction with SQLite's rollback journal and full synchronisation, so a process
that is killed leaves what was saved before; two notebooks wait for each other's writes.
"""

from __future__ import annotations

import os
import sqlite3
import stat
from collections.abc import Iterator, Mapping
from contextlib import closing, contextmanager, suppress
from pathlib import Path
from typing import ClassVar

from theorykit.errors import TheoryError, shown

__all__ = ["OwnFile"]

MAGIC = b"SQLite format 3\x00"
PATIENCE = 1.5  # seconds to wait for another notebook's write; a write takes milliseconds
PRIVATE, OTHERS = 0o600, 0o077  # modes of a file: the owner's alone, and what others may do
_HEADER = 100  # bytes, as the SQLite file format has them
_TIME = "GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]T[0-9][0-9]:[0-9][0-9]:*+00:00'"


class OwnFile:
    """One file of one kind; a kind names itself, its number, its version and its tables.

    ``upgrades`` are the statements that bring an older file from a version to the next. ``kinds``
    says what the columns of a table hold: ``at time, seconds realN``, with N where nothing may
    stand. A file with a row of another hand is damaged.
    A damaged file, a newer one or another program's is refused and left as it is. A new one is
    its owner's alone; where ``is_private``, one that is there is closed to others as well.
    """

    what: ClassVar[str]
    application: ClassVar[int]  # in the header of the file, so that it can be told from others
    version: ClassVar[int] = 1
    tables: ClassVar[str]
    upgrades: ClassVar[Mapping[int, str]] = {}
    kinds: ClassVar[Mapping[str, str]] = {}
    is_private: ClassVar[bool] = False

    def __init__(self, path: Path) -> None:
        self.path = path
        try:
            self._look_around()
            self._look()
            self._begin()
        except TheoryError:
            raise
        except (OSError, ValueError) as wrong:
            what = getattr(wrong, "strerror", None) or wrong
            raise TheoryError(f"cannot use {shown(str(path))}: {what} (want a path)") from None
        with self._open() as book:
            self._found(book)
            self._inspect(book)

    def _look_around(self) -> None:
        """Refuse a place where no such file can be."""
        if not self.path.parent.is_dir():
            raise TheoryError(f"no such folder: {shown(str(self.path.parent))} (want one there is)")
        if self.path.is_dir():
            raise TheoryError(f"a folder, not a {self.what}: {self.path} (want a file)")

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
            raise self._refusal(f"no {self.what}, or one whose beginning is damaged")
        self._check(int.from_bytes(head[68:72]), int.from_bytes(head[60:64]))

    def _begin(self) -> None:
        """Make the file before SQLite does, for its owner alone; its journal follows its mode.

        The mode of one that is there stays, unless the kind is private.
        """
        with suppress(FileExistsError):
            os.close(os.open(self.path, os.O_CREAT | os.O_EXCL | os.O_WRONLY, PRIVATE))
        if self.is_private and stat.S_IMODE(self.path.stat().st_mode) & OTHERS:
            self.path.chmod(PRIVATE)

    def _check(self, application: int, version: int) -> None:
        """Refuse another program's database and a newer file."""
        if application != self.application:
            raise self._refusal(f"a database, but no {self.what}")
        if version > self.version:
            raise self._refusal(f"a {self.what} of version {version}, newer than {self.version}")

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
        except UnicodeDecodeError:  # what SQLite tells or holds is no text
            raise self._refusal("damaged (its text cannot be read)") from None

    def _told(self, wrong: sqlite3.DatabaseError) -> TheoryError:
        """Say what SQLite complains of."""
        text = str(wrong)
        if "locked" in text or "busy" in text:
            return TheoryError(f"{self.path} is being written by another notebook (try again)")
        if "disk is full" in text:
            return TheoryError(f"{self.path} was left as it is: the disk is full (want room on it)")
        if isinstance(wrong, sqlite3.OperationalError) and "malformed" not in text:
            return TheoryError(f"cannot use {self.path}: {text} (want a file that can be written)")
        return self._refusal(f"damaged ({text})")

    @contextmanager
    def _write(self) -> Iterator[sqlite3.Connection]:
        """Open the file for one write: all of it or nothing."""
        with self._open() as book, _whole(book):
            yield book

    @contextmanager
    def write_with(self, *others: OwnFile) -> Iterator[sqlite3.Connection]:
        """Open this file and files of other kinds for one write: all of it in all, or nothing."""
        for other in others:
            with other._open():
                pass  # it is made where there is none
        with self._open() as book:
            for number, other in enumerate(others):
                book.execute("ATTACH ? AS ?", (str(other.path), f"other{number}"))
            with _whole(book):
                yield book

    def _found(self, book: sqlite3.Connection) -> None:
        """Make the tables of a new file; one that is there is checked for its version."""
        if self._numbers(book) == (0, 0) and _is_empty(book):
            book.execute("BEGIN IMMEDIATE")
            if _is_empty(book):  # still: no other notebook was faster
                for statement in self.tables.split(";"):
                    book.execute(statement)
                book.execute(f"PRAGMA application_id = {self.application}")
                book.execute(f"PRAGMA user_version = {self.version}")
            book.execute("COMMIT")
        self._check(*self._numbers(book))
        found = self._numbers(book)[1]
        if found < self.version:
            if found not in self.upgrades:
                raise self._refusal(f"damaged (no {self.what} has version {found})")
            self._upgrade(book)

    def _upgrade(self, book: sqlite3.Connection) -> None:
        """Bring an older file up to this version, all of it or nothing."""
        book.execute("BEGIN IMMEDIATE")
        try:
            for version in range(self._numbers(book)[1], self.version):
                for statement in self.upgrades[version].split(";"):
                    book.execute(statement)
            book.execute(f"PRAGMA user_version = {self.version}")
        except BaseException:
            if book.in_transaction:
                book.execute("ROLLBACK")
            raise
        book.execute("COMMIT")

    def _numbers(self, book: sqlite3.Connection) -> tuple[int, int]:
        """Return the numbers in the header: whose file it is and of which version."""
        application, version = (
            int(book.execute(f"PRAGMA {name}").fetchone()[0])
            for name in ("application_id", "user_version")
        )
        return application, version

    def _inspect(self, book: sqlite3.Connection) -> None:
        """Refuse a damaged file: broken pages, or rows that nothing of ours has written."""
        told = book.execute("PRAGMA quick_check(1)").fetchone()[0]
        if told != "ok":
            raise self._refusal(f"damaged ({told})")
        for table, row in self.kinds.items():
            odd = " OR ".join(_is_odd(*column.split()) for column in row.split(", "))
            if book.execute(f"SELECT 1 FROM {table} WHERE {odd} LIMIT 1").fetchone():
                raise self._refusal(f"damaged (in its {table} is what no {self.what} has written)")


@contextmanager
def _whole(book: sqlite3.Connection) -> Iterator[None]:
    """Write all that is written inside, or nothing of it."""
    book.execute("BEGIN IMMEDIATE")
    try:
        yield
    except BaseException:
        if book.in_transaction:  # on a full disk SQLite has ended it already
            book.execute("ROLLBACK")
        raise
    book.execute("COMMIT")


def _is_empty(book: sqlite3.Connection) -> bool:
    """Tell whether a database has no table yet."""
    return not book.execute("PRAGMA schema_version").fetchone()[0]


def _is_odd(column: str, kind: str) -> str:
    """Return the condition on which a column holds what is not of its kind."""
    plain = kind.removesuffix("N")
    if plain == "time":
        odd = f"typeof({column}) <> 'text' OR {column} NOT {_TIME} OR datetime({column}) IS NULL"
    else:
        odd = f"typeof({column}) <> '{plain}'"
    return f"({column} IS NOT NULL AND ({odd}))" if kind.endswith("N") else f"({odd})"
