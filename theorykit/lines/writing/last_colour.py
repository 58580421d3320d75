"""Lines over several dominants of which the last one alone is coloured."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from theorykit.harmony.colours import colour
from theorykit.lines.chord_palette import ChordPalette, palettes
from theorykit.lines.excerpts import between
from theorykit.lines.text import Line
from theorykit.lines.writing.wishes import Wishes
from theorykit.lines.writing.writer import lines_found
from theorykit.tunes.progression import PlacedChord, Progression

HEADS = 8  # first parts that are tried until one lands on a note of the colour


def last_dominant(over: Progression, row: str | None) -> ChordPalette | None:
    """Return the last dominant that goes on to another chord, with the notes of a colour over it.

    >>> from theorykit.tunes.charts import Chart
    >>> found = last_dominant(Chart.of("C", "E7 A7 D7 G7", "C6").progression, "b9")
    >>> str(found.placed.chord), str(found.placed.start)
    ('G7', '3')
    """
    named = None if row is None else colour(row)
    found = [chord for chord in palettes(over, named) if chord.resolves]
    return found[-1] if found else None


def coloured_last(
    over: Progression,
    row: str | None,
    seed: int,
    wishes: Sequence[Wishes],
    rhythm_seed: str | None = None,
) -> Line | None:
    """Return the first line that is found with one of some wishes, the last dominant coloured.

    ``rhythm_seed`` is that of ``lines_found``.

    >>> from theorykit.tunes.charts import Chart
    >>> over = Chart.of("C", "Em7 A7", "Dm7 G7", "C6").progression
    >>> line = coloured_last(over, "b9 13", 1, [Wishes()])
    >>> {n.pitch.midi % 12 for n in line.notes if 6 <= n.start < 8} >= {4, 8}
    True
    """
    for asked in dict.fromkeys(wishes):
        line = _line(over, row, seed, asked, rhythm_seed)
        if line is not None:
            return line
    return None


def _line(
    over: Progression, row: str | None, seed: int, wishes: Wishes, rhythm: str | None
) -> Line | None:
    """Return a line, in two parts where other dominants come before the last one.

    The first part goes up to the chord on which the last of the others lands.
    """
    chords = palettes(over, None)
    places = [place for place, chord in enumerate(chords) if chord.resolves]
    if row is None or len(places) < 2:
        return _first(over, row, seed, wishes, rhythm)
    target = chords[places[-2] + 1].placed
    for attempt in range(HEADS):
        line = _in_two_parts(over, target, row, seed + attempt, wishes, rhythm)
        if line is not None:
            return line
    return None


def _in_two_parts(
    over: Progression,
    target: PlacedChord,
    row: str,
    seed: int,
    wishes: Wishes,
    rhythm: str | None,
) -> Line | None:
    """Return a line up to a chord and from there on in a colour, if the note there is of it."""
    edge = target.start
    head = _first(between(over, over.bar_starts[0], target.end), None, seed, wishes, rhythm)
    if head is None:
        return None
    landing = next(note for note in head.notes if note.start == edge)
    begin = replace(wishes, start=landing.pitch, begins="on one")
    tail = _first(between(over, edge, over.beats), row, seed, begin, rhythm)
    if tail is None or tail.notes[0].start > 0:
        return None
    before = (note for note in head.notes if note.start < edge)
    after = (replace(note, start=note.start + edge) for note in tail.notes)
    return Line(over, (*before, *after))


def _first(
    over: Progression, row: str | None, seed: int, wishes: Wishes, rhythm: str | None
) -> Line | None:
    """Return one line, if there is one."""
    found = lines_found(over, row, count=1, seed=seed, wishes=wishes, rhythm_seed=rhythm)
    return found[0] if found else None
