"""How each of the twelve sounds stands over a chord: one table by family of chord.

Source of the tensions of each family: Dariusz Terefenko, *Jazz Theory*, Routledge 2014, chapter 5
(essential, diatonic and chromatic tensions); Marc Sabatella, *A Jazz Improvisation Primer*, chord
and scale chart, for what rubs. A sound that no column of its row names is outside.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from theorykit.notes.degree import Degree, degrees
from theorykit.notes.kinds import ChordKind

__all__ = [
    "ALTERATION",
    "CHORD_TONE",
    "FAMILIES",
    "OUTSIDE",
    "RUB",
    "TENSION",
    "family",
    "standings",
]

CHORD_TONE, TENSION, ALTERATION = "chord tone", "tension", "alteration"
RUB, OUTSIDE = "rub", "outside"
HIGHEST_CHORD_TONE = 7  # the number from which a degree of a symbol is a tension: 9, 11, 13


@dataclass(frozen=True, slots=True)
class Family:
    """A row: the tensions, the alterations, and what belongs to the key but rubs."""

    name: str
    tensions: tuple[Degree, ...]
    alterations: tuple[Degree, ...] = ()
    rubs: tuple[Degree, ...] = ()


FAMILIES = (
    Family("major", degrees("9 #11 13 7"), (), degrees("11")),
    Family("minor seventh", degrees("9 11 13"), (), degrees("b9 b13")),
    Family("minor tonic", degrees("9 11 13 7"), (), degrees("b13 b7")),
    Family("half-diminished", degrees("9 11 b13"), (), degrees("b9")),
    Family("diminished", degrees("9 11 b13 7")),
    Family("dominant", degrees("9 13"), degrees("b9 #9 #11 b13"), degrees("11")),
    Family("suspended dominant", degrees("9 13"), degrees("b9 #9 #11 b13"), degrees("3")),
)
_BY_NAME = {row.name: row for row in FAMILIES}


def family(kind: ChordKind) -> Family:
    """Return the row of a kind of chord.

    >>> from theorykit.notes.chord import Chord
    >>> [family(Chord.parse(c).kind).name for c in ("Dm7", "G7sus4", "Bm7b5", "Cm6", "F")]
    ['minor seventh', 'suspended dominant', 'half-diminished', 'minor tonic', 'major']
    """
    if kind.is_dominant:
        return _BY_NAME["dominant" if kind.has("3") else "suspended dominant"]
    if not kind.has("b3"):
        return _BY_NAME["major"]
    if kind.has("b5"):
        return _BY_NAME["half-diminished" if kind.has("b7") else "diminished"]
    return _BY_NAME["minor seventh" if kind.has("b7") else "minor tonic"]


@lru_cache(maxsize=256)
def standings(kind: ChordKind) -> tuple[str, ...]:
    """Return how each sound stands over a kind of chord, by half steps above the root.

    >>> from theorykit.notes.chord import Chord
    >>> standings(Chord.parse("G7").kind)[:6]
    ('chord tone', 'alteration', 'tension', 'alteration', 'chord tone', 'rub')
    """
    row = family(kind)
    found = [OUTSIDE] * 12
    for members, name in ((row.rubs, RUB), (row.tensions, TENSION), (row.alterations, ALTERATION)):
        for degree in members:
            found[degree.semitone] = name
    for degree in kind.degrees:
        if degree.number <= HIGHEST_CHORD_TONE:
            found[degree.semitone] = CHORD_TONE
        elif found[degree.semitone] not in (TENSION, ALTERATION):
            found[degree.semitone] = TENSION
    return tuple(found)
