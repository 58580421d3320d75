"""Chord kinds: what a chord is made of, and every spelling that is read as a whole.

A kind *is* its set of degrees. Two spellings with the same degrees are the same kind, and the
symbol that is printed is found from the degrees alone. The table is in ``kind_rows``.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from theorykit.notes.degree import Degree, degrees
from theorykit.notes.kind_names import REPLACED_BY, named
from theorykit.notes.kind_rows import CHORD_KINDS, KindRow, expanded
from theorykit.notes.note import pretty_accidentals

__all__ = ["CHORD_KINDS", "REPLACED_BY", "SPELLINGS", "ChordKind", "KindRow"]

_SEVENTH, _MINOR_THIRD, *_THIRDS = degrees("b7 b3 3 4 2")  # what makes a dominant, or no dominant


@dataclass(frozen=True, slots=True)
class ChordKind:
    """What a chord is made of, root left out. Equal degrees, equal kind.

    >>> kind = ChordKind.of("1 3 5 b7 b9 13")
    >>> kind.symbol, kind.name
    ('13b9', 'dominant thirteenth, flat 9')
    """

    degrees: tuple[Degree, ...]

    @classmethod
    def of(cls, formula: str | Iterable[Degree]) -> ChordKind:
        """Return the kind with these degrees, in climbing order, each once.

        >>> ChordKind.of("1 5 b3 b7") == ChordKind.of("1 b3 5 b7")
        True
        """
        found = degrees(formula) if isinstance(formula, str) else tuple(formula)
        return cls(tuple(sorted(set(found), key=lambda d: (d.semitones, d.number))))

    @property
    def symbol(self) -> str:
        """The symbol that we print, plain ASCII; the empty text for a major triad."""
        return named(self.degrees)[0]

    @property
    def name(self) -> str:
        """The kind in words."""
        return named(self.degrees)[1]

    @property
    def pretty(self) -> str:
        """The symbol with ♭ and ♯."""
        return pretty_accidentals(self.symbol)

    def has(self, degree: str) -> bool:
        """Tell whether a degree, such as ``"b7"``, belongs to the kind."""
        return Degree.parse(degree) in self.degrees

    @property
    def is_dominant(self) -> bool:
        """Major third (or a suspension of it) under a minor seventh.

        >>> [ChordKind.of(f).is_dominant for f in ("1 3 5 b7", "1 4 5 b7", "1 b3 5 b7")]
        [True, True, False]
        """
        held = self.degrees
        return _SEVENTH in held and _MINOR_THIRD not in held and any(d in held for d in _THIRDS)

    def __str__(self) -> str:
        return self.symbol


# Every spelling that is read as a whole, and its kind.
SPELLINGS: dict[str, ChordKind] = {
    spelling: ChordKind.of(row.formula)
    for row in CHORD_KINDS
    for written in (row.symbol, *row.spellings)
    for spelling in expanded(written)
}
