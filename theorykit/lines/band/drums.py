"""Drums: the beats of a bar in twos and threes, ride and hi-hat on them, and a count.

Source of the numbers and their names: General MIDI Level 1 percussion map (MMA, 1991). Source of
the patterns: common practice.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from theorykit.lines.parts import Sounding
from theorykit.tunes.progression import PlacedChord, Progression

# Bars by their length in beats, common practice; any other bar falls into twos and what is left.
GROUPS = {3: (3,), 5: (3, 2), 6: (3, 3), 7: (2, 2, 3), 9: (3, 3, 3), 12: (3, 3, 3, 3)}


def groups(beats: Fraction) -> tuple[Fraction, ...]:
    """Return the lengths into which a bar falls.

    >>> [str(length) for length in groups(Fraction(5))], [str(g) for g in groups(Fraction(7, 2))]
    (['3', '2'], ['2', '3/2'])
    """
    known = GROUPS.get(int(beats)) if beats.denominator == 1 else None
    if known is not None:
        return tuple(map(Fraction, known))
    twos, rest = divmod(beats, 2)
    return (Fraction(2),) * twos + ((rest,) if rest else ())


def group_starts(progression: Progression) -> Iterator[tuple[Fraction, Fraction]]:
    """Yield where each group of a progression begins, and its length."""
    for start, bar in zip(progression.bar_starts, progression.bars, strict=False):
        at = start
        for length in groups(bar.beats):
            yield at, length
            at += length


def beats_of(progression: Progression, placed: PlacedChord) -> tuple[Fraction, ...]:
    """Return the moments of a chord on which a beat falls; its own start is always the first.

    >>> from theorykit.tunes.progression import two_five_one
    >>> over = two_five_one("C", "short")
    >>> [str(beat) for beat in beats_of(over, over.chords[1])]
    ['2', '3']
    """
    bar = progression.bar_starts[placed.bar]
    first = bar + (placed.start - bar) // 1 + 1
    count = -((first - placed.end) // 1) if first < placed.end else 0
    return (placed.start, *(first + step for step in range(count)))


SIDE_STICK, PEDAL_HI_HAT, RIDE_CYMBAL_1 = 37, 44, 51

SHORT = Fraction(1, 4)  # beats: a struck cymbal rings by itself
SKIP = Fraction(1, 2)
RIDE, RIDE_ACCENT, RIDE_SKIP, HI_HAT, CLICK = 74, 84, 62, 70, 64


def time_keeping(progression: Progression) -> tuple[Sounding, ...]:
    """Return ride and hi-hat over a progression, in written beats.

    The ride plays every beat, and after the second beat of each group of two the skipped note that
    leads to the next; the hi-hat closes on the second beat of each group: on 2 and 4 in 4/4, on 2
    in 3/4.

    >>> from theorykit.tunes.progression import two_five_one
    >>> notes = time_keeping(two_five_one("C"))
    >>> [str(n.start + 1) for n in notes if n.midi == PEDAL_HI_HAT and n.start < 4]
    ['2', '4']
    >>> [str(n.start + 1) for n in notes if n.midi == RIDE_CYMBAL_1 and n.start < 4]
    ['1', '2', '5/2', '3', '4', '9/2']
    """
    notes = (note for start, length in group_starts(progression) for note in _group(start, length))
    return tuple(sorted(notes, key=lambda note: (note.start, note.midi)))


def _group(start: Fraction, length: Fraction) -> Iterator[Sounding]:
    """Yield what is struck in one group of beats."""
    whole = -(-length // 1)
    for beat in range(whole):
        second = beat == 1
        yield Sounding(start + beat, SHORT, RIDE_CYMBAL_1, RIDE_ACCENT if second else RIDE)
        if second:
            yield Sounding(start + beat, SHORT, PEDAL_HI_HAT, HI_HAT)
            if length >= 2:
                yield Sounding(start + beat + SKIP, SHORT, RIDE_CYMBAL_1, RIDE_SKIP)


def count(beats: Fraction, bars: int) -> tuple[Sounding, ...]:
    """Return clicks for some bars before the music: the last bar in beats, those before in groups.

    >>> [str(note.start) for note in count(Fraction(4), 2)]
    ['0', '2', '4', '5', '6', '7']
    """
    notes = []
    for bar in range(bars):
        step = Fraction(1) if bar == bars - 1 or beats % 2 else Fraction(2)
        strokes = -(-beats // step)
        notes += [
            Sounding(bar * beats + step * stroke, SHORT, SIDE_STICK, CLICK)
            for stroke in range(strokes)
        ]
    return tuple(notes)
