"""From degrees to a symbol and a name: a row of the table, or the row that needs fewest marks."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import lru_cache

from theorykit.errors import TheoryError
from theorykit.notes.degree import Degree, degrees
from theorykit.notes.kind_rows import CHORD_KINDS, KindRow

__all__ = ["REPLACED_BY", "named"]

# A mark that stands at the end of a symbol and changes one degree of it.
REPLACED_BY = {
    Degree(5, -1): Degree(5),
    Degree(5, 1): Degree(5),
    Degree(9, -1): Degree(9),
    Degree(9, 1): Degree(9),
    Degree(11, 1): Degree(11),
    Degree(13, -1): Degree(13),
}
OMITTABLE = degrees("1 3 5 9 11")
THIRD = Degree(3)
SUSPENSIONS = {Degree(4): "sus4", Degree(2): "sus2"}
SILENT = "N.C."

_ROWS = {frozenset(row.degrees): row for row in CHORD_KINDS}
_BASES = tuple((row, row.degrees) for row in CHORD_KINDS if "alt" not in row.symbol)


@lru_cache(maxsize=2048)  # a chart says few kinds, and each many times
def named(found: tuple[Degree, ...]) -> tuple[str, str]:
    """Return symbol and name of a set of degrees; ``N.C.`` for none.

    >>> named(degrees("1 3 5 b7 b9 13"))
    ('13b9', 'dominant thirteenth, flat 9')
    >>> named(degrees("1 4 5 7"))
    ('maj7sus4', 'major seventh, suspended')
    """
    if not found:
        return SILENT, "no chord"
    row = _ROWS.get(frozenset(found))
    if row is not None:
        return row.symbol, row.name
    options = () if _contradicts(found) else _options(frozenset(found))
    best = min(options, key=lambda marks: marks.cost, default=None)
    if best is None:
        raise TheoryError(
            f"no symbol for the degrees {' '.join(map(str, found))} "
            "(want one third or suspension, one fifth and one seventh at most)"
        )
    return best.symbol, best.words


@dataclass(frozen=True, slots=True)
class _Marks:
    """A row and what must be suspended, altered, added and left out to reach other degrees."""

    row: KindRow
    suspended: str
    altered: list[Degree]
    added: list[Degree]
    omitted: list[Degree]

    @property
    def cost(self) -> int:
        """How hard it reads: an alteration is read at a glance, a late 3 or 7 is a riddle."""
        riddles = sum(degree.number in (3, 7) for degree in self.added)
        marks = len(self.altered) + 2 * len(self.added) + 3 * len(self.omitted)
        return bool(self.suspended) + marks + 6 * riddles

    @property
    def symbol(self) -> str:
        """The symbol; a triad without a letter takes brackets: Cb5 would be read as C flat."""
        start = self.row.symbol + self.suspended
        alterations = "".join(map(str, self.altered))
        if alterations and not start:
            alterations = f"({alterations})"
        adds = "".join(f"add{degree}" for degree in self.added)
        return start + alterations + adds + "".join(f"no{degree}" for degree in self.omitted)

    @property
    def words(self) -> str:
        """The name of the row, then the marks."""
        marks = [f"{'flat' if d.alteration < 0 else 'sharp'} {d.number}" for d in self.altered]
        marks += [f"added {degree}" for degree in self.added]
        marks += [f"without {degree}" for degree in self.omitted]
        return ", ".join([self.row.name, *["suspended"] * bool(self.suspended), *marks])


def _contradicts(found: tuple[Degree, ...]) -> bool:
    """Tell whether there are two thirds or suspensions, or two sevenths."""
    thirds = sum(degree.number in (2, 3, 4) for degree in found)
    return thirds > 1 or sum(degree.number == 7 for degree in found) > 1


def _options(wanted: frozenset[Degree]) -> Iterator[_Marks]:
    """Run through the ways to write some degrees, the third suspended where a 4 or 2 is for it."""
    for row, base in _BASES:
        plain = _marks(row, base, wanted)
        if plain is not None:
            yield plain
    for degree in wanted.intersection(SUSPENSIONS):
        unsuspended = wanted - {degree} | {THIRD}
        for row, base in _BASES:
            marks = _marks(row, base, unsuspended, SUSPENSIONS[degree]) if THIRD in base else None
            if marks is not None:
                yield marks


def _marks(
    row: KindRow, base: tuple[Degree, ...], wanted: frozenset[Degree], suspended: str = ""
) -> _Marks | None:
    """Return what turns a row into the wanted degrees, or None where no marks do."""
    missing = [degree for degree in base if degree not in wanted]
    extra = sorted(wanted.difference(base), key=lambda degree: degree.semitones)
    seventh = any(degree.number in (6, 7) for degree in base)
    altered = [d for d in extra if d in REPLACED_BY and (seventh or d.number == 5)]
    if any(d.number == 5 and REPLACED_BY[d] not in missing for d in altered):
        return None  # a fifth that is both plain and altered has no symbol
    replaced = {REPLACED_BY[degree] for degree in altered}
    if replaced.intersection(base) - set(missing):
        return None  # the plain degree would be lost, but is wanted
    omitted = [degree for degree in missing if degree not in replaced]
    added = [degree for degree in extra if degree not in altered]
    if any(degree not in OMITTABLE for degree in omitted) or _unwritten(added):
        return None
    return _Marks(row, suspended, altered, added, omitted)


def _unwritten(added: list[Degree]) -> bool:
    """Tell whether an added degree has no mark: a minor third, or a 4 or 2 without the third."""
    return any(d in SUSPENSIONS or (d.number == 3 and d != THIRD) for d in added)
