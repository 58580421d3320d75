"""Swing: how long the eighth on the beat is to the one off it, by tempo, and who is late.

Source: Anders Friberg and Andreas Sundström, *Swing ratios and ensemble timing in jazz
performance*, Music Perception 19, 2002 (abstract and the figures of the authors' page read). Ride
cymbals fall from about 3.5 to 1 at slow tempos to 1 to 1 at fast ones. Soloists put the notes off
the beat with the cymbal and those on the beat after it, so that their ratio is smaller: at medium
tempos drummers are always above 2 to 1 and soloists always below. Corentin Nelias and others,
*Downbeat delays are a key component of swing in jazz*, Communications Physics 5, 2022 (abstract
read): listeners prefer soloists who are about 30 ms late on the beat and in time off it.

The two lines below keep what those say; the numbers in the rows of the soloist are from memory.
"""

from __future__ import annotations

from bisect import bisect_right
from fractions import Fraction

ROUND_TEMPO = 100  # beats a minute over which the drummer's ratio falls by one
SLOW_RATIO = 4.0  # where the straight line of the ratio would stand at a standstill
LEAST_SWING, MOST_SWING = 1.0, 3.0
FINEST = 4  # the short eighth of a ratio that is written: 7 to 4 is fine enough

# The soloist's ratio by the tempo in beats a minute; between the rows it goes in a straight line.
SOLOIST = (
    (60.0, 2.2),
    (100.0, 1.9),
    (140.0, 1.75),
    (180.0, 1.55),
    (220.0, 1.35),
    (260.0, 1.15),
    (300.0, 1.0),
)


def default_swing(tempo: float) -> float:
    """Return the ratio of the long to the short eighth that suits a drummer, by beats a minute.

    It falls in a straight line with the tempo, through 2 at 200 (from memory), and is cut to 3.

    >>> [default_swing(tempo) for tempo in (60, 120, 200, 300)]
    [3.0, 2.8, 2.0, 1.0]
    """
    return round(min(MOST_SWING, max(LEAST_SWING, SLOW_RATIO - tempo / ROUND_TEMPO)), 2)


def soloist_swing(tempo: float) -> float:
    """Return the ratio of the long to the short eighth of a soloist, by beats a minute.

    >>> [soloist_swing(tempo) for tempo in (60, 120, 200, 300)]
    [2.2, 1.82, 1.45, 1.0]
    """
    tempos = [row[0] for row in SOLOIST]
    at = bisect_right(tempos, tempo)
    if at == 0 or at == len(SOLOIST):
        return SOLOIST[max(0, at - 1)][1]
    (low, slow), (high, fast) = SOLOIST[at - 1], SOLOIST[at]
    return round(slow + (fast - slow) * (tempo - low) / (high - low), 2)


def written_swing(tempo: float, ratio: float | None = None) -> Fraction:
    """Return the ratio of the long to the short eighth of a line, in small whole numbers.

    Without a ``ratio``, and with the one that a drummer has at this tempo, it is the soloist's;
    1 is even.

    >>> [str(written_swing(tempo)) for tempo in (60, 132, 200, 300)]
    ['9/4', '7/4', '3/2', '1']
    >>> written_swing(132, 1.0), written_swing(132, 3.0)
    (Fraction(1, 1), Fraction(3, 1))
    """
    if ratio is None or ratio == default_swing(tempo):
        ratio = soloist_swing(tempo)
    return Fraction(ratio).limit_denominator(FINEST)


def lateness(tempo: float) -> float:
    """Return by how many milliseconds a soloist comes after the drummer on the beat.

    Off the beat the two are together. That alone makes the one ratio out of the other.

    >>> [round(lateness(tempo)) for tempo in (60, 100, 120, 160, 200, 300)]
    [62, 57, 46, 31, 22, 0]
    """
    drummer, soloist = default_swing(tempo), soloist_swing(tempo)
    beats = drummer / (drummer + 1) - soloist / (soloist + 1)
    return max(0.0, beats) * 60_000 / tempo
