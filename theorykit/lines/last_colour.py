"""A line whose colour belongs to the last dominant alone: others keep to their own chords."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from theorykit.harmony.colours import colour
from theorykit.lines.excerpts import between
from theorykit.lines.line import Line
from theorykit.lines.palette import ChordPalette, palettes
from theorykit.lines.wishes import Wishes
from theorykit.lines.writer import lines_found
from theorykit.tunes.progression import Progression

__all__ = ["coloured_last", "last_dominant"]


def last_dominant(over: Progression, row: str | None) -> ChordPalette | None:
    """Return the last dominant that goes on to another chord, with the notes of a colour over it.

    >>> from theorykit.tunes.chart import Chart
    >>> found = last_dominant(Chart.of("C", "E7 A7 D7 G7", "C6").progression, "b9")
    >>> str(found.placed.chord), str(found.placed.start)
    ('G7', '3')
    """
    named = None if row is None else colour(row)
    found = [chord for chord in palettes(over, named) if chord.resolves]
    return found[-1] if found else None


def coloured_last(
    over: Progression, row: str | None, seed: int, wishes: Sequence[Wishes]
) -> Line | None:
    """Return the first line that is found with one of some wishes, the last dominant coloured.

    >>> from theorykit.tunes.chart import Chart
    >>> over = Chart.of("C", "Em7 A7", "Dm7 G7", "C6").progression
    >>> line = coloured_last(over, "b9 13", 1, [Wishes()])
    >>> {n.pitch.midi % 12 for n in line.notes if 6 <= n.start < 8} >= {4, 8}
    True
    """
    for asked in dict.fromkeys(wishes):
        line = _line(over, row, seed, asked)
        if line is not None:
            return line
    return None


def _line(over: Progression, row: str | None, seed: int, wishes: Wishes) -> Line | None:
    """Return a line, in two parts where other dominants come before the last one.

    The first part goes up to the chord on which the last of the others lands.
    """
    chords = palettes(over, None)
    places = [place for place, chord in enumerate(chords) if chord.resolves]
    if row is None or len(places) < 2:
        return _first(over, row, seed, wishes)
    target = chords[places[-2] + 1].placed
    edge = target.start
    head = _first(between(over, over.bar_starts[0], target.end), None, seed, wishes)
    if head is None:
        return None
    landing = next(note for note in head.notes if note.start == edge)
    begin = replace(wishes, start=landing.pitch)
    tail = _first(between(over, edge, over.beats), row, seed, begin)
    if tail is None or tail.notes[0].start > 0:
        return None
    before = (note for note in head.notes if note.start < edge)
    after = (replace(note, start=note.start + edge) for note in tail.notes)
    return Line(over, (*before, *after))


def _first(over: Progression, row: str | None, seed: int, wishes: Wishes) -> Line | None:
    """Return one line, if there is one."""
    found = lines_found(over, row, count=1, seed=seed, wishes=wishes)
    return found[0] if found else None
