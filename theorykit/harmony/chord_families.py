"""Families of chords: what each of the twelve sounds is over them, and their scales.

Sources: Dariusz Terefenko, *Jazz Theory* (2014), ch. 5, for tensions; Marc Sabatella, *A Jazz
Improvisation Primer*, undated, chord and scale chart, for scales and for what rubs; Earl MacDonald,
*Chordal extensions & alterations*, undated, for the 9 that a 7 may bring and the 11 that it does
not. `common practice` where they are silent: the scales in ``wider`` and ``laid_over``, the
augmented and the open family, the 13 of a half-diminished chord. Where they differ, the note is
left free: the 13 of a minor seventh and the 9 of a half-diminished chord. A flat 13 over a minor
seventh is a tension to Terefenko and a half step above the 5th to Nettles and Graf (from memory):
it may pass.

The first scale of a row is the everyday one. A sound that no column of a row names contradicts the
chord, or stands a half step from one of its tones.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from theorykit.notes.chord import Chord
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
    "heard",
    "opposed",
    "standings",
]

CHORD_TONE, TENSION, ALTERATION = "chord tone", "tension", "alteration"
RUB, OUTSIDE = "rub", "outside"
HIGHEST_CHORD_TONE = 7  # the number from which a degree of a symbol is a tension: 9, 11, 13


@dataclass(frozen=True, slots=True)
class Family:
    """A row: tensions, alterations, what belongs to the key but rubs, and scales.

    ``bare`` are tensions of a chord that leaves its 6th and 7th open; ``chromatic`` are tensions
    from outside its scales, which a line takes for approach notes. ``scales`` are those that a line
    runs through, the everyday one first; ``wider`` are others that are played over the chord, on
    its root, or on the degree that follows the word ``on``; ``laid_over`` are those that leave out
    its 3rd or 7th and are played over it all the same: the blues scale over a dominant.
    """

    name: str
    tensions: tuple[Degree, ...]
    alterations: tuple[Degree, ...] = ()
    rubs: tuple[Degree, ...] = ()
    bare: tuple[Degree, ...] = ()
    chromatic: tuple[Degree, ...] = ()
    scales: tuple[str, ...] = ()
    wider: tuple[str, ...] = ()
    laid_over: tuple[str, ...] = ()


FAMILIES = (
    Family(
        "major",
        degrees("9 #11 13 7"),
        rubs=degrees("11"),
        bare=degrees("b7"),
        scales=("major", "lydian"),
        wider=("mixolydian", "lydian dominant", "blues on 6", "lydian #2"),
    ),
    Family(
        "augmented",
        degrees("9 #11"),
        rubs=degrees("11 13"),
        bare=degrees("b7 7"),
        scales=("lydian augmented", "whole tone"),
        wider=("ionian #5",),
    ),
    Family(
        "minor seventh",
        degrees("9 11 13"),
        rubs=degrees("b9 b13"),
        chromatic=degrees("#11"),
        scales=("dorian", "natural minor", "phrygian"),
        wider=("dorian b2", "blues", "dorian #4"),
    ),
    Family(
        "minor tonic",
        degrees("9 11 13 7"),
        rubs=degrees("b13 b7"),
        bare=degrees("b7"),
        chromatic=degrees("#11"),
        scales=("melodic minor",),
        wider=("dorian", "harmonic minor", "natural minor", "dorian #4", "blues"),
    ),
    Family(
        "half-diminished",
        degrees("9 11 b13"),
        rubs=degrees("b9"),
        scales=("locrian", "locrian #2"),
        wider=("locrian natural 6",),
    ),
    Family(
        "diminished",
        degrees("9 11 b13 7"),
        chromatic=degrees("13"),
        scales=("whole-half diminished",),
    ),
    Family(
        "diminished triad",
        degrees("9 11 b13"),
        rubs=degrees("b9"),
        bare=degrees("b7 bb7 7"),
        scales=("locrian", "whole-half diminished"),
        wider=("locrian natural 6", "locrian #2"),
    ),
    Family(
        "dominant",
        degrees("9 13"),
        degrees("b9 #9 #11 b13"),
        rubs=degrees("11"),
        scales=(
            "mixolydian",
            "phrygian dominant",
            "lydian dominant",
            "half-whole diminished",
            "altered",
            "whole tone",
        ),
        wider=("mixolydian b6", "bebop dominant"),
        laid_over=("blues", "blues on 6"),
    ),
    Family(
        "suspended dominant",
        degrees("9 11 13"),
        degrees("b9 #9 b13"),
        rubs=degrees("3"),
        scales=("mixolydian",),
        wider=("dorian", "dorian b2", "phrygian", "natural minor", "bebop dominant"),
    ),
    Family(
        "open",
        degrees("9 11 13 7 b7 b3 3"),
        rubs=degrees("b9 #11 b13"),
        scales=("major", "mixolydian"),
        wider=("dorian", "natural minor", "lydian", "phrygian", "harmonic minor"),
    ),
)
_BY_NAME = {row.name: row for row in FAMILIES}


def family(kind: ChordKind) -> Family:
    """Return the row of a kind of chord.

    >>> [family(Chord.parse(c).kind).name for c in ("Dm7", "G7sus4", "Bm7b5", "Cm6", "F", "C5")]
    ['minor seventh', 'suspended dominant', 'half-diminished', 'minor tonic', 'major', 'open']
    """
    if kind.is_dominant:
        return _BY_NAME["dominant" if kind.has("3") else "suspended dominant"]
    if kind.has("3"):
        return _BY_NAME["augmented" if kind.has("#5") else "major"]
    if not kind.has("b3"):
        return _BY_NAME["open"]
    if kind.has("b5"):
        bare = "diminished triad" if _is_bare(kind) else "diminished"
        return _BY_NAME["half-diminished" if kind.has("b7") else bare]
    return _BY_NAME["minor seventh" if kind.has("b7") else "minor tonic"]


def _is_bare(kind: ChordKind) -> bool:
    """Tell whether a kind leaves its 6th and 7th open."""
    return all(degree.number not in (6, 7) for degree in kind.degrees)


@lru_cache(maxsize=256)
def standings(kind: ChordKind) -> tuple[str, ...]:
    """Return how each sound stands over a kind of chord, by half steps above the root.

    >>> standings(Chord.parse("G7").kind)[:6]
    ('chord tone', 'alteration', 'tension', 'alteration', 'chord tone', 'rub')
    """
    row = family(kind)
    bare = row.bare if _is_bare(kind) else ()
    found = [OUTSIDE] * 12
    for members, name in (
        (row.rubs, RUB),
        ((*row.tensions, *bare), TENSION),
        (row.alterations, ALTERATION),
    ):
        for degree in members:
            found[degree.semitone] = name
    for degree in kind.degrees:
        if degree.number <= HIGHEST_CHORD_TONE:
            found[degree.semitone] = CHORD_TONE
        elif found[degree.semitone] not in (TENSION, ALTERATION):
            found[degree.semitone] = TENSION
    return tuple(found)


# What contradicts what: a degree of a symbol, and the sounds of other degrees for the same place,
# by half steps above the root. A third or seventh beside its other form makes another chord; a
# tension that is written in one form is not meant in the other (common practice).
_OPPOSED = {
    "3": (3,),
    "b3": (4,),
    "4": (4,),
    "2": (3, 4),
    "7": (10,),
    "b7": (11,),
    "bb7": (10,),
    "6": (10,),
    "b5": (7,),
    "#5": (7,),
    "9": (1, 3),
    "b9": (2,),
    "#9": (2,),
    "11": (6,),
    "#11": (5,),
    "13": (8,),
    "b13": (9,),
}
_DOMINANTS_OWN = frozenset(("3", "6"))  # over a dominant the sounds beside them are its #9 and b7
_FREE_IN_MINOR = frozenset(("6", "9", "11"))  # beside a b3 these stand in the row of the family
MINOR_THIRD = Degree(3, -1)  # over a suspension it is no #9
RAISED_FIFTH = Degree(5, 1)  # a V that has it has no 13


@lru_cache(maxsize=512)
def opposed(kind: ChordKind) -> dict[int, Degree]:
    """Return the sounds that contradict a kind of chord, each with the degree it contradicts.

    >>> {sound: str(degree) for sound, degree in opposed(Chord.parse("Cm7b5").kind).items()}
    {4: 'b3', 7: 'b5', 11: 'b7'}
    """
    excused = _DOMINANTS_OWN if kind.is_dominant else _FREE_IN_MINOR if kind.has("b3") else ()
    held = {degree.semitone for degree in kind.degrees}
    found: dict[int, Degree] = {}
    for degree in kind.degrees:
        for sound in () if str(degree) in excused else _OPPOSED.get(str(degree), ()):
            if sound not in held and not (sound == MINOR_THIRD.semitone and not kind.has("3")):
                found.setdefault(sound, degree)
    if kind.is_dominant and RAISED_FIFTH in kind.degrees:
        found.setdefault(RAISED_FIFTH.semitone + 1, RAISED_FIFTH)
    return found


_SUSPENDED = {
    (10, "1 3 5"): "1 4 5 b7 9",
    (10, "1 3 5 6"): "1 4 5 b7 9",
    (10, "1 3 5 7"): "1 4 5 b7 9 13",
    (7, "1 b3 5 b7"): "1 4 5 b7 9",
    (7, "1 b3 5 b7 9"): "1 4 5 b7 9 13",
    (7, "1 b3 b5 b7"): "1 4 5 b7 b9",
}
_HEARD = {
    (way, ChordKind.of(written)): ChordKind.of(as_) for (way, written), as_ in _SUSPENDED.items()
}


def heard(chord: Chord) -> Chord:
    """Return what a chord over a foreign bass is heard as from there; any other as it is.

    F/G, Fmaj7/G, Dm7/G and Dm7b5/G are suspended dominants on G (common practice).

    >>> [str(heard(Chord.parse(symbol))) for symbol in ("F/G", "Dm7/G", "C/E", "D/C")]
    ['G9sus4', 'G9sus4', 'C/E', 'D/C']
    """
    way = (chord.root.semitone - chord.lowest.semitone) % 12
    kind = _HEARD.get((way, chord.kind))
    return chord if kind is None else Chord(chord.lowest, kind)
