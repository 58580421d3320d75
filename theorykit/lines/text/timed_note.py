"""A note with its time: what lines are made of."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from theorykit.errors import TheoryError, shown
from theorykit.notes.pitch import Pitch

HIGHEST_MIDI = 127


@dataclass(frozen=True, slots=True)
class TimedNote:
    """One note: its pitch, its start and its length in beats.

    The first beat of the progression is 0; a pickup starts before it, below 0. Whole numbers are
    taken as fractions; other numbers are refused, because a third of a beat has no exact float.

    >>> TimedNote(Pitch.parse("F4"), 0, Fraction(3, 2)).end
    Fraction(3, 2)
    """

    pitch: Pitch
    start: Fraction
    beats: Fraction

    def __post_init__(self) -> None:
        """Refuse a note without length or with a time that is not exact."""
        for name in ("start", "beats"):
            value = getattr(self, name)
            if isinstance(value, int):
                object.__setattr__(self, name, Fraction(value))
            elif not isinstance(value, Fraction):
                raise TheoryError(f"not a time: {shown(value)} (want a Fraction of a beat)")
        if not isinstance(self.pitch, Pitch) or self.beats.numerator <= 0:
            raise TheoryError(
                f"not a note of a line: {shown(self.pitch)} for {self.beats} beats "
                "(want a Pitch and a length above 0)"
            )
        if not 0 <= self.pitch.midi <= HIGHEST_MIDI:
            raise TheoryError(f"{self.pitch} is beyond what instruments play (want C-1 to G9)")

    @property
    def end(self) -> Fraction:
        """The beat on which the note ends."""
        return self.start + self.beats
