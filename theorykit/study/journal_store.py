"""The file of a journal: answers, practice, notes, and what is remembered of each card."""

from __future__ import annotations

import sqlite3
from collections.abc import Callable, Mapping, Sequence
from datetime import datetime

from theorykit.study.cards import Card
from theorykit.study.own_file import OwnFile

__all__ = ["COLUMNS", "JournalStore"]

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
# What the columns hold: times as they are written, kinds of SQLite, N where nothing may stand.
_KINDS = {
    "answers": "time text text integer text text text integer realN integer",
    "practice": "time text real realN text",
    "notes": "time text text",
    "cards": "text text timeN timeN realN realN integer integerN time",
}
_TIME = "GLOB '[0-9][0-9][0-9][0-9]-[0-9][0-9]-[0-9][0-9]T[0-9][0-9]:[0-9][0-9]:*+00:00'"
_CARD = "kind, topic, due, last, stability, difficulty, state, step"

Row = tuple[object, ...]


class JournalStore(OwnFile):
    """Rows of plain values in one file, which only its owner may read."""

    what = "journal"
    application = 0x74_6B_6A_6F  # "tkjo"
    tables = _TABLES
    is_private = True

    def _inspect(self, book: sqlite3.Connection) -> None:
        """Refuse a damaged journal: broken pages, or rows that no journal has written."""
        super()._inspect(book)
        for table, kinds in _KINDS.items():
            columns = COLUMNS.get(table) or (*_CARD.split(", "), "first")
            odd = " OR ".join(map(_is_odd, columns, kinds.split()))
            if book.execute(f"SELECT 1 FROM {table} WHERE {odd} LIMIT 1").fetchone():
                raise self._refusal(f"damaged (in its {table} is what no journal has written)")

    def add(self, table: str, values: Mapping[str, object]) -> None:
        """Append a row."""
        with self._write() as book:
            _insert(book, table, values)

    def answer(
        self, values: Mapping[str, object], name: tuple[str, str], review: Callable[[Card], Card]
    ) -> Card:
        """Append an answer and review its card, both or neither; return the card.

        The card is read inside the write, so that no answer of another notebook is lost.
        """
        with self._write() as book:
            row = book.execute(
                f"SELECT {_CARD} FROM cards WHERE kind = ? AND topic = ?", name
            ).fetchone()
            card = review(_card(row) if row else Card(*name))
            _insert(book, "answers", values)
            _keep(book, card, values["at"])
        return card

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


def _is_odd(column: str, kind: str) -> str:
    """Return the condition on which a column holds what is not of its kind."""
    plain = kind.removesuffix("N")
    if plain == "time":
        odd = f"typeof({column}) <> 'text' OR {column} NOT {_TIME} OR datetime({column}) IS NULL"
    else:
        odd = f"typeof({column}) <> '{plain}'"
    return f"({column} IS NOT NULL AND ({odd}))" if kind.endswith("N") else f"({odd})"


def _insert(book: sqlite3.Connection, table: str, values: Mapping[str, object]) -> None:
    """Write one row."""
    marks = ", ".join("?" * len(values))
    book.execute(f"INSERT INTO {table} ({', '.join(values)}) VALUES ({marks})", [*values.values()])


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
