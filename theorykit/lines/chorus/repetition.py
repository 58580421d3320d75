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
FIFTH = 7  # half steps
# The degrees over V by half steps above its root, whatever their sign: 3 13 9 is heard in 3 b13 b9.
NUMBERS = (1, 9, 9, 9, 3, 11, 11, 5, 13, 13, 7, 7)

_Figure = tuple[tuple[Fraction, int], ...]


def is_stale(notes: Sequence[TimedNote], window: Window, told: Sequence[Phrase]) -> bool:
    """Tell whether notes have a figure before their landing that came often, or open as before.

    A triplet or three over two there is heard on whatever notes, the same three degrees in whatever
    rhythm: they come twice in a round. ``notes`` are counted from the beginning of the window;
    ``told`` are the phrases before.
    """
    later = [(note.start + window.start, note) for note in notes]
    before = [([(note.start, note) for note in one.notes], one.window) for one in told]
    said = Counter(figure for one in before for figure in set(_figures(*one)))
    recent = [set(_ways(*one)) for one in before[-ROUND:]]
    again = _calls(notes) and any(_calls(phrase.notes) for phrase in told[-LAST + 1 :])
    stamped = any(sum(way in one for one in recent) >= OFTEN for way in _ways(later, window))
    return again or stamped or any(said[one] >= OFTEN for one in set(_figures(later, window)))


def _ways(
    notes: Sequence[tuple[Fraction, TimedNote]], window: Window
) -> Iterator[tuple[Fraction | int, ...]]:
    """Run through the ways in which notes are heard to lead to a landing.

    Those are the turns that they make, and the last three degrees over the V of the key.
    """
    before = {window.landing - start for start, _ in notes}
    yield from (tuple(sorted(turn)) for turn in TURNS if before >= turn)
    root = window.key.tonic.semitone + FIFTH
    midis = [note.pitch.midi for start, note in notes if start < window.landing]
    yield tuple(NUMBERS[(midi - root) % OCTAVE] for midi in midis[-NOTES:])


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
