"""The file of a journal: answers, practice, notes, and what is remembered of each card."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Mapping, Sequence
from datetime import datetime
from types import MappingProxyType

from theorykit.study.cards import Card
from theorykit.study.own_file import OwnFile

__all__ = ["COLUMNS", "JournalStore", "append_row"]

# What each table holds, in the order in which it is exported; every row has a number in front.
COLUMNS = {
    "answers": (
        *("at", "kind", "topic", "level", "key", "asked", "given"),
        *("is_right", "seconds", "hinted"),
    ),
    "practice": ("at", "what", "minutes", "tempo", "keys"),
    "notes": ("at", "about", "words"),
}
_TABLES = """
CREATE TABLE answers (
    id INTEGER PRIMARY KEY, at TEXT NOT NULL, kind TEXT NOT NULL, topic TEXT NOT NULL,
    level INTEGER NOT NULL, key TEXT NOT NULL, asked TEXT NOT NULL, given TEXT NOT NULL,
    is_right INTEGER NOT NULL, seconds REAL, hinted INTEGER NOT NULL
);
CREATE TABLE practice (
    id INTEGER PRIMARY KEY, at TEXT NOT NULL, what TEXT NOT NULL, minutes REAL NOT NULL,
    tempo REAL, keys TEXT NOT NULL
);
CREATE TABLE notes (
    id INTEGER PRIMARY KEY, at TEXT NOT NULL, about TEXT NOT NULL, words TEXT NOT NULL
);
CREATE TABLE cards (
    kind TEXT NOT NULL, topic TEXT NOT NULL, due TEXT, last TEXT, stability REAL, difficulty REAL,
    state INTEGER NOT NULL, step INTEGER, first TEXT NOT NULL,
    PRIMARY KEY (kind, topic)
);
"""
# A sitting that goes on after a restart, and what was forgotten and can be brought back.
_SITTINGS = """
CREATE TABLE sittings (what TEXT PRIMARY KEY, at TEXT NOT NULL, state TEXT NOT NULL);
CREATE TABLE forgotten_answers AS SELECT * FROM answers WHERE 0;
CREATE TABLE forgotten_practice AS SELECT * FROM practice WHERE 0;
CREATE TABLE forgotten_notes AS SELECT * FROM notes WHERE 0;
CREATE TABLE forgotten_cards AS SELECT * FROM cards WHERE 0
"""
_KINDS = {
    "answers": "at time, kind text, topic text, level integer, key text, asked text, given text, "
    "is_right integer, seconds realN, hinted integer",
    "practice": "at time, what text, minutes real, tempo realN, keys text",
    "notes": "at time, about text, words text",
    "cards": "kind text, topic text, due timeN, last timeN, stability realN, difficulty realN, "
    "state integer, step integerN, first time",
}
_CARD = "kind, topic, due, last, stability, difficulty, state, step"

Row = tuple[object, ...]


class JournalStore(OwnFile):
    """Rows of plain values in one file, which only its owner may read."""

    what = "journal"
    application = 0x74_6B_6A_6F  # "tkjo"
    version = 2
    tables = _TABLES + _SITTINGS
    upgrades = MappingProxyType({1: _SITTINGS})
    kinds = MappingProxyType(
        _KINDS
        | {f"forgotten_{table}": kinds for table, kinds in _KINDS.items()}
        | {"sittings": "what text, at time, state text"}
    )
    is_private = True

    def add(self, table: str, values: Mapping[str, object]) -> None:
        """Append a row."""
        with self._write() as book:
            append_row(book, table, values)

    def answer(
        self,
        values: Mapping[str, object],
        name: tuple[str, str],
        review: Callable[[Card], Card],
        sitting: tuple[str, str] | None = None,
    ) -> Card:
        """Append an answer and review its card, both or neither; return the card.

        The card is read inside the write, so that no answer of another notebook is lost.
        ``sitting`` is what it belongs to, and the state that this is in now.
        """
        with self._write() as book:
            row = book.execute(
                f"SELECT {_CARD} FROM cards WHERE kind = ? AND topic = ?", name
            ).fetchone()
            card = review(_card(row) if row else Card(*name))
            append_row(book, "answers", values)
            _keep(book, card, values["at"])
            if sitting is not None:
                _sit(book, *sitting, values["at"])
        return card

    def sit(self, what: str, state: str, at: str) -> None:
        """Keep the state of a sitting in place of what it was."""
        with self._write() as book:
            _sit(book, what, state, at)

    def forget(self, table: str) -> int:
        """Put the rows of a table aside, with answers the cards; return how many rows."""
        with self._write() as book:
            count = _put_aside(book, table)
            if table == "answers":
                _put_aside(book, "cards")
                book.execute("DELETE FROM sittings")
        return count

    def forget_last(self, table: str) -> bool:
        """Put the row that was written last aside, and tell whether there was one."""
        last = f"WHERE id = (SELECT max(id) FROM {table})"
        with self._write() as book:
            book.execute(f"INSERT INTO forgotten_{table} SELECT * FROM {table} {last}")
            return book.execute(f"DELETE FROM {table} {last}").rowcount > 0

    def bring_back(self) -> int:
        """Put everything back that was put aside; of a card that was asked since, that stays."""
        with self._write() as book:
            count = 0
            for table in COLUMNS:
                rows = book.execute(
                    f"INSERT OR IGNORE INTO {table} SELECT * FROM forgotten_{table}"
                )
                count += rows.rowcount
            book.execute("INSERT OR IGNORE INTO cards SELECT * FROM forgotten_cards")
            _empty(book)
        return count

    def forget_for_good(self) -> None:
        """Take what was put aside out of the file, and write over the place where it lay."""
        with self._write() as book:
            _empty(book)
        with self._open() as book:
            book.execute("VACUUM")

    def rows(self, table: str) -> list[Row]:
        """Return all rows of a table, in the order in which they were written."""
        columns = ", ".join(COLUMNS[table])
        return self.ask(f"SELECT {columns} FROM {table} ORDER BY id")

    def cards(self) -> tuple[Card, ...]:
        """Return the cards that were asked, in the order in which they were first."""
        rows = self.ask(f"SELECT {_CARD} FROM cards ORDER BY first, rowid")
        return tuple(_card(row) for row in rows)

    def ask(self, query: str, values: Sequence[object] = ()) -> list[Row]:
        """Return what a query finds."""
        with self._open() as book:
            found: list[Row] = book.execute(query, values).fetchall()
        return found


def _put_aside(book: sqlite3.Connection, table: str) -> int:
    """Move the rows of a table to where they can be brought back from; return how many."""
    count = book.execute(f"INSERT INTO forgotten_{table} SELECT * FROM {table}").rowcount
    book.execute(f"DELETE FROM {table}")
    return count


def _empty(book: sqlite3.Connection) -> None:
    """Take away what was put aside."""
    for table in (*COLUMNS, "cards"):
        book.execute(f"DELETE FROM forgotten_{table}")


def _sit(book: sqlite3.Connection, what: str, state: str, at: object) -> None:
    """Write the state of a sitting."""
    book.execute(
        "INSERT OR REPLACE INTO sittings (what, at, state) VALUES (?, ?, ?)", (what, at, state)
    )


def append_row(book: sqlite3.Connection, table: str, values: Mapping[str, object]) -> None:
    """Write one row, with a number that no row has had, be it forgotten now."""
    marks = ", ".join("?" * len(values))
    last = " UNION ALL ".join(
        f"SELECT max(id) AS id FROM {one}" for one in (table, f"forgotten_{table}")
    )
    number = f"(SELECT 1 + ifnull(max(id), 0) FROM ({last}))"
    book.execute(
        f"INSERT INTO {table} (id, {', '.join(values)}) VALUES ({number}, {marks})",
        [*values.values()],
    )


def _keep(book: sqlite3.Connection, card: Card, at: object) -> None:
    """Write a card in place of what it was; when it was first asked stays."""
    book.execute(
        f"INSERT INTO cards ({_CARD}, first) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?) "
        "ON CONFLICT (kind, topic) DO UPDATE SET due = excluded.due, last = excluded.last, "
        "stability = excluded.stability, difficulty = excluded.difficulty, "
        "state = excluded.state, step = excluded.step",
        (
            *card.name, _text(card.due), _text(card.last), card.stability, card.difficulty,
            card.state, card.step, at,
        ),
    )  # fmt: skip


def _text(when: datetime | None) -> str | None:
    """Write a time."""
    return None if when is None else when.isoformat()


def _card(row: Row) -> Card:
    """Read a card."""
    kind, topic, due, last, *memory = row
    return Card(str(kind), str(topic), _time(due), _time(last), *memory)  # type: ignore[arg-type]


def _time(text: object) -> datetime | None:
    """Read a time."""
    return None if text is None else datetime.fromisoformat(str(text))
