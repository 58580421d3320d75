"""Compasses: from which note to which an instrument plays, as it sounds, as MIDI numbers.

They say in which octave a tone is likely heard, not what can be played: a note beyond one is taken
down where it is clear. Source: common practice; the high notes are those of good players.
"""

from __future__ import annotations

from theorykit.errors import TheoryError, shown

COMPASSES = {
    **{"tenor saxophone": (44, 80), "alto saxophone": (49, 85), "soprano saxophone": (56, 92)},
    "baritone saxophone": (36, 73),  # with a low A
    **{"trumpet": (52, 87), "muted trumpet": (52, 87), "trombone": (38, 77)},
    **{"clarinet": (50, 94), "flute": (59, 98), "piano": (28, 100), "electric piano": (28, 100)},
    **{"vibraphone": (53, 89), "marimba": (45, 96), "violin": (55, 100), "double bass": (28, 67)},
    **{"nylon-string guitar": (40, 88), "jazz guitar": (40, 88)},
}


def compass_of(instrument: object) -> tuple[int, int]:
    """Return the lowest and the highest note of an instrument as MIDI numbers.

    >>> compass_of("tenor saxophone")
    (44, 80)
    """
    if isinstance(instrument, str) and instrument in COMPASSES:
        return COMPASSES[instrument]
    raise TheoryError(f"no instrument: {shown(instrument)} (want one of {', '.join(COMPASSES)})")
