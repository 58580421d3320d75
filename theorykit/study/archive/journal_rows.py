"""The journal in an archive: its rows as plain data, and how two journals become one."""

from __future__ import annotations

import sqlite3
from collections import Counter
from collections.abc import Mapping
from datetime import datetime
from pathlib import Path
from typing import Any

from theorykit.study.journal import Journal
from theorykit.study.journal_store import COLUMNS, JournalStore, Row, append_row

CARDS = ("kind", "topic", "due", "last", "stability", "difficulty", "state", "step", "first")
SITTINGS = ("what", "at", "state")
TABLES = {**COLUMNS, "cards": CARDS, "sittings": SITTINGS}
READ = ("answers", "practice", "notes", "cards")  # all that is made of rows
LAST, FIRST = CARDS.index("last"), CARDS.index("first")


def journal_rows(store: JournalStore) -> dict[str, list[Row]]:
    """Return the rows of a journal, table by table; what was forgotten stays out."""
    return {
        table: store.ask(f"SELECT {', '.join(names)} FROM {table} ORDER BY rowid")
        for table, names in TABLES.items()
    }


def journal_of(rows: Mapping[str, Any], file: Path) -> JournalStore:
    """Return a new journal with rows in it, each of which has been read once.

    What is no row of a journal is refused by it, or raises an error of Python or SQLite.
    """
    store = JournalStore(file)
    with store.write_with() as book:
        for table, names in TABLES.items():
            marks = ", ".join("?" * len(names))
            insert = f"INSERT INTO {table} ({', '.join(names)}) VALUES ({marks})"
            book.executemany(insert, map(tuple, rows[table]))
    journal = Journal(file)
    for name in READ:
        getattr(journal, name)
    return store


def merge_journal(book: sqlite3.Connection, theirs: Mapping[str, list[Row]]) -> dict[str, int]:
    """Write what another journal has and this one has not; return how many rows of each table.

    A row that was forgotten here is not brought back. A card is as it was asked last.
    """
    counts = {}
    for table, names in COLUMNS.items():
        columns = ", ".join(names)
        both = f"SELECT {columns} FROM {table} UNION ALL SELECT {columns} FROM forgotten_{table}"
        new = Counter(theirs[table]) - Counter(book.execute(both))
        for row in new.elements():
            append_row(book, table, dict(zip(names, row, strict=True)))
        counts[table] = new.total()
    _merge_cards(book, theirs["cards"])
    _merge_sittings(book, theirs["sittings"])
    return counts


def _merge_cards(book: sqlite3.Connection, theirs: list[Row]) -> None:
    """Write the cards that were asked later in another journal."""
    columns = ", ".join(CARDS)
    forgotten = book.execute(f"SELECT {columns} FROM forgotten_cards").fetchall()
    ours = {row[:2]: row for row in book.execute(f"SELECT {columns} FROM cards")}
    known = {row[:2]: row for row in forgotten} | ours
    for row in theirs:
        own = known.get(row[:2])
        if own is not None and _when(row[LAST]) <= _when(own[LAST]):
            continue
        first = min(row[FIRST], ours.get(row[:2], row)[FIRST], key=_when)
        kept = (*row[:FIRST], first)
        book.execute(
            f"INSERT OR REPLACE INTO cards ({columns}) VALUES ({', '.join('?' * 9)})", kept
        )


def _merge_sittings(book: sqlite3.Connection, theirs: list[Row]) -> None:
    """Write the sittings that went on later in another journal."""
    ours = dict(book.execute("SELECT what, at FROM sittings"))
    for what, at, state in theirs:
        if _when(at) > _when(ours.get(what)):
            book.execute("INSERT OR REPLACE INTO sittings VALUES (?, ?, ?)", (what, at, state))


def _when(text: object) -> float:
    """Return a time in seconds of 1970; before all others where there is none."""
    return datetime.fromisoformat(str(text)).timestamp() if text else float("-inf")
