"""Ghost notes: faint notes of a take, which may be the player's, named and put back."""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction

from theorykit.lines.taking.mending import note_words
from theorykit.lines.taking.taken_lines import FAINT, HeardNote, TakenLine, retaken, taken_line
from theorykit.lines.text import Line, TimedNote
from theorykit.notes.reader import READERS, Reader

FAINT_ONE = "It is of the band, the room, or a ghost note."
NEAR = 0.25  # seconds by which a note may be written beside where it was heard


@dataclass(frozen=True, slots=True)
class Ghosts:
    """The faint notes of a take beside a line.

    >>> from theorykit.tunes.progression import two_five_one
    >>> over, faint = two_five_one("C", "short"), [HeardNote(0.5, 0.7, 68)]
    >>> found = taken_line([HeardNote(0, 0.4, 65)], over, tempo=120, start=0, faint=faint)
    >>> Ghosts(found).report(found.line, "B flat")
    ['Left out as faint: A♯4, bar 1, beat 2. It is of the band, the room, or a ghost note.']
    >>> Ghosts(found).report(Ghosts(found).put_back(found.line))
    []
    """

    taken: TakenLine

    def left(self, line: Line) -> tuple[TimedNote, ...]:
        """Return those that a line does not have, as they would be written."""
        return _left(self.taken, line)

    def put_back(self, line: Line) -> Line:
        """Return a line with them, where nothing else begins."""
        return _put_back(line, self.taken)

    def report(self, line: Line, reader: Reader | str = READERS[0]) -> list[str]:
        """Return the report of the take with those that a line does not have, by their names."""
        return _report_beside(self.taken, line, reader)


def _ghosts(taken: TakenLine) -> tuple[HeardNote, ...]:
    """Return the notes that were left out of a take because they are faint."""
    return tuple(one for one in taken.left_out if one not in taken.heard)


def _with_ghosts(taken: TakenLine) -> TakenLine:
    """Return a take with its faint notes among the others.

    >>> from theorykit.tunes.progression import two_five_one
    >>> heard = [HeardNote(at, at + 0.4, midi) for at, midi in ((0, 65), (1, 69), (2, 67))]
    >>> ghost = HeardNote(0.5, 0.7, 68)
    >>> over = two_five_one("C", "short")
    >>> found = taken_line(heard, over, tempo=120, start=0, faint=[ghost])
    >>> found.line.text, str(_with_ghosts(found).line.notes[1].pitch)
    ('quarter F4 rest A4 rest | G4 dotted half rest', 'G#4')
    """
    return taken_line(
        (*taken.heard, *_ghosts(taken)),
        taken.line.progression,
        tempo=taken.tempo,
        start=taken.start,
        tuning=taken.tuning,
    )


def _left(taken: TakenLine, line: Line) -> tuple[TimedNote, ...]:
    """Return the faint notes of a take that a line does not have, as they would be written."""
    there = {(one.start, one.pitch.midi) for one in line.notes}
    return tuple(one for one in _written(taken) if (one.start, one.pitch.midi) not in there)


def _put_back(line: Line, taken: TakenLine) -> Line:
    """Return a line with the faint notes of its take, where nothing else begins."""
    if line == taken.line and not _moved(taken):
        return _with_ghosts(taken).line
    for note in _left(taken, line):
        line = _with(line, note)
    return line


def _report_beside(taken: TakenLine, line: Line, reader: Reader | str) -> list[str]:
    """Return the report of a take with the faint notes that a line does not have."""
    ghosts, told = _left(taken, line), []
    for words in taken.report_for(reader):
        if not words.endswith(FAINT) or not _written(taken):
            told.append(words)
        elif ghosts:
            page = Line(taken.line.progression, ghosts)
            named = "; ".join(note_words(page, place, reader) for place in range(len(ghosts)))
            told.append(f"Left out as faint: {named}. {FAINT if len(ghosts) > 1 else FAINT_ONE}")
    return told


def _written(taken: TakenLine) -> tuple[TimedNote, ...]:
    """Return the faint notes as they would be written; those outside the bars are in none."""
    if not _ghosts(taken):
        return ()
    whole, found = _with_ghosts(taken), []
    for ghost in _ghosts(taken):
        at = (ghost.start - taken.start) * taken.tempo / 60
        near = [one for one in whole.line.notes if one.pitch.midi == ghost.midi]
        best = min(near, key=lambda one: abs(float(one.start) - at), default=None)
        if best is not None and abs(float(best.start) - at) < NEAR * taken.tempo / 60:
            found.append(best)
    by = _moved(taken)
    return tuple(replace(one, start=one.start + by) for one in dict.fromkeys(found))


def _moved(taken: TakenLine) -> Fraction:
    """Return by how many beats the line of a take was moved since it was taken down."""
    plain = retaken(taken, taken.tempo, taken.start).line.notes
    return taken.line.notes[0].start - plain[0].start


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
