"""Shapes: what a player already knows and can start on any note.

One row a shape. ``plainness`` ranks how early a player learns it, as the order in which common
method books bring it (common practice); the search sorts by it where all else is equal.
"""

from __future__ import annotations

from dataclasses import dataclass

from theorykit.notes.degree import Degree, degrees
from theorykit.notes.note import pretty_words
from theorykit.notes.scales import SCALES

__all__ = ["FAMILIES", "SHAPES", "Shape"]

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
