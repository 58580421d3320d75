"""Parts of a performance: their notes, their sounds, a tempo and a swing.

Times are written beats until they are played.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from theorykit.errors import TheoryError, shown

__all__ = [
    "MELODY_SOUNDS",
    "PART_NAMES",
    "PROGRAMS",
    "Part",
    "Performance",
    "Sounding",
    "swung",
]

PART_NAMES = ("line", "piano", "bass", "drums")

# The sounds that a melody may have, and of each the program. Source: General MIDI Level 1, sound
# set (MIDI Manufacturers Association, 1991); programs are counted from 0, as MIDI counts them.
MELODY_SOUNDS = {
    **{"tenor saxophone": 66, "alto saxophone": 65, "soprano saxophone": 64},
    **{"trumpet": 56, "muted trumpet": 59, "trombone": 57, "clarinet": 71, "flute": 73},
    **{"piano": 0, "electric piano": 4, "vibraphone": 11, "marimba": 12},
    **{"nylon-string guitar": 24, "jazz guitar": 26, "violin": 40, "double bass": 32},
}
# The programs of the parts; the line has this one where no other is wished for. Drums have a
# channel of their own, where 0 is the standard kit.
PROGRAMS = {"line": MELODY_SOUNDS["tenor saxophone"], "piano": 0, "bass": 32, "drums": 0}

# Quarters a minute: all that a chart can ask for, 20 to 400 beats of its metre.
SLOWEST, FASTEST = 10, 800
STRAIGHT, HARDEST_SWING = 1.0, 3.0  # long eighth to short eighth


@dataclass(frozen=True, slots=True)
class Sounding:
    """One sounding note: start and length in written beats, MIDI number, loudness 1 to 127."""

    start: Fraction
    beats: Fraction
    midi: int
    loudness: int = 80


@dataclass(frozen=True, slots=True)
class Part:
    """The notes of one player; ``name`` is one of ``PART_NAMES``."""

    name: str
    notes: tuple[Sounding, ...]


@dataclass(frozen=True, slots=True)
class Performance:
    """Parts to be played together.

    ``beats`` is the whole length in beats, ``tempo`` in beats a minute (10 to 800), ``swing`` the
    ratio of the long to the short eighth (1 straight, 2 as triplets, 3 at most).
    """

    parts: tuple[Part, ...]
    beats: Fraction
    tempo: float = 120
    swing: float = 2.0

    def __post_init__(self) -> None:
        """Refuse what no band plays."""
        if not SLOWEST <= self.tempo <= FASTEST:
            raise TheoryError(
                f"no such tempo: {shown(self.tempo)} (want {SLOWEST} to {FASTEST} beats a minute)"
            )
        if not STRAIGHT <= self.swing <= HARDEST_SWING:
            raise TheoryError(f"no such swing: {shown(self.swing)} (want a ratio from 1 to 3)")

    @property
    def seconds(self) -> float:
        """The length in seconds."""
        return float(self.beats) * 60 / self.tempo


def swung(beat: Fraction, ratio: float) -> float:
    """Return when a written beat sounds, in beats: the second eighth of a beat comes later.

    Notes on the triplet grid stay where they are.

    >>> swung(Fraction(1, 2), 3.0), swung(Fraction(5, 4), 3.0), swung(Fraction(1, 3), 3.0)
    (0.75, 1.375, 0.3333333333333333)
    """
    if beat.denominator & (beat.denominator - 1):  # no power of two: a triplet
        return float(beat)
    whole, within = divmod(beat, 1)
    middle = ratio / (ratio + 1)
    if within <= Fraction(1, 2):
        return float(whole) + float(within) * 2 * middle
    return float(whole) + middle + (float(within) - 0.5) * 2 * (1 - middle)
