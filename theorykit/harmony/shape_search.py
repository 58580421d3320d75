"""Shape search: every shape on every root as twelve bits, and which of two answers better."""

from __future__ import annotations

from collections.abc import Iterator

from theorykit.harmony.shapes import SHAPES, Shape
from theorykit.notes.degree import Degree

__all__ = ["SCALE_ROOTS", "candidates", "mask_of", "rank"]

ALL = 0xFFF
GUIDE_TONES = 1 << 4 | 1 << 10  # 3 and b7
PAIR_PLAINNESS = 17  # after every chord, before every scale
PAIR_STEP = 2  # half steps between the two roots of a triad pair
FEWEST_FOR_A_PAIR = 5  # wanted degrees from which a pair of triads is worth a thought

# Which root of a shape that repeats is named: a chord by its guide tone, a scale by the root of V
# or a half step above it, where players look first (common practice). Half steps above V.
_CHORD_ROOTS = (4, 10, 0, 7, 9, 2, 1, 3, 8, 6, 5, 11)
SCALE_ROOTS = (0, 1, 7, 5, 2, 9, 4, 10, 3, 8, 6, 11)

Candidate = tuple[int, Shape, int, int | None]


def mask_of(found: tuple[Degree, ...]) -> int:
    """Return degrees as twelve bits, the root lowest.

    >>> f"{mask_of((Degree(9, -1), Degree(3))):012b}"
    '000000010010'
    """
    mask = 0
    for degree in found:
        mask |= 1 << degree.semitone
    return mask


def _turned(mask: int, place: int) -> int:
    """Move a mask up by half steps."""
    return (mask << place | mask >> (12 - place)) & ALL


_SINGLE: tuple[Candidate, ...] = tuple(
    (_turned(mask, place), row, place, None)
    for row, mask in ((row, row.mask) for row in SHAPES)
    for place in range(12)
)
_PAIRS: tuple[Candidate, ...] = tuple(
    (first | _turned(row.mask, (place + PAIR_STEP) % 12), row, place, (place + PAIR_STEP) % 12)
    for first, row, place, _ in _SINGLE
    if row.family == "triad"
)


def candidates(wanted: tuple[Degree, ...]) -> Iterator[Candidate]:
    """Run through the shapes that may answer, on all roots; pairs of triads for many degrees.

    >>> mask, row, place, second = next(candidates((Degree(9, -1),)))
    >>> row.family, place, second
    ('triad', 0, None)
    """
    yield from _SINGLE
    if len(wanted) >= FEWEST_FOR_A_PAIR:
        yield from _PAIRS


def rank(candidate: Candidate, free: int, rubbing: int) -> tuple[int, ...]:
    """Return the place in the order that ``shortcuts`` promises."""
    mask, row, place, second = candidate
    roots = SCALE_ROOTS if row.family == "scale" or second is not None else _CHORD_ROOTS
    return (
        (mask & rubbing).bit_count(),
        (mask & ~free).bit_count(),
        mask.bit_count(),
        row.plainness if second is None else PAIR_PLAINNESS,
        not mask & GUIDE_TONES,
        roots.index(place),
    )
