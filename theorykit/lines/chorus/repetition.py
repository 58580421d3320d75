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
# Beats before a landing from which one hears how it is led to: three over two, a triplet.
TURNS = (
    {Fraction(2), Fraction(4, 3), Fraction(2, 3)},
    {Fraction(1), Fraction(2, 3), Fraction(1, 3)},
)
ROUND = 8  # phrases of which two may be led in alike

_Figure = tuple[tuple[Fraction, int], ...]


def is_stale(notes: Sequence[TimedNote], window: Window, told: Sequence[Phrase]) -> bool:
    """Tell whether notes have a figure before their landing that came often, or open as before.

    Three over two and a triplet there are heard as such, on whatever notes, and come twice in a
    round. ``notes`` are counted from the beginning of the window; ``told`` are the phrases before.
    """
    later = [(note.start + window.start, note) for note in notes]
    mine = set(_figures(later, window))
    said = Counter(
        figure
        for phrase in told
        for figure in set(_figures([(n.start, n) for n in phrase.notes], phrase.window))
    )
    again = _calls(notes) and any(_calls(phrase.notes) for phrase in told[-LAST + 1 :])
    before = [_turn([(n.start, n) for n in one.notes], one.window) for one in told]
    turn = _turn(later, window)
    stamped = turn > 0 and before[-ROUND:].count(turn) >= OFTEN
    return again or stamped or any(said[figure] >= OFTEN for figure in mine)


def _turn(notes: Sequence[tuple[Fraction, TimedNote]], window: Window) -> int:
    """Return which of the ``TURNS`` leads to a landing, which one hears at once, from 1; or 0."""
    before = {window.landing - start for start, _ in notes}
    return next((number for number, turn in enumerate(TURNS, 1) if before >= turn), 0)


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
