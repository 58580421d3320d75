"""Tallies of lines: counts of intervals, degrees and contours, as data."""

from __future__ import annotations

from dataclasses import dataclass

from theorykit.errors import TheoryError, shown
from theorykit.harmony.counts.rhythm_counts import RHYTHM_COUNTS
from theorykit.harmony.counts.solo_counts import (
    BINS,
    DEGREES_OF_I,
    ENDINGS,
    FIRST_NOTES,
    INTERVALS,
    LAST_STEPS,
    LICENCE,
    MOVES,
    MOVES_TOTAL,
    SOURCE,
)
from theorykit.notes.note import pretty_words


@dataclass(frozen=True, slots=True)
class Tally:
    """Things counted: their labels, how often each came, and how many were counted in all.

    >>> found = tally("first notes on a major I")
    >>> found.total, found.ranked[0], round(found.share("5"), 3)
    (2440, ('5', 539), 0.221)
    """

    name: str
    noun: str
    labels: tuple[str, ...]
    counts: tuple[int, ...]
    total: int

    def count(self, *labels: str) -> int:
        """Return how often the labels came, taken together."""
        unknown = [label for label in labels if label not in self.labels]
        if unknown:
            raise TheoryError(
                f"not counted: {shown(unknown[0])} (want labels of {', '.join(self.labels)})"
            )
        return sum(
            count for label, count in zip(self.labels, self.counts, strict=True) if label in labels
        )

    def share(self, *labels: str) -> float:
        """Return the share of the labels taken together, 0 to 1.

        >>> round(tally("last notes on a major I").share("1", "3", "5", "7", "9"), 2)
        0.83
        """
        return self.count(*labels) / self.total

    @property
    def ranked(self) -> tuple[tuple[str, int], ...]:
        """The labels with their counts, the commonest first."""
        pairs = zip(self.labels, self.counts, strict=True)
        return tuple(sorted(pairs, key=lambda pair: -pair[1]))

    @property
    def words(self) -> str:
        """The three commonest, with their counts.

        >>> tally("moves into a major I").words
        'moves into a major I: ♭7 to 3 (188), 9 to 5 (138) and 5 to 1 (113) come most often, of \
2,440 moves (Weimar Jazz Database, Open Database License 1.0)'
        """
        first, second, third = (
            f"{pretty_words(label)} ({count:,})" for label, count in self.ranked[:3]
        )
        return (
            f"{self.name}: {first}, {second} and {third} come most often, of {self.total:,} "
            f"{self.noun} ({SOURCE}, {LICENCE})"
        )


def _tally(
    name: str, noun: str, labels: tuple[str, ...], counts: tuple[int, ...], total: int = 0
) -> Tally:
    """Return a tally; the total is that of the counts unless more were counted."""
    return Tally(name, noun, labels, counts, total or sum(counts))


TALLIES = (
    _tally("first notes on a major I", "notes", DEGREES_OF_I, FIRST_NOTES),
    *(
        _tally(f"last notes on a {mode} I", "phrases", DEGREES_OF_I, counts)
        for mode, counts in ENDINGS.items()
    ),
    _tally(
        "moves into a major I",
        "moves",
        tuple(f"{start} to {goal}" for start, goal, _ in MOVES),
        tuple(count for _, _, count in MOVES),
        MOVES_TOTAL,
    ),
    *(_tally(f"intervals {where}", "moves", BINS, counts) for where, counts in INTERVALS.items()),
    *(
        _tally(f"last steps, {going}", "moves", BINS, counts)
        for going, (counts, _, _) in LAST_STEPS.items()
    ),
    *(_tally(row.name, row.noun, row.labels, row.counts) for row in RHYTHM_COUNTS),
)
_BY_NAME = {row.name: row for row in TALLIES}


def tally(name: str) -> Tally:
    """Return a tally by its name.

    Intervals and steps are counted in half steps, up and down together.

    >>> steps = tally("last steps, major")
    >>> steps.count("1"), steps.total, round(steps.share("1"), 3)
    (771, 2440, 0.316)
    """
    found = _BY_NAME.get(name) if isinstance(name, str) else None
    if found is None:
        raise TheoryError(f"no such tally: {shown(name)} (want one of {'; '.join(_BY_NAME)})")
    return found
