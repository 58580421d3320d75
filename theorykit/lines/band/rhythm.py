"""Rhythm: how bars fall into groups and beats."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from theorykit.tunes.progression import PlacedChord, Progression

# Bars by their length in beats, common practice; any other bar falls into twos and what is left.
GROUPS = {3: (3,), 5: (3, 2), 6: (3, 3), 7: (2, 2, 3), 9: (3, 3, 3), 12: (3, 3, 3, 3)}


def groups(beats: Fraction) -> tuple[Fraction, ...]:
    """Return the lengths into which a bar falls.

    >>> [str(length) for length in groups(Fraction(5))], [str(g) for g in groups(Fraction(7, 2))]
    (['3', '2'], ['2', '3/2'])
    """
    known = GROUPS.get(int(beats)) if beats.denominator == 1 else None
    if known is not None:
        return tuple(map(Fraction, known))
    twos, rest = divmod(beats, 2)
    return (Fraction(2),) * twos + ((rest,) if rest else ())


def group_starts(progression: Progression) -> Iterator[tuple[Fraction, Fraction]]:
    """Yield where each group of a progression begins, and its length."""
    for start, bar in zip(progression.bar_starts, progression.bars, strict=False):
        at = start
        for length in groups(bar.beats):
            yield at, length
            at += length


def beats_of(progression: Progression, placed: PlacedChord) -> tuple[Fraction, ...]:
    """Return the moments of a chord on which a beat falls; its own start is always the first.

    >>> from theorykit.tunes.progression import two_five_one
    >>> over = two_five_one("C", "short")
    >>> [str(beat) for beat in beats_of(over, over.chords[1])]
    ['2', '3']
    """
    bar = progression.bar_starts[placed.bar]
    first = bar + (placed.start - bar) // 1 + 1
    count = -((first - placed.end) // 1) if first < placed.end else 0
    return (placed.start, *(first + step for step in range(count)))
