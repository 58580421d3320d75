"""Bars: chords, repeats, endings and marks at their lines; and sections of bars."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache

from theorykit.errors import TheoryError, shown
from theorykit.notes.chord import Chord
from theorykit.tunes.jumps import in_order
from theorykit.tunes.metre import Metre, shares
from theorykit.tunes.progression import Bar

__all__ = ["MOST_TIMES", "ChartBar", "Section", "bar_words"]

MOST_TIMES = 9  # how often a repeat may be played
LONGEST_NAME = 40
_CLOSES = (0, *range(2, MOST_TIMES + 1))
_NAME = re.compile(r"[^\[\]|\s](?:[^\[\]|]*[^\[\]|\s])?")


@dataclass(frozen=True, slots=True)
class ChartBar:
    """A written bar: its chords with their beats, its metre, and the marks at its lines.

    The lengths in ``content`` are beats of the metre (in 6/8 a dotted quarter). ``opens`` is a
    repeat sign before the bar; ``closes`` is how often the repeat that ends with this bar is
    played, 0 where none ends; ``ending`` are the numbers over an ending that starts here; ``marks``
    are names of ``JUMP_MARKS``, such as ``segno`` at its head and ``D.C. al fine`` at its end.

    >>> str(ChartBar(Bar.of(("Dm7", 3), ("G7", 1)), Metre(4, 4), closes=2))
    'Dm7 / / G7'
    """

    content: Bar
    metre: Metre
    opens: bool = False
    closes: int = 0
    ending: tuple[int, ...] = ()
    marks: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        """Refuse lengths that do not fill the bar or that no slashes can show; order the marks."""
        if not _fills(self.content.lengths, self.metre):
            said = " + ".join(map(str, self.content.lengths))
            finest = Fraction(self.metre.beats, self.metre.grids[-1])
            raise TheoryError(
                f"not a bar of {self.metre}: chords of {said} beats "
                f"(want {self.metre.beats} beats in all, each a multiple of {finest})"
            )
        if self.closes not in _CLOSES:
            raise TheoryError(
                f"a repeat played {shown(self.closes)} times (want 2 to {MOST_TIMES}, or 0)"
            )
        if self.ending and any(number not in range(1, MOST_TIMES + 1) for number in self.ending):
            raise TheoryError(f"not an ending: {self.ending} (want numbers 1 to {MOST_TIMES})")
        if self.marks:
            object.__setattr__(self, "marks", in_order(self.marks))

    @property
    def chords(self) -> tuple[Chord, ...]:
        """The chords in order."""
        return self.content.chords

    @property
    def pretty(self) -> str:
        """The chords and slashes with ♭ and ♯ for the eye."""
        return " ".join(bar_words(self.content, self.metre, name=lambda chord: chord.pretty))

    def __str__(self) -> str:
        return " ".join(bar_words(self.content, self.metre))


@lru_cache(maxsize=1024)
def _fills(lengths: tuple[Fraction, ...], metre: Metre) -> bool:
    """Tell whether lengths fill a bar, each so long that slashes can show it."""
    finest = Fraction(metre.beats, metre.grids[-1])
    return sum(lengths) == metre.beats and not any(length % finest for length in lengths)


def bar_words(content: Bar, metre: Metre, *, name: Callable[[Chord], str] = str) -> list[str]:
    """Return the chords of a bar as words, with slashes only where the reader needs them."""
    names = [name(chord) for chord in content.chords]
    if content.lengths == shares(metre, len(names)):
        return names
    grid = next(g for g in metre.grids if _fits(content, metre, g))
    words = []
    for word, length in zip(names, content.lengths, strict=True):
        words += [word] + ["/"] * (int(length * grid / metre.beats) - 1)
    return words


def _fits(content: Bar, metre: Metre, grid: int) -> bool:
    """Tell whether every length is a whole number of parts of the grid."""
    return all((length * grid / metre.beats).denominator == 1 for length in content.lengths)


@dataclass(frozen=True, slots=True)
class Section:
    """A stretch of bars under a letter or a name; the name may be empty in the first section."""

    name: str
    bars: tuple[ChartBar, ...]

    def __post_init__(self) -> None:
        """Refuse an empty section and a name that could not be printed in a box."""
        if not self.bars:
            raise TheoryError(f"section {shown(self.name)} without a bar (want at least one)")
        if self.name and not is_section_name(self.name):
            raise TheoryError(
                f"not the name of a section: {shown(self.name)} (want a letter or a name of at "
                f"most {LONGEST_NAME} characters on one line, without [ ] and |)"
            )


def is_section_name(text: str) -> bool:
    """Tell whether a section can bear this name."""
    return (
        len(text) <= LONGEST_NAME
        and _NAME.fullmatch(text) is not None
        and text == " ".join(text.split())
    )
