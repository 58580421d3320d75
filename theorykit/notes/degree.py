"""A degree: how far above a root, counted in letters and altered from the major scale."""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import lru_cache

from theorykit.errors import TheoryError, shown
from theorykit.notes.note import NATURAL_SEMITONES, ascii_accidentals, pretty_accidentals

__all__ = ["Degree", "degrees"]

HIGHEST_NUMBER = 15
MOST_ALTERED = 3
_TEXT = re.compile(r"(b{0,3}|#{0,3})([1-9]|1[0-5])")


@dataclass(frozen=True, slots=True)
class Degree:
    """A number from 1 to 15 and an alteration in half steps.

    >>> str(Degree(9, -1)), Degree(11, 1).pretty, Degree.parse("b9").semitones
    ('b9', '♯11', 13)
    """

    number: int
    alteration: int = 0

    def __post_init__(self) -> None:
        """Refuse what is no degree."""
        if not isinstance(self.number, int) or not 1 <= self.number <= HIGHEST_NUMBER:
            raise TheoryError(
                f"not a degree number: {shown(self.number)} (want 1 to {HIGHEST_NUMBER})"
            )
        if not isinstance(self.alteration, int) or abs(self.alteration) > MOST_ALTERED:
            raise TheoryError(
                f"not an alteration: {shown(self.alteration)} "
                f"(want whole half steps, -{MOST_ALTERED} to {MOST_ALTERED})"
            )

    @classmethod
    def parse(cls, text: str) -> Degree:
        """Read a degree such as ``b9``, ``♯11`` or ``13``. The reverse of ``str``.

        >>> Degree.parse("♯11")
        Degree(number=11, alteration=1)
        >>> Degree.parse("16")
        Traceback (most recent call last):
        theorykit.errors.TheoryError: not a degree: '16' (want b's or #'s, then 1 to 15)
        """
        found = _read(text) if isinstance(text, str) and len(text) < 9 else None
        if found is None:
            raise TheoryError(f"not a degree: {shown(text)} (want b's or #'s, then 1 to 15)")
        return found

    @property
    def step(self) -> int:
        """The number of letters above the root, 0 to 6."""
        return (self.number - 1) % 7

    @property
    def semitones(self) -> int:
        """Half steps above the root, octaves counted: the b9 is 13."""
        octaves, step = divmod(self.number - 1, 7)
        return NATURAL_SEMITONES[step] + 12 * octaves + self.alteration

    @property
    def semitone(self) -> int:
        """Half steps above the root within one octave, 0 to 11: the b9 is 1."""
        return (NATURAL_SEMITONES[(self.number - 1) % 7] + self.alteration) % 12

    @property
    def pretty(self) -> str:
        """The degree with ♭ and ♯."""
        return pretty_accidentals(str(self))

    def __hash__(self) -> int:
        return 16 * self.number + self.alteration

    def __str__(self) -> str:
        sign = "b" if self.alteration < 0 else "#"
        return sign * abs(self.alteration) + str(self.number)


@lru_cache(maxsize=256)  # the tables ask for the same few again and again
def _read(text: str) -> Degree | None:
    """Return the degree that a short text says, or None."""
    match = _TEXT.fullmatch(ascii_accidentals(text.strip()))
    if match is None:
        return None
    signs, number = match.groups()
    return Degree(int(number), len(signs) * (-1 if signs.startswith("b") else 1))


def degrees(text: str) -> tuple[Degree, ...]:
    """Read several degrees, separated by spaces.

    >>> [str(d) for d in degrees("1 b3 b5 bb7")]
    ['1', 'b3', 'b5', 'bb7']
    """
    return tuple(Degree.parse(word) for word in text.split())
