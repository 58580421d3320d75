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
    "PLAYED",
    "PROGRAMS",
    "Part",
    "Performance",
    "Sounding",
    "checked_pace",
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
PLAYED = (*MELODY_SOUNDS, "baritone saxophone")  # what a melody may be played on, to be taken down
# The programs of the parts; the line has this one where no other is wished for. Drums have a
# channel of their own, where 0 is the standard kit.
PROGRAMS = {"line": MELODY_SOUNDS["tenor saxophone"], "piano": 0, "bass": 32, "drums": 0}

# Quarters a minute: all that a chart can ask for, 20 to 400 beats of its metre.
SLOWEST, FASTEST = 10, 800
STRAIGHT, HARDEST_SWING = 1.0, 3.0  # long eighth to short eighth
LEAST_SECONDS = 0.02  # of a note that is let go at once


@dataclass(frozen=True, slots=True)
class Sounding:
    """One sounding note: start and length in written beats, MIDI number, loudness 1 to 127.

    ``late`` are the milliseconds after its place at which a player begins it, ``let_go`` those at
    which he ends it; below 0 it is early. ``counts_in`` marks a click before the music.
    """

    start: Fraction
    beats: Fraction
    midi: int
    loudness: int = 80
    late: float = 0.0
    let_go: float = 0.0
    counts_in: bool = False


@dataclass(frozen=True, slots=True)
class Part:
    """The notes of one player; ``name`` is one of ``PART_NAMES``.

    ``program`` is the sound that he chose himself, such as brushes; None for that of ``PROGRAMS``.
    """

    name: str
    notes: tuple[Sounding, ...]
    program: int | None = None


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
        checked_pace(self.tempo, self.swing)

    @property
    def seconds(self) -> float:
        """The length in seconds."""
        return float(self.beats) * 60 / self.tempo

    def begins(self, note: Sounding) -> float:
        """Return when a note begins, in seconds; an early first note a little before 0.

        >>> late = Sounding(Fraction(3, 2), Fraction(1, 2), 69, late=20, let_go=-40)
        >>> played = Performance((), Fraction(4), tempo=120, swing=3.0)
        >>> round(played.begins(late), 3), round(played.ends(late), 3)
        (0.895, 0.96)
        """
        return self._moment(note.start, note.late)

    def ends(self, note: Sounding) -> float:
        """Return when a note is let go, in seconds; it sounds for a moment at least."""
        end = self._moment(note.start + note.beats, note.let_go)
        return max(self.begins(note) + LEAST_SECONDS, end)

    def _moment(self, beat: Fraction, late: float) -> float:
        """Return a written beat and some milliseconds as seconds."""
        return swung(beat, self.swing) * 60 / self.tempo + late / 1000


def checked_pace(tempo: object, swing: object) -> None:
    """Return nothing, refusing a tempo or a swing that no band plays.

    >>> checked_pace(0, 2)
    Traceback (most recent call last):
    theorykit.errors.TheoryError: no such tempo: 0 (want 10 to 800 beats a minute)
    """
    if not isinstance(tempo, float | int | Fraction) or not SLOWEST <= tempo <= FASTEST:
        raise TheoryError(
            f"no such tempo: {shown(tempo)} (want {SLOWEST} to {FASTEST} beats a minute)"
        )
    if not isinstance(swing, float | int | Fraction) or not STRAIGHT <= swing <= HARDEST_SWING:
        raise TheoryError(f"no such swing: {shown(swing)} (want a ratio from 1 to 3)")


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
