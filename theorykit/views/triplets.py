"""Triplets: which stretches of a bar are written as three in the time of two."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from theorykit.errors import TheoryError

__all__ = ["is_odd", "triplet_windows"]

Span = tuple[Fraction, Fraction]

FINEST = Fraction(1, 16)  # of a beat, outside triplets
FINEST_THIRD = Fraction(1, 24)  # of a beat, inside them

# Length of the triplet and the grid of its notes, in beats, in the order in which they are tried:
# sixteenths, eighths, then quarters and halves, and only then the same with shorter notes inside.
_SHAPES = tuple(
    (Fraction(length), Fraction(grid))
    for length, grid in (
        ("1/2", "1/6"), ("1", "1/3"), ("1", "1/6"), ("2", "2/3"), ("1/2", "1/12"),
        ("1", "1/12"), ("4", "4/3"),
    )
)  # fmt: skip
_DEFAULT = Fraction(1)


def is_odd(place: Fraction) -> bool:
    """Tell whether a place in a bar can only be reached by a triplet.

    >>> is_odd(Fraction(2, 3)), is_odd(Fraction(3, 4))
    (True, False)
    """
    return place.denominator & (place.denominator - 1) != 0


def triplet_windows(events: Sequence[Span], beats: Fraction) -> list[Span]:
    """Return the stretches of a bar to be written as triplets, in order.

    ``events`` are notes and rests that fill the bar, which lasts ``beats``. A note that runs out
    of its triplet at one end is cut there and tied; notes that run over both ends ask for a longer
    triplet.

    >>> edges = [Fraction(place, 3) for place in (0, 2, 4, 6)]
    >>> triplet_windows(list(zip(edges, edges[1:])), Fraction(2))
    [(Fraction(0, 1), Fraction(2, 1))]
    """
    places = sorted({place for event in events for place in event})
    for place in places:
        _check(place)
    windows: list[Span] = []
    for place in filter(is_odd, places):
        if not windows or place >= windows[-1][1]:
            windows.append(_window(place, places, events, beats))
    return windows


def _check(place: Fraction) -> None:
    """Refuse a place that no note value reaches."""
    finest = FINEST_THIRD if is_odd(place) else FINEST
    if finest.denominator % place.denominator:
        raise TheoryError(
            f"no note value reaches beat {place} of a bar "
            "(want halves of the beat down to 1/16, or triplets down to 1/24)"
        )


def _window(
    place: Fraction, places: Sequence[Fraction], events: Sequence[Span], beats: Fraction
) -> Span:
    """Return the triplet around one place."""
    for length, grid in _SHAPES:
        start = place // length * length
        end = start + length
        fits = all((p - start) % grid == 0 for p in places if start < p < end)
        if fits and end <= beats and not _overrun(start, end, events):
            return start, end
    start = place // _DEFAULT * _DEFAULT
    return start, start + _DEFAULT


def _overrun(start: Fraction, end: Fraction, events: Sequence[Span]) -> bool:
    """Tell whether an event off the grid reaches into or out of the stretch."""
    return any(
        first < edge < last and (is_odd(first) or is_odd(last))
        for first, last in events
        for edge in (start, end)
    )
