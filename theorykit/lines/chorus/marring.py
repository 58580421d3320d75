"""Marring: what a phrase loses on the page of its tune, or over the chord before it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from fractions import Fraction

from theorykit.lines.chord_scale import chord_scale
from theorykit.lines.chorus.windows import Window
from theorykit.lines.text import Line, TimedNote, trips
from theorykit.tunes.progression import Progression

TRIPS, CONTRADICTS = 4, 12  # half steps that a line seems further away for each place
LONG = Fraction(1)  # beats of a pickup that are heard against the chord


def marred(line: Line, window: Window, over: Progression) -> int:
    """Return how far away a line of a window seems for what mars it there, in half steps.

    Its letters trip the eye on the page of the tune, or a pickup speaks against what sounds.
    ``over`` is the tune.

    >>> from theorykit.lines.excerpts import between
    >>> from theorykit.tunes.charts import Chart
    >>> from theorykit.tunes.progression import two_five_one
    >>> over = Chart.of("C", "Em7", "Dm7 G7", "C6").progression
    >>> window = Window(Fraction(4), Fraction(8), Fraction(12), over.key, "", 2)
    >>> for pickup in ("B4 B4", "Bb4 Bb4"):
    ...     line = Line.parse(f"pickup 8th {pickup} | C5 A4 F4 D4 B4 D5 G4 F4 | whole E4",
    ...         between(over, window.start, window.end))
    ...     print(marred(line, window, over))
    0
    12
    """
    page = replace(line.progression, key=over.key)
    found = TRIPS * trips(Line(page, line.notes).readable)
    against = sum((note.beats for note in _against(line, window, over)), Fraction(0))
    return found + CONTRADICTS * (against >= LONG)


def _against(line: Line, window: Window, over: Progression) -> Iterator[TimedNote]:
    """Run through the notes of a pickup that the chord before a window has not in its scale."""
    for note in line.notes:
        if not -window.start <= note.start < 0:
            continue
        chord = over.chord_at(window.start + note.start).chord
        if chord.is_silent:
            continue
        scale = {(chord.root.semitone + one.semitone) % 12 for one in chord_scale(chord, over.key)}
        if note.pitch.midi % 12 not in scale:
            yield note
