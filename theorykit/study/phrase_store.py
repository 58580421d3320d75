"""The file of a phrase book: phrases as plain data, each with a fingerprint of what was saved."""

from __future__ import annotations

import hashlib
import json
import sqlite3

from theorykit.errors import TheoryError
from theorykit.study.own_file import OwnFile

__all__ = ["PhraseStore", "put_phrases"]

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


class PhraseStore(OwnFile):
    """Phrases as plain data in one file."""

    what = "phrase book"
    application = 0x74_6B_70_62  # "tkpb"
    tables = _TABLES

    def _inspect(self, book: sqlite3.Connection) -> None:
        """Refuse a damaged book: broken pages, or phrases that are not what was saved."""
        super()._inspect(book)
        for data, digest in book.execute("SELECT data, digest FROM phrases"):
            self._read(data, digest)

    def _read(self, data: str, digest: str) -> Data:
        """Return one phrase, if it is what was saved."""
        if not isinstance(data, str) or _digest(data) != digest:
            raise self._refusal("damaged (a phrase is not what was saved)")
        found: Data = json.loads(data)
        return found

    def add(self, phrases: list[Data], *, replace: bool = False) -> None:
        """Save phrases, all or none; a name that is taken is refused unless it is replaced."""
        with self._write() as book:
            if replace:
                names = [(one["name"],) for one in phrases]
                book.executemany("DELETE FROM phrases WHERE name = ?", names)
            put_phrases(book, phrases)

    def remove(self, name: str) -> bool:
        """Delete a phrase; tell whether it was there."""
        with self._write() as book:
            return book.execute("DELETE FROM phrases WHERE name = ?", (name,)).rowcount > 0

    def get(self, name: str) -> Data | None:
        """Return the phrase with a name, or None."""
        with self._open() as book:
            row = _row(book, name)
        return None if row is None else self._read(*row)

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

    def names(self, most: int = -1) -> tuple[str, ...]:
        """Return the names in alphabetical order, at most so many; all of them for -1."""
        query = "SELECT name FROM phrases ORDER BY name COLLATE NOCASE, name LIMIT ?"
        with self._open() as book:
            return tuple(name for (name,) in book.execute(query, (most,)))


def put_phrases(book: sqlite3.Connection, phrases: list[Data]) -> None:
    """Write phrases into an open book; a name that is taken is refused."""
    rows = [*map(_stored, phrases)]
    try:
        book.executemany("INSERT INTO phrases VALUES (?, ?, ?, ?, ?, ?)", rows)
    except sqlite3.IntegrityError:
        taken = next(row[0] for row in rows if _row(book, row[0]))
        raise TheoryError(
            f"there is a phrase called {taken!r} already (want another name, or replace=True)"
        ) from None
    tags = [pair for one in phrases for pair in _tagged(one)]
    book.executemany("INSERT INTO tags VALUES (?, ?)", tags)


def _row(book: sqlite3.Connection, name: object) -> tuple[str, str] | None:
    """Return what is stored under a name."""
    found: tuple[str, str] | None = book.execute(
        "SELECT data, digest FROM phrases WHERE name = ?", (name,)
    ).fetchone()
    return found


def _stored(phrase: Data) -> tuple[object, ...]:
    """Return the row of a phrase."""
    text = json.dumps(phrase, ensure_ascii=False, sort_keys=True)
    length = _length(phrase["bars"])
    return phrase["name"], phrase["colour"], phrase["form"], length, text, _digest(text)


def _tagged(phrase: Data) -> list[tuple[object, object]]:
    """Return the rows of the tags of a phrase, each tag once."""
    tags = phrase["tags"]
    return [(phrase["name"], tag) for tag in dict.fromkeys(tags if isinstance(tags, list) else ())]


def _digest(text: str) -> str:
    """Return a fingerprint of stored text."""
    return hashlib.sha256(text.encode()).hexdigest()


def _length(bars: object) -> int:
    """Return how many bars a phrase has."""
    return len(bars) if isinstance(bars, list) else 0
