"""The scales that are played over a chord and hold given notes, the everyday one first."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from functools import lru_cache

from theorykit.harmony.chord_families import ALTERATION, OUTSIDE, family, heard, opposed, standings
from theorykit.harmony.shape_search import SCALE_ROOTS
from theorykit.harmony.shapes import SHAPES, Shape
from theorykit.harmony.shortcuts import Shortcut
from theorykit.harmony.tensions import as_target, degrees_over, why_it_rubs
from theorykit.notes.chord import Chord
from theorykit.notes.degree import Degree
from theorykit.notes.kinds import ChordKind
from theorykit.notes.note import Note
from theorykit.notes.scales import scale_row

FIFTH = Degree(5)
SUSPENSIONS = (2, 4)  # numbers of the degrees that stand for a 3rd
THIRD_AND_SEVENTH = frozenset((4, 10))  # half steps above the root of a dominant
Sounds = frozenset[int]  # half steps above the root of a chord


def everyday_scales(
    chord: Chord, notes: Iterable[Note], target: Chord | None = None
) -> tuple[Shortcut, ...]:
    """Return the scales of a chord that hold some notes and contradict nothing of it.

    They are those of the chord's family, in its order; over a dominant the fewest alterations come
    first that nobody asked for, and over one that goes to a minor chord its major 3rd comes late.
    A scale holds the 3rd, 7th and written tensions of the chord, its 5th too unless the chord is a
    dominant, and a foreign bass. Where none does, those come that are laid over the chord without
    its 3rd or 7th.

    >>> [scale.shape for scale in everyday_scales(Chord.parse("Cmaj7"), [Note.parse("D")])]
    ['C major', 'G major']
    >>> everyday_scales(Chord.parse("Cmaj7"), [Note.parse("Db")])
    ()
    >>> [scale.shape for scale in everyday_scales(Chord.parse("C7"), map(Note.parse, ("Eb", "F")))]
    ['C blues']
    """
    over = heard(chord)
    given = tuple(notes)
    asked = frozenset((note.semitone - over.root.semitone) % 12 for note in given)
    bass = (over.lowest.semitone - over.root.semitone) % 12
    need = asked | {bass} | {degree.semitone for degree in frame_of(over)}
    fitting = [
        sounds for sounds in _sounds_of(over.kind) if need <= sounds and _agrees(over, sounds, need)
    ]
    fitting.sort(key=lambda sounds: _unasked(over, sounds - need, target))
    fitting = fitting or _laid_over(over, asked, need)
    goal, wanted = as_target(over, target), degrees_over(over, given)
    return tuple(Shortcut(over, goal, *_named(sounds), None, wanted) for sounds in fitting)


def _laid_over(chord: Chord, asked: Sounds, need: Sounds) -> list[Sounds]:
    """Return the scales that are played over a chord without its 3rd or 7th, and hold the rest.

    Notes that contradict what the symbol says are in none of them.
    """
    if asked & opposed(chord.kind).keys():
        return []
    rest = need - (THIRD_AND_SEVENTH - asked)
    found = map(_placed, family(chord.kind).laid_over)
    return [sounds for sounds in found if rest <= sounds]


def is_hard_clash(chord: Chord, note: Note) -> bool:
    """Tell whether a note rubs over a chord and no scale of the chord holds it.

    The plain 5 of a dominant is kept or dropped, and is no hard clash over 7alt.

    >>> cm7 = Chord.parse("Cm7")
    >>> [is_hard_clash(cm7, Note.parse(name)) for name in ("E", "Ab", "D")]
    [True, False, False]
    """
    over = heard(chord)
    sound = (note.semitone - over.root.semitone) % 12
    if sound == FIFTH.semitone and over.kind.is_dominant and sound not in opposed(over.kind):
        return False
    return bool(why_it_rubs(over, sound)) and not everyday_scales(chord, [note])


def frame_of(chord: Chord) -> tuple[Degree, ...]:
    """Return what a scale must hold to be a scale of a chord: all but the plain 5 of a dominant.

    Players keep that 5 or drop it.

    >>> [str(degree) for degree in frame_of(Chord.parse("G13"))]
    ['1', '3', 'b7', '9', '13']
    """
    return tuple(d for d in chord.degrees if not (chord.kind.is_dominant and d == FIFTH))


@lru_cache(maxsize=256)
def _sounds_of(kind: ChordKind) -> tuple[Sounds, ...]:
    """Return the scales of a family as sounds above the root of the chord, in its order.

    Where the chord has its 6th or 7th, those fall out that have another one.
    """
    row = family(kind)
    open_to = {degree.semitone for degree in row.bare if degree not in row.rubs}
    closed = open_to if any(degree.number in (6, 7) for degree in kind.degrees) else set()
    closed -= {degree.semitone for degree in kind.degrees}
    found = dict.fromkeys(map(_placed, (*row.scales, *row.wider)))
    return tuple(sounds for sounds in found if not closed & sounds)


def _placed(name: str) -> Sounds:
    """Return the sounds of a scale on the root, or on the degree behind ``on``."""
    scale, _, place = name.partition(" on ")
    start = Degree.parse(place).semitone if place else 0
    return frozenset((start + degree.semitone) % 12 for degree in scale_row(scale).degrees)


def _agrees(chord: Chord, sounds: Sounds, need: Sounds) -> bool:
    """Tell whether a scale brings nothing unasked that contradicts a chord.

    The 3rd beside a suspension does not: Sabatella has mixolydian for 7sus.
    """
    stands, against = standings(chord.kind), opposed(chord.kind)
    chromatic = {degree.semitone for degree in family(chord.kind).chromatic}
    return not any(
        against[sound].number not in SUSPENSIONS
        if sound in against
        else stands[sound] == OUTSIDE and sound not in chromatic
        for sound in sounds - need
        if sound != FIFTH.semitone or sound in against
    )


def _unasked(chord: Chord, free: Sounds, target: Chord | None) -> tuple[int, int]:
    """Weigh what a scale brings besides: what rubs against the target, then alterations."""
    stands = standings(chord.kind)
    plain = [sound for sound in free if not why_it_rubs(chord, sound)]
    ahead = sum(bool(why_it_rubs(chord, sound, target)) for sound in plain)
    return ahead, sum(stands[sound] == ALTERATION for sound in free)


@lru_cache(maxsize=256)
def _named(sounds: Sounds) -> tuple[Shape, int]:
    """Return the best name of a set of sounds: a scale and its place above the root of the chord.

    A scale that repeats itself is named on that root, any other by the name that players practise.
    """
    return min(
        _names(sounds),
        key=lambda name: (
            not (name[0].repeats and name[1] == 0),
            name[0].plainness,
            SCALE_ROOTS.index(name[1]),
        ),
    )


def _names(sounds: Sounds) -> Iterator[tuple[Shape, int]]:
    """Run through the scales, on all roots, that are just these sounds."""
    for row in SHAPES:
        for place in range(12) if row.family == "scale" else ():
            if {(place + degree.semitone) % 12 for degree in row.degrees} == sounds:
                yield row, place
