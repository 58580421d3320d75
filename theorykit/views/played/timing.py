"""Timing of a take: how early or late each note was, against the beat that was found."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from statistics import median

from theorykit.errors import TheoryError, shown
from theorykit.lines.reading import place_words
from theorykit.lines.taking import TakenLine
from theorykit.notes.note import pretty_accidentals
from theorykit.notes.reader import READERS, Reader

WITHIN = 50  # milliseconds that pass for in time
LEAST, STEP, MOST = 100, 50, 300  # milliseconds that the picture reaches to
CLOSEST, WIDEST = 5, 200  # milliseconds that may pass for in time
MOST_TOLD = 6
FEW = 4  # notes of which one cannot tell whether they are late throughout
EARLY, IN_TIME, LATE = "early", "in time", "late"


@dataclass(frozen=True, slots=True)
class NoteTiming:
    """One note: its name, its place in words, its bar from 1, and the milliseconds it was late.

    ``side`` is early, in time or late.
    """

    name: str
    where: str
    bar: int
    late: int
    side: str

    @property
    def words(self) -> str:
        """The note with its place and by how much it missed it."""
        return f"{self.name}, {self.where}, {abs(self.late)} ms {self.side}"


@dataclass(frozen=True, slots=True)
class TimingView:
    """The notes of a take in order; ``within`` is what passes for in time, ``reach`` what is shown.

    Both are in milliseconds.
    """

    title: str
    notes: tuple[NoteTiming, ...]
    within: int
    reach: int

    @property
    def words(self) -> str:
        """How many notes were in time, and which were not, the farthest first."""
        off = sorted((one for one in self.notes if one.side != IN_TIME), key=lambda n: -abs(n.late))
        count = f"{len(self.notes) - len(off)} of {len(self.notes)} notes are in time"
        if not off:
            return f"{count}, within {self.within} milliseconds."
        told = "; ".join(one.words for one in off[:MOST_TOLD])
        more = f" and {len(off) - MOST_TOLD} more" if len(off) > MOST_TOLD else ""
        return f"{count}, within {self.within} milliseconds. Not so: {told}{more}."

    @property
    def alt(self) -> str:
        """What the picture shows, in words."""
        return f"{self.title}. {self.words}"


def timing_of(taken: TakenLine, *, within: int = WITHIN, reader: Reader = READERS[0]) -> TimingView:
    """Return how early and late the notes of a take were, against the beat that most of them keep.

    ``within`` are the milliseconds that pass for in time. A take that comes late throughout is
    told so in its report; the machine may be the reason.

    >>> from theorykit.lines.taking import HeardNote, taken_line
    >>> from theorykit.tunes.progression import two_five_one
    >>> times = [0.0, 0.25, 0.5, 0.75, 1.06, 1.25, 1.5, 1.75, 2.0]
    >>> midis = [65, 69, 72, 76, 74, 71, 68, 65, 64]
    >>> heard = [HeardNote(at, at + 0.2, midi) for at, midi in zip(times, midis)]
    >>> over = two_five_one("C", "short")
    >>> timing_of(taken_line(heard, over, tempo=120, start=0), within=40).words
    '8 of 9 notes are in time, within 40 milliseconds. Not so: D5, bar 1, beat 3, 60 ms late.'
    """
    if isinstance(within, bool) or not isinstance(within, int) or not CLOSEST <= within <= WIDEST:
        raise TheoryError(
            f"no bound: {shown(within)} (want {CLOSEST} to {WIDEST} whole milliseconds)"
        )
    page = taken.line.written_for(reader)
    starts = page.progression.bar_starts
    own = median(one.late for one in taken.notes) if len(taken.notes) >= FEW else 0.0
    notes = tuple(
        NoteTiming(
            pretty_accidentals(str(note.pitch)),
            place_words(note.start, page.progression),
            sum(start <= note.start for start in starts),
            round((one.late - own) * 1000),
            _side(round((one.late - own) * 1000), within),
        )
        for note, one in zip(page.notes, taken.notes, strict=True)
    )
    return TimingView("Early and late notes", notes, within, _reach(n.late for n in notes))


def _side(late: int, within: int) -> str:
    """Tell on which side of the beat a note was."""
    if abs(late) <= within:
        return IN_TIME
    return LATE if late > 0 else EARLY


def _reach(lates: Iterable[int]) -> int:
    """Return how far a picture reaches to show all, within reason."""
    farthest = max((abs(late) for late in lates), default=0)
    return min(MOST, max(LEAST, -(-farthest // STEP) * STEP))
