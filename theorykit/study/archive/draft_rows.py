"""Drafts in an archive: works with their states as plain data, and how two files become one."""

from __future__ import annotations

import sqlite3
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from theorykit.errors import TheoryError
from theorykit.study.drafts import MOST_WORKS, Drafts
from theorykit.study.works import LARGEST, data_in

WORK = ("kind", "title", "now", "changed", "aside")
STATE = ("number", "changed", "data")
Same = tuple[str, float, str]  # kind, moment and text of a state: no two works share one

LATEST, MOST_STATES = 32_503_680_000, 1_000_000_000  # seconds, of the year 3000; a number
_ODD = (
    "SELECT 1 FROM works WHERE changed NOT BETWEEN 0 AND ? OR aside NOT BETWEEN 0 AND ? "
    "UNION SELECT 1 FROM states WHERE changed NOT BETWEEN 0 AND ? OR number NOT BETWEEN 1 AND ? "
    "UNION SELECT 1 FROM places WHERE changed NOT BETWEEN 0 AND ?"
)
Row = dict[str, Any]


def draft_rows(drafts: Drafts) -> dict[str, list[Any]]:
    """Return works with all their states, and the places where they were open last."""
    with drafts.write_with() as book:
        works = book.execute(f"SELECT work, {', '.join(WORK)} FROM works ORDER BY work").fetchall()
        states: dict[int, list[Any]] = {row[0]: [] for row in works}
        asked = f"SELECT work, {', '.join(STATE)} FROM states ORDER BY work, number"
        for work, *state in book.execute(asked):
            states[work].append(state)
        places = book.execute("SELECT place, work, data, changed FROM places").fetchall()
    numbers = {row[0]: at for at, row in enumerate(works)}
    return {
        "works": [dict(zip(WORK, row[1:], strict=True), states=states[row[0]]) for row in works],
        "places": [[place, numbers.get(work), *rest] for place, work, *rest in places],
    }


def drafts_of(rows: Mapping[str, Any], file: Path) -> Drafts:
    """Return new drafts with works in them, each of which has been read once.

    What is no work is refused, or raises an error of Python or SQLite.
    """
    drafts = Drafts(file)
    with drafts.write_with() as book:
        for at, work in enumerate(rows["works"]):
            _begin(book, work, at + 1)
        for place, at, data, changed in rows["places"]:
            work = None if at is None else at + 1
            book.execute("INSERT INTO places VALUES (?, ?, ?, ?)", (place, work, data, changed))
            data_in(data)
        if book.execute(_ODD, (LATEST, LATEST, LATEST, MOST_STATES, LATEST)).fetchone():
            raise TheoryError("a time or a number of its drafts is none of real work")
    again = Drafts(file)  # which looks at what kind of thing stands in each column
    for at in range(len(rows["works"])):
        again.opened(at + 1)
        again.states(at + 1)
    return again


def _begin(book: sqlite3.Connection, work: Row, number: int | None = None) -> int:
    """Write a work with all its states, and return its number."""
    values = [work[name] for name in WORK]
    made = book.execute(
        f"INSERT INTO works (work, revision, {', '.join(WORK)}) VALUES (?, 1, ?, ?, ?, ?, ?)",
        (number, *values),
    )
    own = int(made.lastrowid or 0)
    for state in work["states"]:
        _add(book, own, *state)
    return own


def _add(book: sqlite3.Connection, work: int, number: int, changed: float, data: str) -> None:
    """Write a state."""
    if len(data) > LARGEST:
        raise TheoryError(f"{len(data):,} characters of a state (want at most {LARGEST:,})")
    book.execute("INSERT INTO states VALUES (?, ?, ?, ?)", (work, number, changed, data))


# === Two files become one ===


def merge_drafts(book: sqlite3.Connection, theirs: Mapping[str, list[Any]]) -> int:
    """Write works and states that are not here yet; return how many works are new or longer.

    A work that both files have, by a state that both have, is one work. It gets the states that it
    lacks, and stands where it was changed last.
    """
    known: dict[Same, tuple[int, int]] = {
        (kind, changed, data): (work, number)
        for work, number, kind, changed, data in book.execute(
            "SELECT works.work, number, kind, states.changed, data "
            "FROM works JOIN states ON states.work = works.work"
        )
    }
    numbers, count = [], 0
    for work in theirs["works"]:
        same = [known.get(one) for one in _named(work)]
        found = next((one[0] for one in same if one is not None), None)
        count += None in same
        numbers.append(_begin(book, work) if found is None else found)
        if found is not None:
            _lengthen(book, found, work, known)
    for place, at, data, changed in theirs["places"]:
        _put_place(book, place, None if at is None else numbers[at], data, changed)
    _count(book)
    return count


def _named(work: Row) -> list[Same]:
    """Return what tells the states of a work from those of others."""
    return [(work["kind"], changed, data) for _, changed, data in work["states"]]


def _lengthen(
    book: sqlite3.Connection, own: int, work: Row, known: Mapping[Same, tuple[int, int]]
) -> None:
    """Write the states that a work lacks; where it was changed later elsewhere, it stands there."""
    asked = "SELECT MAX(number) FROM states WHERE work = ?"
    last = int(book.execute(asked, (own,)).fetchone()[0])
    places = {}
    for name, (number, *state) in zip(_named(work), work["states"], strict=True):
        there = known.get(name)
        if there is None:
            last += 1
            _add(book, own, last, *state)
        places[number] = last if there is None else there[1]
    changed = book.execute("SELECT changed FROM works WHERE work = ?", (own,)).fetchone()[0]
    if work["changed"] > changed:
        book.execute(
            "UPDATE works SET title = ?, now = ?, changed = ?, aside = ?, revision = revision + 1 "
            "WHERE work = ?",
            (work["title"], places[work["now"]], work["changed"], work["aside"], own),
        )


def _put_place(
    book: sqlite3.Connection, place: str, work: int | None, data: str, changed: float
) -> None:
    """Write how a place was left, if it was left later than here."""
    row = book.execute("SELECT changed FROM places WHERE place = ?", (place,)).fetchone()
    if row is None or row[0] < changed:
        book.execute(
            "INSERT OR REPLACE INTO places VALUES (?, ?, ?, ?)", (place, work, data, changed)
        )


def _count(book: sqlite3.Connection) -> None:
    """Refuse more works than a list has room for."""
    asked = "SELECT kind, COUNT(*) FROM works WHERE aside IS NULL GROUP BY kind"
    for kind, count in book.execute(asked):
        if count > MOST_WORKS:
            raise TheoryError(
                f"with these there would be {count:,} works of the kind {kind} "
                f"(want at most {MOST_WORKS:,}; take some out first)"
            )
