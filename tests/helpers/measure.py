"""Measuring one piece of work against another in the same run.

A time in seconds holds for one machine on one day. Candidate and yardstick therefore take turns, so
that whatever else the machine does meets both, and what is compared is the ratio of the two.
"""

from __future__ import annotations

import gc
import math
import statistics
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass

__all__ = [
    "Bench",
    "Comparison",
    "Goal",
    "Timing",
    "adds_at_most",
    "at_least_times",
    "at_most_times",
    "measure",
    "median_at_most",
    "p95_at_most",
    "table",
]

Work = Callable[[], object]


@dataclass(frozen=True, slots=True)
class Timing:
    """The middle and the slow end of some rounds, in seconds.

    >>> Timing.of([0.1, 0.2, 0.9])
    Timing(median=0.2, p95=0.9)
    """

    median: float
    p95: float

    @classmethod
    def of(cls, seconds: Sequence[float]) -> Timing:
        """Sum up rounds; the 95th percentile is a round that happened (nearest rank)."""
        ranked = sorted(seconds)
        return cls(statistics.median(ranked), ranked[math.ceil(0.95 * len(ranked)) - 1])


@dataclass(frozen=True, slots=True)
class Comparison:
    """What one run gave for candidate and yardstick. Without a yardstick it is None."""

    candidate: Timing
    reference: Timing | None = None

    @property
    def times_as_fast(self) -> float:
        """How many times as fast as the yardstick the candidate is, by the medians.

        >>> Comparison(Timing(0.1, 0.1), Timing(0.5, 0.6)).times_as_fast
        5.0
        """
        return math.nan if self.reference is None else self.reference.median / self.candidate.median

    @property
    def added(self) -> float:
        """How many seconds more than the yardstick the candidate takes, by the medians."""
        return self.candidate.median - (self.reference.median if self.reference else 0.0)


@dataclass(frozen=True, slots=True)
class Goal:
    """What a comparison should show, in words and as a test."""

    words: str
    met: Callable[[Comparison], bool]


def at_least_times(ratio: float) -> Goal:
    """The candidate is at least ``ratio`` times as fast as the yardstick."""
    return Goal(f"at least {ratio:g} times as fast", lambda c: c.times_as_fast >= ratio)


def at_most_times(ratio: float) -> Goal:
    """The candidate takes at most ``ratio`` times as long as the yardstick."""
    return Goal(f"at most {ratio:g} times as long", lambda c: c.times_as_fast * ratio >= 1)


def adds_at_most(seconds: float) -> Goal:
    """The candidate takes at most ``seconds`` more than the yardstick."""
    return Goal(f"adds at most {1000 * seconds:g} ms", lambda c: c.added <= seconds)


def median_at_most(seconds: float) -> Goal:
    """The candidate takes at most ``seconds`` in the middle round."""
    return Goal(f"at most {1000 * seconds:g} ms", lambda c: c.candidate.median <= seconds)


def p95_at_most(seconds: float) -> Goal:
    """The candidate takes at most ``seconds`` in 19 rounds of 20."""
    return Goal(f"95 of 100 within {1000 * seconds:g} ms", lambda c: c.candidate.p95 <= seconds)


@dataclass(frozen=True, slots=True)
class Bench:
    """One line of the table: a name, the work, its yardstick, the goal, rounds in a full run.

    ``check`` is called once before anything is timed and raises where candidate and yardstick do
    not do the same work.
    """

    name: str
    candidate: Work
    reference: Work | None
    goal: Goal
    rounds: int = 15
    check: Work | None = None

    def run(self, rounds: int | None = None) -> Comparison:
        """Measure, after the check."""
        if self.check is not None:
            self.check()
        return measure(
            self.candidate, self.reference, rounds=min(rounds or self.rounds, self.rounds)
        )


def measure(candidate: Work, reference: Work | None = None, *, rounds: int = 15) -> Comparison:
    """Return the timings of ``candidate`` and ``reference``, called in turn ``rounds`` times.

    Each is called once before, untimed, so that imports and the like are paid for; not where there
    is a single round, of what takes so long that these do not count. Garbage of the round before is
    collected outside the clock; what a round makes itself is its own cost.
    """
    works = [work for work in (candidate, reference) if work is not None]
    for work in works if rounds > 1 else ():
        work()
    seconds: list[list[float]] = [[] for _ in works]
    for _ in range(rounds):
        for work, taken in zip(works, seconds, strict=True):
            taken.append(_timed(work))
    return Comparison(*map(Timing.of, seconds))


def _timed(work: Work) -> float:
    """Time one call, in seconds."""
    gc.collect()
    start = time.perf_counter()
    work()
    return time.perf_counter() - start


COLUMNS = ("bench", "median", "p95", "yardstick", "ratio", "goal", "met")


def table(results: Sequence[tuple[Bench, Comparison]]) -> str:
    """Lay the results out as text, one bench a line, times in milliseconds.

    The ratio says how many times as fast as its yardstick a bench is.
    """
    rows = [COLUMNS, *(_row(bench, comparison) for bench, comparison in results)]
    widths = [max(map(len, column)) for column in zip(*rows, strict=True)]
    lines = ["  ".join(map(str.ljust, row, widths)).rstrip() for row in rows]
    return "\n".join([lines[0], "-" * max(map(len, lines)), *lines[1:]])


def _row(bench: Bench, comparison: Comparison) -> tuple[str, ...]:
    """Write one line of the table."""
    ours, yardstick = comparison.candidate, comparison.reference
    return (
        bench.name,
        _milliseconds(ours.median),
        _milliseconds(ours.p95),
        "-" if yardstick is None else _milliseconds(yardstick.median),
        "-" if yardstick is None else f"{comparison.times_as_fast:.3g}",
        bench.goal.words,
        "yes" if bench.goal.met(comparison) else "NO",
    )


def _milliseconds(seconds: float) -> str:
    """Write a time.

    >>> _milliseconds(0.0123456), _milliseconds(1.5)
    ('12.3 ms', '1500 ms')
    """
    shown = 1000 * seconds
    return f"{shown:.3g} ms" if shown < 1000 else f"{shown:.0f} ms"
