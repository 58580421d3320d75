"""The search for shortcuts: the shapes that bring wanted degrees over a chord, best first."""

from __future__ import annotations

from collections.abc import Iterator

from theorykit.errors import TheoryError
from theorykit.harmony.colours import Colour, as_degrees_over, colour, takes_colour
from theorykit.harmony.shapes import SHAPES, Shape
from theorykit.harmony.shortcut import Shortcut, route
from theorykit.harmony.tensions import as_chord, as_target, why_it_rubs
from theorykit.notes.chord import Chord
from theorykit.notes.degree import Degree
from theorykit.notes.key import Key

__all__ = ["Shortcut", "every_shape", "route", "shortcuts"]

ALL = 0xFFF
GUIDE_TONES = 1 << 4 | 1 << 10  # 3 and b7
PAIR_PLAINNESS = 17  # after every chord, before every scale
PAIR_STEP = 2  # half steps between the two roots of a triad pair
FEWEST_FOR_A_PAIR = 5  # wanted degrees from which a pair of triads is worth a thought

# Which root of a shape that repeats is named: a chord by its guide tone, a scale by the root of V
# or a half step above it, where players look first (common practice). Half steps above V.
_CHORD_ROOTS = (4, 10, 0, 7, 9, 2, 1, 3, 8, 6, 5, 11)
_SCALE_ROOTS = (0, 1, 7, 5, 2, 9, 4, 10, 3, 8, 6, 11)


def shortcuts(
    chord: Chord | str,
    degrees_or_colour: Colour | str | tuple[Degree | str, ...],
    target: Chord | Key | str | None = None,
) -> tuple[Shortcut, ...]:
    """Return every shape that brings the wanted degrees over a chord, best first.

    Every shape of the table is tried on all twelve roots, and pairs of like triads a whole step
    apart where five or more degrees are wanted. Best first means, in this order: no clash that was
    not asked for; the wanted degrees and nothing else but chord tones; fewer notes; the plainer
    shape; at least one guide tone (3 or b7); the root that players look for first. ``target`` is
    what the chord goes to: a chord, a key, ``"minor"``; a major triad a fifth below if not given.
    A colour is for a dominant; degrees may be looked for over any chord.

    >>> [s.shape for s in shortcuts("G7", "b9 b13")][:3]
    ['Abm', 'Fm7b5', 'Abm6']
    >>> shortcuts("Db7", "altered")[0].shape
    'D melodic minor'
    """
    over = as_chord(chord)
    goal = as_target(over, target)
    wanted = as_degrees_over(over, degrees_or_colour)
    if not wanted:
        raise TheoryError("no degrees to look for (want a colour or degrees such as 'b9 13')")
    joining = _passing(degrees_or_colour) if takes_colour(over) else ()
    need = _mask(wanted)
    free = need | _mask(joining) | _mask(over.degrees)
    rubbing = sum(1 << s for s in range(12) if why_it_rubs(over, s, goal)) & ~free
    found = [(_rank(c, free, rubbing), c) for c in _candidates(wanted) if not need & ~c[0]]
    found.sort(key=lambda pair: pair[0])
    return tuple(
        Shortcut(over, goal, row, place, second, wanted) for _, (_, row, place, second) in found
    )


def every_shape(
    chord: Chord | str, family: str, target: Chord | Key | str | None = None
) -> tuple[Shortcut, ...]:
    """Return all shapes of one family on all twelve roots over a chord.

    >>> len(every_shape("G7", "triad"))
    48
    """
    over = as_chord(chord)
    goal = as_target(over, target)
    return tuple(
        Shortcut(over, goal, row, place)
        for row in SHAPES
        if row.family == family
        for place in range(12)
    )


_Candidate = tuple[int, Shape, int, int | None]


def _passing(wanted: object) -> tuple[Degree, ...]:
    """Return the degrees that may join a colour, however it was named."""
    if isinstance(wanted, str):
        try:
            wanted = colour(wanted)
        except ValueError:
            return ()
    return wanted.passing if isinstance(wanted, Colour) else ()


def _mask(found: tuple[Degree, ...]) -> int:
    """Return degrees as twelve bits."""
    mask = 0
    for degree in found:
        mask |= 1 << degree.semitone
    return mask


def _turned(mask: int, place: int) -> int:
    """Move a mask up by half steps."""
    return (mask << place | mask >> (12 - place)) & ALL


_SINGLE: tuple[_Candidate, ...] = tuple(
    (_turned(mask, place), row, place, None)
    for row, mask in ((row, row.mask) for row in SHAPES)
    for place in range(12)
)
_PAIRS: tuple[_Candidate, ...] = tuple(
    (first | _turned(row.mask, (place + PAIR_STEP) % 12), row, place, (place + PAIR_STEP) % 12)
    for first, row, place, _ in _SINGLE
    if row.family == "triad"
)


def _candidates(wanted: tuple[Degree, ...]) -> Iterator[_Candidate]:
    """Run through the shapes that may answer."""
    yield from _SINGLE
    if len(wanted) >= FEWEST_FOR_A_PAIR:
        yield from _PAIRS


def _rank(candidate: _Candidate, free: int, rubbing: int) -> tuple[int, ...]:
    """Return the place in the order that ``shortcuts`` promises."""
    mask, row, place, second = candidate
    roots = _SCALE_ROOTS if row.family == "scale" or second is not None else _CHORD_ROOTS
    return (
        (mask & rubbing).bit_count(),
        (mask & ~free).bit_count(),
        mask.bit_count(),
        row.plainness if second is None else PAIR_PLAINNESS,
        not mask & GUIDE_TONES,
        roots.index(place),
    )
