"""Whole lines: all notes an eighth earlier or later, and whether that reads better."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from itertools import pairwise

from theorykit.errors import TheoryError
from theorykit.lines.text import Line, TimedNote
from theorykit.tunes.progression import Progression

EIGHTH = Fraction(1, 2)  # beats
BETTER, SHARE = 4, 5  # points by which it reads better; one for so many notes
HELD = 2  # notes over a beat: fewer may be meant


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
    held over a beat against it (common practice). A line with triplets, with too few notes held
    over a beat, or that lands where V leads to is left where it is.

    >>> from theorykit.tunes.progression import two_five_one
    >>> text = "8th rest quarter D4 F4 A4 8th C5 | rest quarter G4 B4 D5 8th F5 | half rest E5"
    >>> better_place(Line.parse(text, two_five_one("C")))
    'earlier'
    """
    if not _may_be_moved(line):
        return ""
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


def _may_be_moved(line: Line) -> bool:
    """Tell whether a line may have been meant elsewhere."""
    times = [time for note in line.notes for time in (note.start, note.end)]
    held = sum(note.start % 1 != 0 and _is_held_over(note) for note in line.notes)
    landed = {note.start for note in line.notes if _is_tone(note, line.progression)}
    has_triplets = any(time.denominator == 3 for time in times)  # they would straddle beats
    return not has_triplets and held >= HELD and not landed.intersection(_goals(line.progression))


def _goals(over: Progression) -> set[Fraction]:
    """Return the beats on which a dominant is left."""
    pairs = pairwise(over.chords)
    return {goal.start for v, goal in pairs if v.chord.kind.is_dominant and v.chord != goal.chord}


def _is_held_over(note: TimedNote) -> bool:
    """Tell whether a note sounds beyond the next beat."""
    return note.end > note.start // 1 + 1


def _is_tone(note: TimedNote, over: Progression) -> bool:
    """Tell whether a note begins as a tone of its chord."""
    tones = {one.semitone for one in over.chord_at(max(note.start, Fraction(0))).chord.notes}
    return note.start >= 0 and note.pitch.midi % 12 in tones


def _legibility(line: Line) -> int:
    """Return how plainly a line lies on the beat, in points."""
    return sum(_points(note, line.progression) for note in line.notes)


def _points(note: TimedNote, over: Progression) -> int:
    """Return what one note adds."""
    if note.start % 1:
        return -2 * _is_held_over(note)
    first = 2 if note.start in over.bar_starts else 1
    return 2 * (note.beats >= 1) + first * _is_tone(note, over)
