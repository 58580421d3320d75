"""The tonic bar of a written line: the notes from the landing on stay at home."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from itertools import pairwise

from theorykit.lines.chord_palette import ChordPalette
from theorykit.lines.text import TimedNote

HELD = Fraction(2)  # beats: a 7, 6 or 9 that is heard as meant
BEAT = Fraction(1)
STEP, OCTAVE = 2, 12
AT_REST = (1, 3, 5)


def at_rest(chord: ChordPalette, midi: int) -> bool:
    """Tell whether a pitch is the root, 3rd or 5th of a chord.

    >>> from theorykit.lines.chord_palette import palettes
    >>> from theorykit.tunes.progression import two_five_one
    >>> home = palettes(two_five_one("C"), None)[-1]
    >>> [at_rest(home, midi) for midi in (60, 71, 62)]
    [True, False, False]
    """
    own = chord.placed.chord
    sound = (midi - own.root.semitone) % OCTAVE
    return any(d.semitone == sound and d.number in AT_REST for d in own.degrees)


def comes_home(notes: Sequence[TimedNote], v: ChordPalette, home: ChordPalette) -> bool:
    """Tell whether the last chord is heard as home.

    A line that lands on the 7, 6 or 9 goes on to a root, 3rd or 5th, or holds the note; it does
    not end on a short one of these. What is no tone of the chord moves on by a step.

    >>> from theorykit.lines.chord_palette import palettes
    >>> from theorykit.lines.text import Line
    >>> from theorykit.tunes.progression import two_five_one
    >>> over = two_five_one("C", "short")
    >>> chords = palettes(over, None)[-2:]
    >>> for text in ("quarter B4 D5", "half B4", "quarter B4 C5", "quarter A4 E5"):
    ...     line = Line.parse(f"8th D5 F5 A5 C6 B5 F5 D5 C5 | {text} half rest", over)
    ...     print(comes_home(line.notes, *chords))
    False
    True
    True
    False
    """
    last = [note for note in notes if note.end > home.placed.start]
    if not v.resolves or not last:
        return True
    if not any(at_rest(home, note.pitch.midi) for note in last):
        return len(last) == 1 and last[0].beats >= HELD
    *_, end = last
    if not at_rest(home, end.pitch.midi) and end.beats < BEAT:
        return False
    return all(
        home.is_tone(a.pitch.midi % OCTAVE) or abs(b.pitch.midi - a.pitch.midi) <= STEP
        for a, b in pairwise(last)
    )
