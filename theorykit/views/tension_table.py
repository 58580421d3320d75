"""The table of all subsets of the tensions, filtered and sorted: tensions down, shapes across."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from functools import lru_cache

from theorykit.errors import TheoryError, shown
from theorykit.harmony.shapes import Shape
from theorykit.harmony.subsets import COLUMNS, SIX_TENSIONS, Subset, subsets
from theorykit.harmony.wording import sentence
from theorykit.notes.chord import Chord
from theorykit.notes.degree import Degree
from theorykit.notes.key import Key, reader_words
from theorykit.notes.note import pretty_accidentals
from theorykit.notes.reader import READERS, Reader
from theorykit.tunes.progression import cadence_chords

__all__ = ["ANY_SHAPE", "ROWS", "SHAPE_NAMES", "SORTS", "TensionTable", "tension_table"]


def _name(shape: Shape) -> str:
    """Return what a column is called: the shape on no root, a major triad having no suffix."""
    return pretty_accidentals(shape.suffix) or "major"


SHAPE_NAMES = tuple(map(_name, COLUMNS))
ANY_SHAPE = "any shape"
ROWS = ALL, SMALL, LARGE = (
    "all rows",
    "that a triad or seventh chord brings alone",
    "that need something larger",
)
NONE = 99  # notes: more than any shape has


def _smallest(row: Subset) -> int:
    """Return how many notes the smallest shape has that brings the tensions."""
    found = row.routes[0] if row.routes else row.smallest
    return len(set(found.semitones)) if found else NONE


# What a row is sorted by; rows that are equal in it keep the order of the search.
SORTS: dict[str, Callable[[Subset], int]] = {
    "fewest tensions first": lambda row: len(row.tensions),
    "most tensions first": lambda row: -len(row.tensions),
    "most shapes first": lambda row: -len(row.routes),
    "smallest shape first": _smallest,
}


@dataclass(frozen=True, slots=True)
class TensionTable:
    """Some rows of the table over one dominant, in an order."""

    chord: Chord
    target: Chord
    rows: tuple[Subset, ...]
    key: Key
    reader: Reader

    @property
    def written(self) -> str:
        """What is at concert pitch, for a reader who has other names on the page."""
        return reader_words(self.reader, self.key, "the key in the list is")

    @property
    def caption(self) -> str:
        """What the table is about, and how many rows it shows."""
        return (
            f"Over {self.chord.pretty}, going to {self.target.pretty}: {len(self.rows)} of "
            f"{2 ** len(SIX_TENSIONS)} sets of tensions. In each cell the roots on which a shape "
            "brings just these, beside tones of the chord."
        )

    @property
    def heads(self) -> tuple[str, ...]:
        """The heads of the columns."""
        return ("tensions", *SHAPE_NAMES, "in words")

    @property
    def cells(self) -> tuple[tuple[str, ...], ...]:
        """The rows as texts: the tensions, the roots in each column, the best way in words."""
        return tuple((row.pretty, *_roots(row), _words(row)) for row in self.rows)


def _roots(row: Subset) -> tuple[str, ...]:
    """Return for each column the roots on which its shape brings the tensions."""
    return tuple(
        " ".join(route.root.pretty for route in row.routes if route.row == shape)
        for shape in COLUMNS
    )


@lru_cache(maxsize=2048)
def _words(row: Subset) -> str:
    """Return the best way in words, worked out once."""
    return sentence(row.words)


def tension_table(
    key: Key | str,
    *,
    having: Iterable[Degree] = (),
    without: Iterable[Degree] = (),
    shape: str = ANY_SHAPE,
    rows: str = ALL,
    sort: str = "fewest tensions first",
    reader: Reader = READERS[0],
) -> TensionTable:
    """Return the rows over the V of a key that are asked for, as a reader has them on the page.

    ``having`` and ``without`` are tensions, ``shape`` is one of ``SHAPE_NAMES`` that a row must
    hold, ``rows`` is one of ``ROWS``, ``sort`` one of ``SORTS``.

    >>> from theorykit.notes.degree import degrees
    >>> table = tension_table("C", having=degrees("b9 13"), rows=SMALL)
    >>> [(cells[0], cells[1], cells[2]) for cells in table.cells][:2]
    [('♭9 13', 'E', ''), ('♭9 ♯11 13', '', 'C♯')]
    """
    _check("shape", shape, (ANY_SHAPE, *SHAPE_NAMES))
    _check("rows", rows, ROWS)
    _check("order", sort, tuple(SORTS))
    home = Key.parse(key) if isinstance(key, str) else key
    _, v, one = cadence_chords(reader.written_key(home))
    asked, refused = frozenset(having), frozenset(without)
    found = [
        row
        for row in _search(v, one)
        if asked <= set(row.tensions)
        and not refused & set(row.tensions)
        and (rows == ALL or bool(row.routes) == (rows == SMALL))
        and (shape == ANY_SHAPE or any(_name(route.row) == shape for route in row.routes))
    ]
    return TensionTable(v, one, tuple(sorted(found, key=SORTS[sort])), home, reader)


def _check(what: str, wished: str, offered: tuple[str, ...]) -> None:
    """Refuse a wish that the table cannot meet."""
    if wished not in offered:
        raise TheoryError(f"no such {what}: {shown(wished)} (want one of {', '.join(offered)})")


@lru_cache(maxsize=32)
def _search(dominant: Chord, target: Chord) -> tuple[Subset, ...]:
    """Return all rows over a dominant, searched once while a reader sorts and filters."""
    return subsets(dominant, target)
