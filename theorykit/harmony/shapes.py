"""Shapes: what a player already knows and can start on any note, and how it is spelled there.

One row a shape. ``plainness`` ranks how early a player learns it, as the order in which common
method books bring it (common practice); the search sorts by it where all else is equal.

A teacher writes Eb7 and not D#7 for the substitute of A7, but C#m and not Dbm over G7, and thinks
of the A flat triad over B7, not of G sharp with its B sharp (common practice). The rule: each
name of the root is weighed by how hard the shape reads on it and by how many of its notes differ
from their names over the chord; the name that the chord itself suggests gets an advance.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from theorykit.harmony.colours import CHORD_TONES
from theorykit.harmony.tensions import degree_names
from theorykit.notes.chord import Chord
from theorykit.notes.degree import (
    AWKWARD,
    Degree,
    above,
    degrees,
    enharmonics,
    plain_root,
    readable,
)
from theorykit.notes.note import Note, pretty_words
from theorykit.notes.scales import SCALES

__all__ = ["FAMILIES", "SHAPES", "Shape", "spelled_shape"]

FAMILIES = ("triad", "seventh", "quartal", "pentatonic", "triad pair", "scale")


@dataclass(frozen=True, slots=True)
class Shape:
    """A row: what follows the root in print, its formula, its family, its place in the order."""

    suffix: str
    formula: str
    family: str
    plainness: int

    @property
    def degrees(self) -> tuple[Degree, ...]:
        """The formula as degrees above the shape's own root."""
        return degrees(self.formula)

    @property
    def mask(self) -> int:
        """The formula as twelve bits, the root being bit 0."""
        return sum({1 << degree.semitone for degree in self.degrees})

    @property
    def repeats(self) -> bool:
        """True for a shape that is the same sound on more than one root.

        >>> [shape.suffix for shape in SHAPES if shape.repeats][:2]
        ['aug', 'dim7']
        """
        mask = self.mask
        return any((mask << n | mask >> (12 - n)) & 0xFFF == mask for n in range(1, 12))

    @property
    def noun(self) -> str:
        """What the shape is, in words, without its root.

        >>> [shape.noun for shape in SHAPES[:2]]
        ['major triad', 'minor triad']
        """
        name = pretty_words(self.suffix.strip())
        return _NOUNS.get(self.suffix, f"{name} scale" if self.family == "scale" else name)


_NOUNS = {
    "": "major triad",
    "m": "minor triad",
    "dim": "diminished triad",
    "aug": "augmented triad",
    "7": "dominant seventh chord",
    "maj7": "major seventh chord",
    "m7": "minor seventh chord",
    "m7b5": "half-diminished chord",
    "dim7": "diminished seventh chord",
    "m(maj7)": "minor chord with major seventh",
    "maj7#5": "major seventh chord with raised 5th",
    "6": "major sixth chord",
    "m6": "minor sixth chord",
    " quartal": "three-note stack of fourths",
    " quartal of four": "four-note stack of fourths",
}

_CHORDS = (
    Shape("", "1 3 5", "triad", 0),
    Shape("m", "1 b3 5", "triad", 1),
    Shape("dim", "1 b3 b5", "triad", 2),
    Shape("aug", "1 3 #5", "triad", 3),
    Shape("7", "1 3 5 b7", "seventh", 4),
    Shape("maj7", "1 3 5 7", "seventh", 5),
    Shape("m7", "1 b3 5 b7", "seventh", 6),
    Shape("m7b5", "1 b3 b5 b7", "seventh", 7),
    Shape("dim7", "1 b3 b5 bb7", "seventh", 8),
    Shape("6", "1 3 5 6", "seventh", 9),
    Shape("m6", "1 b3 5 6", "seventh", 10),
    Shape("m(maj7)", "1 b3 5 7", "seventh", 11),
    Shape("maj7#5", "1 3 #5 7", "seventh", 12),
    Shape(" quartal", "1 4 b7", "quartal", 13),
    Shape(" quartal of four", "1 4 b7 b3", "quartal", 14),
    Shape(" major pentatonic", "1 2 3 5 6", "pentatonic", 15),
    Shape(" minor pentatonic", "1 b3 4 5 b7", "pentatonic", 16),
)

# Scales that players practise as themselves come first, then modes.
_SCALE_ORDER = (
    "major",
    "harmonic minor",
    "melodic minor",
    "whole-half diminished",
    "whole tone",
    "blues",
    "dorian",
    "mixolydian",
    "lydian",
    "natural minor",
    "bebop dominant",
    "half-whole diminished",
    "altered",
    "lydian dominant",
)


def _scale_shapes() -> tuple[Shape, ...]:
    """Return the scales of the scale table that are no pentatonics, in the order above."""
    rest = [row.name for row in SCALES if row.name not in _SCALE_ORDER]
    order = [*_SCALE_ORDER, *(name for name in rest if "pentatonic" not in name)]
    formulas = {row.name: row.formula for row in SCALES}
    return tuple(
        Shape(f" {name}", formulas[name], "scale", 20 + place) for place, name in enumerate(order)
    )


SHAPES = (*_CHORDS, *_scale_shapes())


# === How a shape is spelled ===

# Roots that the trade names by another degree than the tension: a triad on the b3, not on the #9;
# a substitute on the b5, not on the #11 (common practice). By half steps above the root of V.
ROOT_NAMES = {3: Degree(3, -1), 6: Degree(5, -1)}

# What a root costs that is not named as the chord suggests, by half steps above the root of V. On
# the tritone both names are at home; the 5th and the b7 stand in the symbol and keep their letter.
TRITONE = 6
STRANGER, STRANGER_AT = 5, {TRITONE: 2, 7: 10, 10: 10}
CHORDS = ("triad", "seventh")
BLUES = " blues"
SUBSTITUTE = "7"  # the dominant on the tritone is a bII7 of I and is written as one

# Names that nobody practises a pentatonic or a blues scale by: it is the E flat blues.
SELDOM = AWKWARD | {Note("D", 1), Note("A", 1)}

# What a reading costs.
AWKWARD_ROOT = 25
SELDOM_PRACTISED = 12
DOUBLE, DOUBLE_IN_DIMINISHED = 12, 3  # a diminished chord on a flat brings the double flat along
AWKWARD_NOTE = 3
NO_SIGNATURE = 2  # a minor shape on a root, such as Db, whose minor key no signature writes
NO_MAJOR_KEY = 6  # a major chord on G#, D# or A#: players know it as A flat, E flat or B flat
MOST_SIGNS = 7
THIRD, MINOR_THIRD, FIFTH, DIMINISHED_FIFTH = Degree(3), Degree(3, -1), Degree(5), Degree(5, -1)


@cache
def spelled_shape(chord: Chord, row: Shape, place: int) -> tuple[Note, tuple[Note, ...]]:
    """Return root and notes of a shape, ``place`` half steps above the root of a chord.

    >>> from theorykit.harmony.shapes import SHAPES
    >>> major, minor = SHAPES[:2]
    >>> g, c = Chord.parse("G7"), Chord.parse("C7")
    >>> [str(spelled_shape(g, row, 6)[0]) for row in (major, minor)]
    ['Db', 'C#']
    >>> [str(note) for note in spelled_shape(c, minor, 1)[1]]
    ['Db', 'Fb', 'Ab']
    """
    wish = _wished_root(chord, row, place)
    if place == 0:
        return wish, _spelled_from(wish, row)
    function = _function_names(chord)
    substitute = row.suffix == SUBSTITUTE and place == TRITONE
    stranger = STRANGER if substitute else STRANGER_AT.get(place, STRANGER)

    def cost(reading: tuple[Note, tuple[Note, ...], int]) -> tuple[int, bool]:
        root, notes, hardness = reading
        strange = root != wish
        others = sum(note != function[note.semitone] for note in notes[1:])
        named = others + (stranger + (root != function[root.semitone])) * strange
        return hardness + named + AWKWARD_ROOT * (strange and root in AWKWARD), strange

    root, notes, _ = min(_readings(row, (chord.root.semitone + place) % 12), key=cost)
    return root, notes


def _wished_root(chord: Chord, row: Shape, place: int) -> Note:
    """Return the name that the chord suggests: a tone of the plain chord keeps its own.

    A shape without letters to keep needs no awkward name, unless it stands on the root of V.
    """
    degree = degree_names(chord)[place]
    own = above(chord.root, degree)
    keeps = degree in CHORD_TONES and degree in chord.degrees and abs(own.alteration) <= 1
    if keeps and (place == 0 or not _is_letterless(row)):
        return own
    return plain_root(above(chord.root, ROOT_NAMES.get(place, degree)))


@cache
def _function_names(chord: Chord) -> tuple[Note, ...]:
    """Return the name of each of the twelve sounds by its degree over a chord, from C up."""
    notes = sorted((above(chord.root, d) for d in degree_names(chord)), key=lambda n: n.semitone)
    return tuple(notes)


@cache
def _readings(row: Shape, semitone: int) -> tuple[tuple[Note, tuple[Note, ...], int], ...]:
    """Return the ways to spell a shape on a root, each with how hard it reads."""
    spelled = ((root, _spelled_from(root, row)) for root in enharmonics(semitone))
    return tuple((root, notes, _hardness(root, notes, row)) for root, notes in spelled)


def _spelled_from(root: Note, row: Shape) -> tuple[Note, ...]:
    """Spell a shape by degree; one that repeats itself has no letters to keep and reads plainly.

    The blue note stands between the 4 and the 5 and serves no letter of its own: in the blues scale
    on E flat it is written A, on B flat E.
    """
    notes = tuple(above(root, degree) for degree in row.degrees)
    if row.suffix == BLUES:
        blue = row.degrees.index(DIMINISHED_FIFTH)
        return (*notes[:blue], plain_root(notes[blue]), *notes[blue + 1 :])
    return (root, *readable(notes[1:])) if _is_letterless(row) else notes


def _is_letterless(row: Shape) -> bool:
    """Tell whether a shape repeats itself within the octave; a dim7 is a chord of thirds still."""
    return row.repeats and len(row.degrees) != 4


def _hardness(root: Note, notes: tuple[Note, ...], row: Shape) -> int:
    """Weigh a spelling: double accidentals, awkward names, accidentals, a key without signature.

    A scale that is practised as itself is weighed by the name that it is practised by.
    """
    diminished = DIMINISHED_FIFTH in row.degrees and row.family != "scale"
    double = DOUBLE_IN_DIMINISHED if diminished else DOUBLE
    minor = MINOR_THIRD in row.degrees and FIFTH in row.degrees
    major = row.family in CHORDS and THIRD in row.degrees and FIFTH in row.degrees
    practised = row.suffix == BLUES or row.family == "pentatonic"
    return (
        sum(double * max(0, abs(note.alteration) - 1) for note in notes)
        + sum(AWKWARD_NOTE * (note in AWKWARD) + abs(note.alteration) for note in notes)
        + NO_SIGNATURE * (minor and abs(root.fifths - 3) > MOST_SIGNS)
        + NO_MAJOR_KEY * (major and root.fifths > MOST_SIGNS)
        + SELDOM_PRACTISED * (practised and root in SELDOM)
    )
