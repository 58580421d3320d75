"""A line: notes with exact times over a progression. What is not a note is a rest."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from theorykit.errors import TheoryError, shown
from theorykit.notes.pitch import Pitch
from theorykit.tunes.progression import Progression

__all__ = ["Line", "TimedNote"]


@dataclass(frozen=True, slots=True)
class TimedNote:
    """One note: its pitch, its start and its length in beats.

    The first beat of the progression is 0; a pickup starts before it, below 0.
    """

    pitch: Pitch
    start: Fraction
    beats: Fraction

    def __post_init__(self) -> None:
        """Refuse a note without length."""
        if not isinstance(self.pitch, Pitch) or self.beats <= 0:
            raise TheoryError(
                f"not a note of a line: {shown(self.pitch)} for {self.beats} beats "
                "(want a Pitch and a length above 0)"
            )

    @property
    def end(self) -> Fraction:
        """The beat on which the note ends."""
        return self.start + self.beats


@dataclass(frozen=True, slots=True)
class Line:
    """One melody over a progression, in order, one note at a time."""

    progression: Progression
    notes: tuple[TimedNote, ...]

    def __post_init__(self) -> None:
        """Refuse notes that overlap."""
        for before, after in zip(self.notes, self.notes[1:], strict=False):
            if after.start < before.end:
                raise TheoryError(
                    f"{after.pitch} starts on beat {after.start} before {before.pitch} ends on "
                    f"{before.end} (want one note at a time, in order)"
                )
