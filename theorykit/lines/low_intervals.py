"""Low interval limits: how low an interval may lie before it turns to mud.

The table gives, for an interval in half steps, the lowest MIDI number of its lower note. Source:
the low interval limits taught in jazz arranging, as in Ted Pease and Ken Pullig, *Modern Jazz
Voicings*, 2001 (from memory; printed tables differ from each other by about a half step). Intervals
that the table leaves out, the octave and what is wider than a tenth, have no limit here.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import combinations

__all__ = ["LOW_INTERVAL_LIMITS", "sounds_clear"]

LOW_INTERVAL_LIMITS = {
    1: 52,  # minor second from E3
    2: 51,  # major second from E flat 3
    3: 48,  # minor third from C3
    4: 46,  # major third from B flat 2
    5: 46,  # fourth from B flat 2
    6: 47,  # tritone from B2
    7: 34,  # fifth from B flat 1
    8: 43,  # minor sixth from G2
    9: 41,  # major sixth from F2
    10: 41,  # minor seventh from F2
    11: 41,  # major seventh from F2
    13: 40,  # minor ninth from E2
    14: 39,  # major ninth from E flat 2
    15: 36,  # minor tenth from C2
    16: 34,  # major tenth from B flat 1
}


def sounds_clear(midis: Sequence[int]) -> bool:
    """Tell whether every interval between climbing MIDI numbers keeps its low interval limit.

    >>> sounds_clear((48, 52, 59)), sounds_clear((41, 45, 52))
    (True, False)
    """
    limits = LOW_INTERVAL_LIMITS
    return all(low >= limits.get(high - low, 0) for low, high in combinations(midis, 2))
