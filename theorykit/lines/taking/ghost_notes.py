"""Ghost notes: faint notes of a take, which may be the player's, named and put back."""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction
from functools import cached_property

from theorykit.lines.taking.mending import note_words
from theorykit.lines.taking.taken_lines import FAINT, TakenLine, taken_line
from theorykit.lines.text import Line, TimedNote
from theorykit.notes.reader import READERS, Reader

FAINT_ONE = "It is of the band, the room, or a ghost note."
NEAR = 0.25  # seconds by which a note may be written beside where it was heard


@dataclass(frozen=True)
class Ghosts:
    """The faint notes of a take beside a line.

    >>> from theorykit.lines.taking.taken_lines import HeardNote
    >>> from theorykit.tunes.progression import two_five_one
    >>> over, faint = two_five_one("C", "short"), [HeardNote(0.5, 0.7, 68)]
    >>> found = taken_line([HeardNote(0, 0.4, 65)], over, tempo=120, start=0, faint=faint)
    >>> ghosts = Ghosts(found)
    >>> ghosts.report(found.line, "B flat")
    ['Left out as faint: A♯4, bar 1, beat 2. It is of the band, the room, or a ghost note.']
    >>> ghosts.report(ghosts.put_back(found.line))
    []
    """

    taken: TakenLine

    def left(self, line: Line) -> tuple[TimedNote, ...]:
        """Return those that a line does not have, as they would be written."""
        there = {(one.start, one.pitch.midi) for one in line.notes}
        return tuple(one for one in self._written if (one.start, one.pitch.midi) not in there)

    def put_back(self, line: Line) -> Line:
        """Return a line with them, where nothing else begins."""
        if line == self.taken.line and not self._moved:
            return self._whole.line
        for note in self.left(line):
            line = _with(line, note)
        return line

    def report(self, line: Line, reader: Reader | str = READERS[0]) -> list[str]:
        """Return the report of the take with those that a line does not have, by their names."""
        ghosts, told = self.left(line), []
        for words in self.taken.report_for(reader):
            if not words.endswith(FAINT) or not self._written:
                told.append(words)
            elif ghosts:
                page = Line(self.taken.line.progression, ghosts)
                named = "; ".join(note_words(page, place, reader) for place in range(len(ghosts)))
                why = FAINT if len(ghosts) > 1 else FAINT_ONE
                told.append(f"Left out as faint: {named}. {why}")
        return told

    @cached_property
    def _whole(self) -> TakenLine:
        """The take with its faint notes among the others."""
        taken = self.taken
        return taken_line(
            (*taken.heard, *taken.faint),
            taken.line.progression,
            tempo=taken.tempo,
            start=taken.start,
            tuning=taken.tuning,
        )

    @cached_property
    def _written(self) -> tuple[TimedNote, ...]:
        """The faint notes as they would be written; those outside the bars are in none."""
        taken = self.taken
        if not taken.faint:
            return ()
        notes, found = self._whole.line.notes, []
        for ghost in taken.faint:
            at = (ghost.start - taken.start) * taken.tempo / 60
            near = [one for one in notes if one.pitch.midi == ghost.midi]
            best = min(near, key=lambda one: abs(float(one.start) - at), default=None)
            if best is not None and abs(float(best.start) - at) < NEAR * taken.tempo / 60:
                found.append(best)
        by = self._moved
        return tuple(replace(one, start=one.start + by) for one in dict.fromkeys(found))

    @cached_property
    def _moved(self) -> Fraction:
        """By how many beats the line of the take was moved since it was taken down."""
        plain = self.taken.retaken(self.taken.tempo, self.taken.start).line.notes
        return self.taken.line.notes[0].start - plain[0].start


def _with(line: Line, note: TimedNote) -> Line:
    """Return a line with one note more; the one before gives way, and it gives way to the next."""
    if any(one.start == note.start for one in line.notes):
        return line
    before = [one for one in line.notes if one.start < note.start]
    after = [one for one in line.notes if one.start > note.start]
    if before and before[-1].end > note.start:
        before[-1] = replace(before[-1], beats=note.start - before[-1].start)
    if after and note.end > after[0].start:
        note = replace(note, beats=after[0].start - note.start)
    return replace(line, notes=(*before, note, *after))
