"""Chord scales: how each of the twelve notes stands over a chord, and the scale to run through.

Source of the tensions of each family: Dariusz Terefenko, *Jazz Theory*, Routledge 2014, chapter 5
(essential, diatonic and chromatic tensions); Marc Sabatella, *A Jazz Improvisation Primer*, chord
and scale chart, for what rubs. A sound that no column of its row names is outside.

Sources: Marc Sabatella, *A Jazz Improvisation Primer*, chord and scale chart; Wikipedia, *Upper
structure* and *Altered scale*. Where the chart offers several scales, the one wins that lacks the
fewest chord tones, then the one that shares the most notes with the key, then the first of the row.
A plain dominant takes one of the first two, and the lydian dominant where its root is foreign to
the key, as that of a tritone substitute or a backdoor is (common practice).
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from theorykit.harmony.agreement import agrees, contradicts, written_in
from theorykit.harmony.colours import Colour
from theorykit.notes.chord import Chord
from theorykit.notes.degree import Degree, degrees
from theorykit.notes.key import Key
from theorykit.notes.kinds import ChordKind
from theorykit.notes.note import Note
from theorykit.notes.scales import scale_row

__all__ = [
    "ALTERATION",
    "CHORD_TONE",
    "COLOUR_SCALES",
    "FAMILIES",
    "OUTSIDE",
    "RUB",
    "TENSION",
    "chord_scale",
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


PLAIN_DOMINANT = degrees("1 3 5 b7")
THIRD, FOURTH, FIFTH = degrees("3 4 5")

FAMILY_SCALES = {
    "major": ("major", "lydian"),
    "minor seventh": ("dorian", "natural minor", "phrygian"),
    "minor tonic": ("melodic minor",),
    "half-diminished": ("locrian", "locrian #2"),
    "diminished": ("whole-half diminished",),
    "dominant": (
        "mixolydian",
        "phrygian dominant",
        "lydian dominant",
        "half-whole diminished",
        "altered",
        "whole tone",
    ),
    "suspended dominant": ("mixolydian",),
}

# What a line may run through over a dominant with a colour; the tensions of the colour are in it.
# The second formula is for a minor target, where the natural 13 would be its major 3rd.
_HALF_WHOLE = "1 b9 #9 3 #11 5 13 b7"
_ALTERED = "1 b9 #9 3 #11 b13 b7"
_PHRYGIAN_DOMINANT = "1 b9 3 11 5 b13 b7"
COLOUR_SCALES = {
    "b9": (_PHRYGIAN_DOMINANT, _PHRYGIAN_DOMINANT),
    "b9 13": (_HALF_WHOLE, _HALF_WHOLE),
    "b9 b13": (_PHRYGIAN_DOMINANT, _PHRYGIAN_DOMINANT),
    "b9 #11": (_HALF_WHOLE, _ALTERED),
    "b9 #11 13": (_HALF_WHOLE, _HALF_WHOLE),
    "9 #11 13": ("1 9 3 #11 5 13 b7", "1 9 3 #11 5 13 b7"),
    "#9": ("1 b9 #9 3 5 13 b7", "1 b9 #9 3 5 b13 b7"),
    "#9 b13": (_ALTERED, _ALTERED),
    "#9 #11": (_ALTERED, _ALTERED),
    "minor's own": (_PHRYGIAN_DOMINANT, _PHRYGIAN_DOMINANT),
    "suspended": ("1 9 11 5 13 b7", "1 9 11 5 13 b7"),
    "suspended b9": ("1 b9 11 5 13 b7", "1 b9 11 5 b13 b7"),
    "tritone substitute": (_ALTERED, _ALTERED),
    "its related ii": ("b9 #9 3 #11 b13 b7 7", "b9 #9 3 #11 b13 b7 7"),
}


def chord_scale(
    chord: Chord, key: Key, over_v: Colour | None = None, *, minor: bool = False
) -> tuple[Degree, ...]:
    """Return the degrees that a line may run through over a chord, from the root up.

    ``over_v`` is the colour where the chord is a dominant that has one; ``minor`` says that it
    leads to a minor chord. The chord's own degrees are always among them, unless the colour
    suspends the third or belongs to a substitute.

    >>> key = Key.parse("C")
    >>> " ".join(map(str, chord_scale(Chord.parse("Fmaj7"), key)))
    '1 9 3 #11 5 13 7'
    >>> from theorykit.harmony.colours import colour
    >>> " ".join(map(str, chord_scale(Chord.parse("G7"), key, colour("b9 13"))))
    '1 b9 #9 3 #11 5 13 b7'
    """
    if chord.is_silent:
        return ()
    if over_v is not None and chord.kind.is_dominant:
        return _as_written(_of_colour(over_v, minor), over_v, chord.kind)
    in_key = frozenset(note.semitone for note in key.notes)
    rows = FAMILY_SCALES[family(chord.kind).name]
    if chord.kind.degrees == PLAIN_DOMINANT:
        foreign = chord.root.semitone not in in_key
        rows = ("phrygian dominant",) if minor else ("lydian dominant",) if foreign else rows[:2]
    return _with_chord(max(rows, key=lambda row: _fit(row, chord, in_key)), chord.kind)


def _fit(name: str, chord: Chord, in_key: frozenset[int]) -> tuple[int, int]:
    """Weigh a scale on the chord's root: chord tones it lacks, then notes shared with the key."""
    sounds = {degree.semitone for degree in scale_row(name).degrees}
    lacking = {degree.semitone for degree in chord.degrees} - sounds
    notes = {(chord.root.semitone + sound) % 12 for sound in sounds}
    return -len(lacking), len(notes & in_key)


@lru_cache(maxsize=64)
def _of_colour(row: Colour, minor: bool) -> tuple[Degree, ...]:
    """Return the scale of a colour, with the colour's own names."""
    formulas = COLOUR_SCALES.get(row.name)
    found = degrees(formulas[minor]) if formulas else row.degrees
    return tuple(sorted(found, key=lambda degree: degree.semitone))


@lru_cache(maxsize=512)
def _as_written(found: tuple[Degree, ...], row: Colour, kind: ChordKind) -> tuple[Degree, ...]:
    """Return the scale of a colour without what contradicts the symbol, and with what that writes.

    A colour that itself contradicts the symbol was chosen against it, and keeps its scale.
    """
    over = Chord(Note("C"), kind)
    if not agrees(row, over):
        return found
    kept = [degree for degree in found if not contradicts(degree, kind)]
    sounds = {degree.semitone for degree in kept}
    more = [degree for degree in written_in(over) if degree.semitone not in sounds]
    return tuple(sorted((*kept, *map(_as_tension, more)), key=lambda degree: degree.semitone))


@lru_cache(maxsize=256)
def _with_chord(name: str, kind: ChordKind) -> tuple[Degree, ...]:
    """Return a scale as a chord names its notes: its own degrees first, other notes as tensions.

    Where the scale lacks a degree of the chord, its note on the same letter gives way. A chord
    with a suspended fourth has no third in its scale, one with an altered fifth no plain one.
    """
    found = scale_row(name).degrees
    sounds = {degree.semitone for degree in kind.degrees}
    missing = sounds - {degree.semitone for degree in found}
    gone = {degree.step for degree in kind.degrees if degree.semitone in missing}
    gone |= {THIRD.step} if FOURTH in kind.degrees else set()
    fifth = {FIFTH.semitone} if any(d.number == 5 for d in kind.degrees) else set()
    rest = [d for d in found if d.semitone not in sounds | fifth and d.step not in gone]
    rest = [d for d in map(_as_tension, rest) if not (kind.is_dominant and contradicts(d, kind))]
    together = (*kind.degrees, *rest)
    return tuple(sorted(together, key=lambda degree: degree.semitone))


def _as_tension(degree: Degree) -> Degree:
    """Name a 2, 4 or 6 of a scale as 9, 11 or 13."""
    return Degree(degree.number + 7, degree.alteration) if degree.number in (2, 4, 6) else degree
