"""Repetition: what a phrase says again that was said in a chorus before.

A motif may come back; the same notes over each V are a stamp.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from fractions import Fraction

from theorykit.lines.chorus.windows import Phrase, Window
from theorykit.lines.text import TimedNote

OFTEN = 2  # times that a figure over V may come
NOTES = 3  # of a figure
LAST = 4  # phrases of which one may open on a note struck twice
OCTAVE = 12
THREE_OVER_TWO = {Fraction(2), Fraction(4, 3), Fraction(2, 3)}  # beats before a landing

_Figure = tuple[tuple[Fraction, int], ...]


def is_stale(notes: Sequence[TimedNote], window: Window, told: Sequence[Phrase]) -> bool:
    """Tell whether notes have a figure or three over two before their landing that came often, or
    open as before.

    ``notes`` are counted from the beginning of the window; ``told`` are the phrases before.
    """
    later = [(note.start + window.start, note) for note in notes]
    mine = set(_figures(later, window))
    said = Counter(
        figure
        for phrase in told
        for figure in set(_figures([(n.start, n) for n in phrase.notes], phrase.window))
    )
    again = _calls(notes) and any(_calls(phrase.notes) for phrase in told[-LAST + 1 :])
    turned = sum(_is_turned([(n.start, n) for n in one.notes], one.window) for one in told)
    stamped = turned >= OFTEN and _is_turned(later, window)
    return again or stamped or any(said[figure] >= OFTEN for figure in mine)


def _is_turned(notes: Sequence[tuple[Fraction, TimedNote]], window: Window) -> bool:
    """Tell whether three notes over two beats lead to a landing, which one hears at once."""
    return {window.landing - start for start, _ in notes} >= THREE_OVER_TWO


def _figures(notes: Sequence[tuple[Fraction, TimedNote]], window: Window) -> Iterator[_Figure]:
    """Run through three notes at a time before the landing: places, and half steps above its key.

    Figures that are the same in the key of their cadence sound the same.
    """
    home = window.key.tonic.semitone
    before = [
        (start - window.landing, (note.pitch.midi - home) % OCTAVE)
        for start, note in notes
        if start < window.landing
    ]
    return (tuple(before[at : at + NOTES]) for at in range(len(before) - NOTES + 1))


def _calls(notes: Sequence[TimedNote]) -> bool:
    """Tell whether a phrase opens on a note that is struck twice."""
    return len(notes) > 1 and notes[0].pitch.midi == notes[1].pitch.midi
