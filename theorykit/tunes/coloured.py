"""The symbol of a dominant that carries a colour."""

from __future__ import annotations

from dataclasses import replace

from theorykit.harmony.colours import CHORD_TONES, Colour, colour
from theorykit.notes.chord import Chord
from theorykit.notes.kinds import ChordKind

__all__ = ["coloured"]

# Scales and suspensions are written with the symbol that the trade has for them (common practice):
# nobody writes all seven notes. The natural 7 of the last row belongs to no symbol of the V.
_SYMBOLS = {
    "half-whole diminished": "1 3 5 b7 b9 13",
    "altered": "1 3 b7 b9 #9 #11 b13",
    "whole tone": "1 3 #5 b7 9",
    "lydian dominant": "1 3 5 b7 9 #11",
    "suspended": "1 4 5 b7 9",
    "suspended b9": "1 4 5 b7 b9",
    "its related ii": "1 3 5 b7 #9 b13",
}


def coloured(chord: Chord, name: str | Colour) -> Chord:
    """Return a dominant with the symbol of a colour; its root and bass stay.

    >>> [str(coloured(Chord.parse("Ab7"), c)) for c in ("b9 13", "altered", "suspended")]
    ['Ab13b9', 'Ab7alt', 'Ab9sus4']
    """
    row = colour(name)
    row.notes(chord)  # refuses what is no dominant
    formula = _SYMBOLS.get(row.name)
    if formula is not None:
        return replace(chord, kind=ChordKind.of(formula))
    return replace(chord, kind=ChordKind.of(CHORD_TONES.union(row.degrees)))
