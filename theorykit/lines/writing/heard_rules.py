"""Rules of the harmony that is heard in a written line: they read any finished line."""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from itertools import pairwise

from theorykit.lines.chord_palette import ChordPalette
from theorykit.lines.text import TimedNote

BEAT = Fraction(1)


def is_not_undone(notes: Sequence[TimedNote], chord: ChordPalette) -> bool:
    """Tell whether nothing sounds over a chord that its colour replaces: a 3rd under an 11.

    >>> from theorykit.harmony.colours import colour
    >>> from theorykit.lines.chord_palette import palettes
    >>> from theorykit.lines.text import Line
    >>> from theorykit.tunes.progression import two_five_one
    >>> over = two_five_one("C", "short")
    >>> line = Line.parse("8th D5 F5 A5 C6 B5 A5 F5 D5 | whole E5", over)
    >>> is_not_undone(line.notes, palettes(over, colour("suspended"))[1])
    False
    """
    return not any(note.pitch.midi % 12 in chord.barred for note in _over(notes, chord))


def keeps_to_scale(notes: Sequence[TimedNote], chord: ChordPalette) -> bool:
    """Tell whether no note outside a colour that is a scale is long, or the last over its chord."""
    over = _over(notes, chord)
    return not any(
        note.pitch.midi % 12 in chord.unscaled and (note.beats >= BEAT or note == over[-1])
        for note in over
    )


def is_slid_into(notes: Sequence[TimedNote], chord: ChordPalette) -> bool:
    """Tell whether the major 3rd over a minor chord comes and goes by half step.

    >>> from theorykit.lines.chord_palette import palettes
    >>> from theorykit.lines.text import Line
    >>> from theorykit.tunes.progression import two_five_one
    >>> over = two_five_one("C", "short")
    >>> for text in ("8th D5 F5 F#5 G5 B5 G5 F5 D5", "8th A5 F#5 F5 D5 B4 D5 F5 D5"):
    ...     line = Line.parse(f"{text} | whole E5", over)
    ...     print(is_slid_into(line.notes, palettes(over, None)[0]))
    True
    False
    """
    placed = chord.placed
    moves = [
        (before.pitch.midi - note.pitch.midi, note)
        for pair in pairwise(notes)
        for before, note in (pair, pair[::-1])
    ]
    return all(
        abs(size) <= 1
        for size, note in moves
        if placed.start <= note.start < placed.end and note.pitch.midi % 12 == chord.sweet
    )


def _over(notes: Sequence[TimedNote], chord: ChordPalette) -> list[TimedNote]:
    """Return the notes that begin while a chord sounds."""
    placed = chord.placed
    return [note for note in notes if placed.start <= note.start < placed.end]
