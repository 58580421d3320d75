"""What every written line keeps: the rules, checked on the finished line.

The writer's search is built so that its lines keep them; this is the proof, line by line, and it
reads any line over a progression with a dominant that goes on to another chord.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from itertools import pairwise

from theorykit.harmony.colours import Colour
from theorykit.lines.line import Line
from theorykit.lines.palette import ChordPalette, palettes
from theorykit.lines.timed import TimedNote

__all__ = ["RULES", "broken_rules"]

EARLY, LATE = Fraction(1, 2), Fraction(1)  # beats before and after a change that are near it
STEP = 2
FIFTH = 7
OCTAVE = 12
RULES = (
    "a chord tone sounds near every change of chord",
    "every hallmark of the colour sounds over its dominant",
    "a dominant goes on by a whole step at most, onto a chord tone or the 9, on the beat",
    "every note lies in the range",
    "no leap is wider than an octave",
    "a leap over a fifth is answered by a step back",
    "no note comes more than twice in a row",
)


def broken_rules(line: Line, row: Colour | None, compass: tuple[int, int]) -> tuple[str, ...]:
    """Return those of ``RULES`` that a line breaks; ``compass`` is the range as MIDI numbers.

    >>> from theorykit.harmony.colours import colour
    >>> from theorykit.tunes.progression import two_five_one
    >>> over, row = two_five_one("C", "short"), colour("b9 13")
    >>> line = Line.parse("8th A4 C5 F5 D5 B4 Ab4 E4 D4 | whole C4", over)
    >>> broken_rules(line, row, (58, 82))
    ()
    >>> line = Line.parse("8th A4 C5 F5 D5 B4 D5 E5 B4 | whole F5", over)
    >>> broken_rules(line, row, (58, 82))
    ('every hallmark of the colour sounds over its dominant', 'a dominant goes on by a whole step \
at most, onto a chord tone or the 9, on the beat')
    """
    chords = palettes(line.progression, row)
    sizes = [b.pitch.midi - a.pitch.midi for a, b in pairwise(line.notes)]
    kept = (
        all(_is_met(line.notes, chord) for chord in chords[1:]),
        all(_is_coloured(line.notes, chord) for chord in chords),
        all(_resolves(line.notes, chord) for a, chord in pairwise(chords) if a.resolves),
        all(compass[0] <= note.pitch.midi <= compass[1] for note in line.notes),
        all(abs(size) <= OCTAVE for size in sizes),
        _answered(sizes),
        not any(a == b == 0 for a, b in pairwise(sizes)),
    )
    return tuple(rule for rule, holds in zip(RULES, kept, strict=True) if not holds)


def _is_met(notes: Sequence[TimedNote], chord: ChordPalette) -> bool:
    """Tell whether a tone of the chord begins near the change, or is held into it."""
    change = chord.placed.start
    return any(
        chord.is_tone(note.pitch.midi % 12)
        for note in notes
        if (note.start >= change - EARLY or note.end > change) and note.start <= change + LATE
    )


def _is_coloured(notes: Sequence[TimedNote], chord: ChordPalette) -> bool:
    """Tell whether all hallmarks sound while the chord does."""
    over = (n for n in notes if chord.placed.start <= n.start < chord.placed.end)
    return set(chord.hallmarks) <= {note.pitch.midi % 12 for note in over}


def _resolves(notes: Sequence[TimedNote], chord: ChordPalette) -> bool:
    """Tell how a line goes from a dominant into the next chord."""
    before = [note for note in notes if note.start < chord.placed.start]
    first = next((note for note in notes if note.start == chord.placed.start), None)
    held = before and before[-1].end > chord.placed.start
    landing = before[-1] if held else first
    if landing is None or not before:
        return False
    near = abs(landing.pitch.midi - before[-1].pitch.midi) <= STEP
    sound = (landing.pitch.midi - chord.placed.chord.root.semitone) % 12
    return near and (chord.is_tone(landing.pitch.midi % 12) or sound == STEP)


def _answered(sizes: Sequence[int]) -> bool:
    """Tell whether a step back follows every leap over a fifth."""
    return all(
        abs(size) <= FIFTH or (size * back < 0 and abs(back) <= STEP)
        for size, back in pairwise([*sizes, 0])
    )
