"""How long a cadence is: long, short, split, or in words."""

from __future__ import annotations

from theorykit.tunes.analysis import Analysis

__all__ = ["length_of"]


def length_of(found: Analysis, ii: int, v: int) -> str:
    """Return the length of ii and V: a bar each is long, half a bar each is short.

    A substitute that takes over from its V belongs to it. Without a ii the V alone is measured.
    """
    bar = float(found.bars[found.chart.played[found.spans[v].first].written].metre.beats)
    second = _beats_of_v(found, v)
    if ii < 0:
        return _length_of_one(second, bar)
    first = found.spans[ii].beats
    if first == second == bar:
        return "long"
    if (first + second == bar and abs(first - second) <= 1) or first == second == bar / 2:
        return "short"
    if first == 1.5 * bar and second == 0.5 * bar:
        return "split"
    return f"{_count(second, bar)} each" if first == second else "mixed"


def _beats_of_v(found: Analysis, v: int) -> float:
    """Return the beats of a V with the substitute that follows it, if one does."""
    beats = found.spans[v].beats
    landing = found.moves.landing[v]
    takes_over = landing is not None and landing.other == v + 1 and found.up(v, v + 1) in (3, 6)
    if takes_over and found.moves.ii[v + 1] < 0:
        beats += found.spans[v + 1].beats
    return beats


def _length_of_one(beats: float, bar: float) -> str:
    """Return the length of a V alone."""
    if beats == bar:
        return "long"
    return "short" if beats == bar / 2 else _count(beats, bar)


def _count(beats: float, bar: float) -> str:
    """Say a length in bars, or in beats."""
    number, unit = (beats / bar, "bar") if beats % bar == 0 else (beats, "beat")
    return f"{number:g} {unit}" + ("" if number == 1 else "s")
