"""A stretch out of a progression or a line: for a phrase to be written, for bars to be repeated."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction

from theorykit.errors import TheoryError, shown
from theorykit.lines.line import Line
from theorykit.lines.timed import TimedNote
from theorykit.notes.chord import Chord
from theorykit.notes.key import Key
from theorykit.tunes.progression import Bar, Progression

__all__ = ["between", "excerpt"]


def between(
    progression: Progression, start: Fraction, end: Fraction, *, key: Key | None = None
) -> Progression:
    """Return what a progression holds from one beat to another, in its own or in another key.

    A bar that is cut stays a bar, a shorter one.

    >>> from theorykit.tunes.progression import two_five_one
    >>> str(between(two_five_one("C", "split"), Fraction(6), Fraction(10)))
    'G7 | Cmaj7'
    """
    edges = progression.bar_starts
    bars = [
        Bar(*zip(*pieces, strict=True))
        for number, bar in enumerate(progression.bars)
        if (pieces := list(_pieces(bar, edges[number], start, end)))
    ]
    return Progression(key or progression.key, tuple(bars))


def _pieces(
    bar: Bar, at: Fraction, start: Fraction, end: Fraction
) -> Iterator[tuple[Chord, Fraction]]:
    """Return the chords of a bar that lie in a stretch, each with the beats that do."""
    for chord, beats in zip(bar.chords, bar.lengths, strict=True):
        held = min(at + beats, end) - max(at, start)
        if held > 0:
            yield chord, held
        at += beats


def excerpt(line: Line, first: int, last: int) -> Line:
    """Return the bars ``first`` to ``last`` of a line, counted from 1, with their progression.

    A note that is held over an edge is cut there; a pickup belongs to the first bar.

    >>> from theorykit.tunes.progression import two_five_one
    >>> line = Line.parse("8th D4 F4 A4 C5 half B4 | whole B4 | whole E4", two_five_one("C"))
    >>> excerpt(line, 2, 3).text
    'whole B4 | E4'
    """
    bars = line.progression.bars
    if not (isinstance(first, int) and isinstance(last, int) and 1 <= first <= last <= len(bars)):
        raise TheoryError(
            f"no such bars: {shown(first)} to {shown(last)} (want two of 1 to {len(bars)}, "
            "the first not after the last)"
        )
    edges = line.progression.bar_starts
    start, end = edges[first - 1], edges[last]
    over = replace(line.progression, bars=bars[first - 1 : last])
    return Line(over, tuple(_cut(line, start, end, keeps_pickup=first == 1)))


def _cut(line: Line, start: Fraction, end: Fraction, *, keeps_pickup: bool) -> Iterator[TimedNote]:
    """Return the notes of a stretch, counted from its beginning."""
    for note in line.notes:
        begin = note.start if keeps_pickup else max(note.start, start)
        stop = min(note.end, end)
        if begin < stop:
            yield TimedNote(note.pitch, begin - start, stop - begin)
