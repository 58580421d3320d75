"""Metre: how many beats a bar has, and how its chords share them."""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache

from theorykit.errors import TheoryError, shown

__all__ = ["COMMON_TIME", "METRES", "Metre", "shares"]

_TEXT = re.compile(r"([0-9]{1,2})\s*/\s*([0-9]{1,2})")
_WRITABLE = {"2/4": 2, "3/4": 3, "4/4": 4, "5/4": 5, "6/4": 6, "6/8": 2, "12/8": 4}


@dataclass(frozen=True, slots=True)
class Metre:
    """A time signature. In 6/8 and 12/8 a beat is a dotted quarter (common practice).

    >>> m = Metre.parse("6/8")
    >>> str(m), m.beats, m.quarters
    ('6/8', 2, Fraction(3, 2))
    """

    count: int
    unit: int

    def __post_init__(self) -> None:
        """Refuse a metre that charts do not use."""
        if f"{self.count}/{self.unit}" not in _WRITABLE:
            raise TheoryError(
                f"not a metre for a chart: {self.count}/{self.unit} (want {_ACCEPTED})"
            )

    @classmethod
    def parse(cls, text: str) -> Metre:
        """Read a metre such as ``3/4``. The reverse of ``str``.

        >>> Metre.parse("7/9")
        Traceback (most recent call last):
        theorykit.errors.TheoryError: not a metre for a chart: '7/9' (want 2/4, 3/4, 4/4, 5/4, \
6/4, 6/8 or 12/8)
        """
        found = _TEXT.fullmatch(text.strip()) if isinstance(text, str) and len(text) < 20 else None
        if found is None or f"{int(found[1])}/{int(found[2])}" not in _WRITABLE:
            raise TheoryError(f"not a metre for a chart: {shown(text)} (want {_ACCEPTED})")
        return cls(int(found[1]), int(found[2]))

    @property
    def beats(self) -> int:
        """How many beats a musician counts in a bar: 4 in 4/4 and in 12/8."""
        return _BEATS[self.count, self.unit]

    @property
    def quarters(self) -> Fraction:
        """The length of one beat in quarter notes."""
        return Fraction(4 * self.count, self.unit * self.beats)

    @property
    def grids(self) -> tuple[int, ...]:
        """Into how many equal parts the chords and slashes of a bar may divide it."""
        if self.unit == 8:
            return (self.beats, self.count, 2 * self.count)
        return (self.beats, 2 * self.beats, 4 * self.beats)

    def __str__(self) -> str:
        return f"{self.count}/{self.unit}"


_BEATS = {(int(n.partition("/")[0]), int(n.partition("/")[2])): b for n, b in _WRITABLE.items()}
*_most, _last = _WRITABLE
_ACCEPTED = f"{', '.join(_most)} or {_last}"
COMMON_TIME = Metre(4, 4)
METRES = tuple(Metre(*map(int, name.split("/"))) for name in _WRITABLE)


@lru_cache(maxsize=256)
def shares(metre: Metre, chords: int) -> tuple[Fraction, ...]:
    """Return the beats of each chord of a bar that is written without slashes.

    They share the bar evenly; where whole beats do not come out even, the earlier chords get the
    beats that are left over, as lead sheets are read (common practice).

    >>> [str(beats) for beats in shares(Metre(4, 4), 3)], [str(b) for b in shares(Metre(3, 4), 2)]
    (['2', '1', '1'], ['2', '1'])
    """
    for grid in metre.grids:
        if chords <= grid:
            each, more = divmod(grid, chords)
            return tuple(
                Fraction((each + (place < more)) * metre.beats, grid) for place in range(chords)
            )
    raise TheoryError(
        f"{chords} chords in one bar of {metre} (want at most {metre.grids[-1]}; a | between bars)"
    )
