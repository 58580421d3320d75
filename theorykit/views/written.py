"""What stands in a written bar: the value that the other modules of notation fill in."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from theorykit.notes.chord import Chord
from theorykit.notes.pitch import Pitch
from theorykit.views.bar_marks import PLAIN_BAR, BarMark
from theorykit.views.values import NoteValue

__all__ = ["ACCIDENTALS", "BEAMS", "TIES", "Triplet", "Written", "WrittenBar"]

TIES = ("", "start", "continue", "stop")
# Whether an accidental stands before the note: no, yes, or as a courtesy in brackets.
ACCIDENTALS = ("", "shown", "courtesy")
# What one beam does at a note; the hooks are short ends of beams.
BEAMS = ("start", "continue", "stop", "hook right", "hook left")


@dataclass(frozen=True, slots=True)
class Triplet:
    """A note's place in a triplet: the value of which three stand for two, and where it is."""

    normal: str
    opens: bool = False
    closes: bool = False
    bracket: bool = False


@dataclass(frozen=True, slots=True)
class Written:
    """One written note, or a rest where ``pitch`` is None.

    ``start`` is counted in beats from the beginning of its bar; ``beams`` says for the first,
    second and further beams what each does here, as one of ``BEAMS``.
    """

    pitch: Pitch | None
    start: Fraction
    beats: Fraction
    value: NoteValue
    triplet: Triplet | None = None
    tie: str = ""
    accidental: str = ""
    beams: tuple[str, ...] = ()
    labels: tuple[str, ...] = ()
    mark: str = ""
    fills_bar: bool = False

    @property
    def end(self) -> Fraction:
        """The beat of the bar on which the note ends."""
        return self.start + self.beats


@dataclass(frozen=True, slots=True)
class WrittenBar:
    """One written bar; ``number`` is 0 for a pickup.

    ``time`` is the time signature that measures the bar, ``chords`` the symbols with their beats
    from the beginning of the bar, ``mark`` what stands at its lines.
    """

    number: int
    beats: Fraction
    time: tuple[int, int]
    notes: tuple[Written, ...]
    chords: tuple[tuple[Fraction, Chord], ...] = ()
    mark: BarMark = PLAIN_BAR
