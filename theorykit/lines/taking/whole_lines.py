"""Whole lines: all notes an eighth earlier or later, and whether that reads better."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from theorykit.errors import TheoryError
from theorykit.lines.text import Line, TimedNote
from theorykit.tunes.progression import Progression

EIGHTH = Fraction(1, 2)  # beats
BETTER, SHARE = 4, 5  # points by which it reads better; one for so many notes


def line_moved(line: Line, beats: Fraction) -> Line:
    """Return a line with all its notes earlier or later; what then ends too late is shortened.

    >>> from theorykit.tunes.progression import two_five_one
    >>> line = Line.parse("8th rest quarter F4 A4 C5 8th B4 | whole E4", two_five_one("C", "short"))
    >>> line_moved(line, -EIGHTH).text
    'quarter F4 A4 C5 8th B4 E4 | dotted half hold 8th hold rest'
    """
    end, first = line.progression.beats, -line.progression.bars[0].beats
    starts = [note.start + beats for note in line.notes]
    if starts and (starts[0] <= first or starts[-1] >= end):
        side = "a bar before the first" if beats < 0 else "after the last bar"
        raise TheoryError(f"a note would begin {side} (want a line that has room for that)")
    notes = [
        replace(note, start=start, beats=min(note.beats, end - start))
        for note, start in zip(line.notes, starts, strict=True)
    ]
    return replace(line, notes=tuple(notes))


def better_place(line: Line) -> str:
    """Return whether a line reads better an eighth earlier or later; nothing where it does not.

    Long notes and chord tones on the beat speak for a place, most on the first of a bar, and notes
    held over a beat against it (common practice).

    >>> from theorykit.tunes.progression import two_five_one
    >>> text = "8th rest quarter D4 F4 A4 8th C5 | rest quarter G4 B4 D5 8th F5 | half rest E5"
    >>> better_place(Line.parse(text, two_five_one("C")))
    'earlier'
    """
    now = _legibility(line)
    found = {}
    for name, beats in (("earlier", -EIGHTH), ("later", EIGHTH)):
        try:
            found[name] = _legibility(line_moved(line, beats)) - now
        except TheoryError:
            continue
    best = max(found, key=lambda name: found[name], default="")
    needed = max(BETTER, len(line.notes) / SHARE)
    return best if best and found[best] >= needed else ""


def _legibility(line: Line) -> int:
    """Return how plainly a line lies on the beat, in points."""
    return sum(_points(note, line.progression) for note in line.notes)


def _points(note: TimedNote, over: Progression) -> int:
    """Return what one note adds."""
    if note.start % 1:
        return -2 * (note.end > note.start // 1 + 1)
    points = 2 * (note.beats >= 1)
    if note.start >= 0:
        tones = {one.semitone for one in over.chord_at(note.start).chord.notes}
        points += (note.pitch.midi % 12 in tones) * (2 if note.start in over.bar_starts else 1)
    return points
