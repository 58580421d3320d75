"""The keyboard of a chord alone."""

from __future__ import annotations

from theorykit.notes.chord import Chord
from theorykit.notes.pitch import Pitch
from theorykit.views.keyboard import KeyboardView, LitKey

__all__ = ["plain_keyboard"]

LOWEST_ROOT = 43  # MIDI: the root lies in the octave that begins at G2
LOW_KEYS, HIGH_KEYS = (0, 5), (4, 11)  # where a drawn keyboard may begin and end: C, F; E, B


def plain_keyboard(chord: Chord) -> KeyboardView:
    """Return the keyboard of a chord from its root up; N.C. lights nothing.

    >>> view = plain_keyboard(Chord.parse("Db7"))
    >>> [(key.name, key.degree) for key in view.lit], view.alt
    ([('D♭', '1'), ('F', '3'), ('A♭', '5'), ('C♭', '♭7')], 'Keyboard: D♭7 is D♭, F, A♭, C♭.')
    """
    root = Pitch.at_or_above(chord.root, LOWEST_ROOT).midi
    lit = tuple(
        LitKey(root + degree.semitone, note.pretty, degree.pretty, "chord")
        for degree, note in zip(chord.degrees, chord.notes, strict=True)
    )
    keys = tuple(sorted(lit, key=lambda key: key.midi))
    low = keys[0].midi if keys else root
    high = max(keys[-1].midi if keys else root, low + 11)
    return KeyboardView(
        next(midi for midi in range(low, low - 12, -1) if midi % 12 in LOW_KEYS),
        next(midi for midi in range(high, high + 12) if midi % 12 in HIGH_KEYS),
        keys,
        f"Keyboard: {chord.pretty} is {', '.join(key.name for key in keys) or 'silent'}.",
    )
