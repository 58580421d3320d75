"""Chord scales: the scale that a line runs through over a chord.

The families of chords and their scales are in ``harmony.chord_families``, with their sources. Where
a family has several scales, the one wins that lacks the fewest chord tones, then the one that
shares the most notes with the key, then the first of the row. A plain dominant takes one of the
first two, and the lydian dominant where its root is foreign to the key, as that of a tritone
substitute or a backdoor is (common practice). The scales of colours: Marc Sabatella, *A Jazz
Improvisation Primer*, undated, chord and scale chart; Wikipedia contributors, *Upper structure* and
*Altered scale*, undated.
"""

from __future__ import annotations

from functools import lru_cache

from theorykit.harmony.agreement import agrees, contradicts, written_in
from theorykit.harmony.chord_families import family
from theorykit.harmony.colours import Colour
from theorykit.notes.chord import Chord
from theorykit.notes.degree import Degree, degrees
from theorykit.notes.key import Key
from theorykit.notes.kinds import ChordKind
from theorykit.notes.note import Note
from theorykit.notes.scales import scale_row

__all__ = ["COLOUR_SCALES", "chord_scale"]

PLAIN_DOMINANT = degrees("1 3 5 b7")
THIRD, FOURTH, FIFTH, SEVENTH = degrees("3 4 5 b7")

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
    rows = family(chord.kind).scales
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
    """Return the scale of a colour, with the colour's own names; one of one's own has a b7."""
    formulas = COLOUR_SCALES.get(row.name)
    found = degrees(formulas[minor]) if formulas else row.degrees
    if not any(degree.number == SEVENTH.number for degree in found):
        found = (*found, SEVENTH)
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
