"""How well a chord fits a key: the weights that home key and regions are found with.

The rows say what the trade calls common in a key: the diatonic sevenths, the dominants of other
degrees, what is borrowed from the parallel key, the tritone substitutes (common practice). The
weights are ours: 1 for a chord that alone suggests the key, 0 for a stranger.
"""

from __future__ import annotations

from functools import cache

from theorykit.notes.key import Key
from theorykit.notes.note import Note
from theorykit.tunes.families import (
    AUGMENTED,
    DIM_TRIAD,
    DIMINISHED,
    DOMINANT,
    HALF,
    MAJOR,
    MINOR,
    MINOR_7,
    OPEN,
    SUS_TRIAD,
    SUSPENDED,
)

__all__ = ["STATES", "fits", "key_of_state", "state_of"]

STATES = 24  # twelve major keys by the number of the tonic, then twelve minor ones

# Family, then half steps above the tonic with the weight in tenths.
_MAJOR_KEY: dict[str, dict[int, int]] = {
    MAJOR: {0: 10, 5: 9, 7: 6, 8: 2, 1: 2, 3: 2, 10: 3},
    MINOR_7: {2: 10, 4: 7, 9: 8, 5: 5, 7: 3},
    MINOR: {2: 8, 9: 6, 5: 5, 4: 5},
    HALF: {11: 6, 2: 5, 6: 4, 4: 4},
    DOMINANT: {7: 10, 2: 5, 9: 5, 0: 4, 4: 4, 5: 4, 10: 5, 11: 3, 1: 4, 8: 3, 3: 2},
    SUSPENDED: {7: 10, 2: 4, 9: 4, 0: 4},
    AUGMENTED: {7: 6, 0: 5},
}
_MINOR_KEY: dict[str, dict[int, int]] = {
    MINOR: {0: 10, 5: 8, 7: 3},
    MINOR_7: {0: 10, 5: 9, 7: 4, 2: 3, 10: 2},
    MAJOR: {3: 6, 8: 8, 10: 5, 1: 4, 7: 4},
    HALF: {2: 10, 0: 3, 9: 5, 6: 3},
    DOMINANT: {7: 10, 8: 5, 10: 5, 5: 4, 2: 5, 0: 4, 3: 4, 1: 4},
    SUSPENDED: {7: 9, 0: 3, 10: 4},
    AUGMENTED: {7: 7},
}
_ANYWHERE = {DIMINISHED: 3, DIM_TRIAD: 3, SUS_TRIAD: 3, OPEN: 3}


@cache
def fits(root: int, family: str) -> tuple[float, ...]:
    """Return how well a chord fits each of the 24 keys, from 0 to 1.

    >>> fits(7, "dominant")[0]
    1.0
    """
    return tuple(
        table.get(family, {}).get((root - tonic) % 12, _ANYWHERE.get(family, 0)) / 10
        for table in (_MAJOR_KEY, _MINOR_KEY)
        for tonic in range(12)
    )


def state_of(key: Key) -> int:
    """Return the number of a key among the 24."""
    return key.tonic.semitone + 12 * key.is_minor


# How each of the 24 is written where nothing says otherwise: with the fewer signs, flats first.
_NAMES = "C Db D Eb E F Gb G Ab A Bb B", "C C# D Eb E F F# G G# A Bb B"


def key_of_state(state: int) -> Key:
    """Return a key by its number.

    >>> str(key_of_state(1)), str(key_of_state(13))
    ('Db major', 'C# minor')
    """
    mode, tonic = divmod(state, 12)
    return Key(Note.parse(_NAMES[mode].split()[tonic]), "minor" if mode else "major")
