"""A line that came out of a file: the bars it stands in, and what was done to it on the way."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise

from theorykit.errors import TheoryError
from theorykit.lines.taking import Played
from theorykit.lines.text import Line, TimedNote
from theorykit.notes.chord import NO_CHORD, Chord
from theorykit.notes.key import Key
from theorykit.tunes.progression import Bar, Progression
from theorykit.views.staves import StaffView

MOST_BARS = 1000
HIGHEST_WRITTEN = 9  # octave of a MusicXML file (MusicXML 4.0, octave)


@dataclass(frozen=True, slots=True)
class LineFile:
    """A line read from a file.

    ``title`` is empty and ``tempo`` None where the file says nothing; ``report`` tells in sentences
    what was chosen, moved or left out. ``played`` are the notes of MIDI as they were played, in
    beats from the first bar, which begins on the beat ``begins`` of the file; ``unplayed`` says
    what else is in it.
    """

    line: Line
    title: str = ""
    tempo: float | None = None
    report: tuple[str, ...] = ()
    played: tuple[Played, ...] = ()
    begins: float = 0.0
    unplayed: tuple[str, ...] = ()


def bars_with_chords(
    lengths: Sequence[Fraction], symbols: Iterable[tuple[Fraction, Chord]]
) -> tuple[Bar, ...]:
    """Return bars of so many beats with chord symbols on their beats, each until the next.

    Before the first symbol stands N.C.

    >>> chords = [(Fraction(0), Chord.parse("Dm7")), (Fraction(6), Chord.parse("G7"))]
    >>> [str(bar) for bar in bars_with_chords([Fraction(4), Fraction(4)], chords)]
    ['Dm7', 'Dm7 G7']
    """
    if not lengths or len(lengths) > MOST_BARS:
        raise TheoryError(f"{len(lengths)} bars (want 1 to {MOST_BARS})")
    changes = dict(symbols)
    places = sorted(changes)
    sounding, start, bars = NO_CHORD, Fraction(0), []
    for beats in lengths:
        inside = places[bisect_right(places, start) : bisect_left(places, start + beats)]
        edges = [start, *inside, start + beats]
        timed = []
        for first, last in pairwise(edges):
            sounding = changes.get(first, sounding)
            timed.append((sounding, last - first))
        bars.append(Bar.of(*timed))
        start += beats
    return tuple(bars)


def line_over(
    notes: Sequence[TimedNote], key: Key, bars: Sequence[Bar], over: Progression | None
) -> Line:
    """Return notes over the reader's progression if there is one, else over the file's bars."""
    return Line(over if over is not None else Progression(key, tuple(bars)), tuple(notes))


def writable(staff: StaffView) -> StaffView:
    """Return a staff whose pitches all have an octave that MusicXML 4.0 can write (octave)."""
    for note in staff.notes:
        if not 0 <= note.pitch.octave <= HIGHEST_WRITTEN:
            raise TheoryError(
                f"{note.pitch} cannot be written in MusicXML (want the octaves 0 to "
                f"{HIGHEST_WRITTEN} on the page)"
            )
    return staff
