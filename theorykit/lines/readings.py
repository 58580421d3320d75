"""What reading a line gives: values with facts and words."""

from __future__ import annotations

from dataclasses import dataclass

from theorykit.lines.changes import Landing
from theorykit.lines.line import Line
from theorykit.lines.spelled_colour import SpelledColour
from theorykit.lines.timed import TimedNote
from theorykit.lines.whole import LineShape
from theorykit.notes.chord import Chord
from theorykit.notes.degree import Degree

__all__ = ["LineReading", "NoteReading"]


@dataclass(frozen=True, slots=True)
class NoteReading:
    """One note: its chord, its degree over it (None over N.C.), its role, what it does in words.

    ``role`` is one of ``theorykit.lines.roles.ROLES``, or empty over N.C.; ``words`` is empty where
    the role says it all.
    """

    note: TimedNote
    chord: Chord
    degree: Degree | None
    role: str
    words: str


@dataclass(frozen=True, slots=True)
class LineReading:
    """What a line does.

    ``dominants`` are the dominants over which it sounds, ``changes`` the changes of chord,
    ``misses`` those that nothing meets; ``praise`` says what works, ``tries`` at most three
    things to try next.
    """

    line: Line
    notes: tuple[NoteReading, ...]
    dominants: tuple[SpelledColour, ...]
    changes: tuple[Landing, ...]
    whole: LineShape
    praise: tuple[str, ...]
    tries: tuple[str, ...]

    @property
    def misses(self) -> tuple[Landing, ...]:
        """The changes at which the line sounds and no tone of the new chord comes in time.

        A dominant whose colour is spelled exactly is met by the colour.
        """
        coloured = [found.chord for found in self.dominants if found.is_exact]
        sounding = (c for c in self.changes if c.first is not None and not c.meets)
        return tuple(c for c in sounding if c.chord not in coloured)

    @property
    def words(self) -> tuple[str, ...]:
        """A teacher's words: what works first, then what to try."""
        return self.praise + self.tries
