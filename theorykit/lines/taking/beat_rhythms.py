"""Beat rhythms: what may be written in one beat, and what it costs to believe it.

Costs are in nats: a rhythm that costs one more is e times as rare. Their order follows what jazz
solos hold, eighths before triplets before sixteenths (common practice); the numbers are from
memory, and were set on other lines than those that the tests read.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

THIRD, HALF, QUARTER = Fraction(1, 3), Fraction(1, 2), Fraction(1, 4)
SHORTEST_SIXTEENTH = 0.1  # seconds; a shorter one is played by few
DEARER = 100.0  # nats for each second that it is shorter
MOST_NOTES = 4  # in a beat


@dataclass(frozen=True, slots=True)
class BeatRhythm:
    """The rhythm of one beat: its grid, the places that are struck, its cost."""

    grid: Fraction
    places: tuple[Fraction, ...]
    cost: float

    def sounding(self, second: float) -> tuple[float, ...]:
        """Return where the places sound when the second of two eighths comes at ``second``.

        >>> BeatRhythm(HALF, (Fraction(0), HALF), 0.5).sounding(0.625)
        (0.0, 0.625)
        """
        return tuple(sounding_place(self.grid, place, second) for place in self.places)


def sounding_place(grid: Fraction, place: Fraction, second: float) -> float:
    """Return where a place of a grid sounds; of eighths the second is swung, nothing else.

    >>> sounding_place(HALF, HALF, 0.625), sounding_place(QUARTER, HALF, 0.625)
    (0.625, 0.5)
    """
    return second if grid == HALF and place == HALF else float(place)


def _rows(grid: Fraction, text: str) -> tuple[BeatRhythm, ...]:
    """Read rhythms of a grid: their places as numbers on it, and their costs."""
    words = text.split()
    pairs = zip(words[::2], words[1::2], strict=True)
    return tuple(
        BeatRhythm(grid, tuple(int(place) * grid for place in places), float(cost))
        for places, cost in pairs
    )


RHYTHMS = (
    *_rows(HALF, "0 0.6  1 1.4  01 0.4"),
    *_rows(THIRD, "012 1.8  12 3.8  01 4.4  02 4.2  1 5.5  2 4.6"),
    *_rows(QUARTER, "0123 1.8  023 3.0  012 3.2  013 4.4  123 4.4  01 4.6  03 3.6  23 3.8"),
    *_rows(QUARTER, "12 5.2  13 6.0  02 9.0  1 6.6  3 4.8  2 9.0  0 9.0"),
)
GRIDS = (HALF, THIRD, QUARTER)
# Three quarters in the time of two: the only rhythm that goes over two beats.
WIDE, WIDE_COST = (Fraction(0), 2 * THIRD, 4 * THIRD), 4.5


def rhythms_of(count: int, tempo: float | None = None) -> tuple[BeatRhythm, ...]:
    """Return the rhythms with so many notes; at a fast tempo sixteenths cost more.

    >>> [(str(one.grid), one.cost) for one in rhythms_of(4)]
    [('1/4', 1.8)]
    >>> [round(one.cost, 2) for one in rhythms_of(4, 240)]
    [5.55]
    """
    dearer = 0.0 if tempo is None else DEARER * max(0.0, SHORTEST_SIXTEENTH - 15 / tempo)
    return tuple(
        BeatRhythm(one.grid, one.places, one.cost + dearer * (one.grid == QUARTER))
        for one in RHYTHMS
        if len(one.places) == count
    )
