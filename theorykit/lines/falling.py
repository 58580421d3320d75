"""A scale that falls in eighths through the V bar: eight notes for eight places."""

from __future__ import annotations

from fractions import Fraction

from theorykit.errors import TheoryError
from theorykit.harmony.tensions import degree_names
from theorykit.lines.line import Line, TimedNote
from theorykit.notes.chord import Chord
from theorykit.notes.degree import Degree, degrees
from theorykit.notes.key import Key
from theorykit.notes.pitch import Pitch
from theorykit.notes.scales import SCALES, ScaleRow, scale_row
from theorykit.notes.spelling import above
from theorykit.tunes.progression import PlacedChord, two_five_one

__all__ = ["falling_scale", "scales_of_eight"]

EIGHTHS = 8
EIGHTH = Fraction(1, 2)
OCTAVE = 12  # half steps
LOWEST_START = 70  # MIDI: the scale begins on the root of V in the octave that begins at B flat 4
FIFTH = Degree(5)
FRAME = frozenset(degrees("1 3 b7"))


def scales_of_eight() -> tuple[str, ...]:
    """Return the names of the scales that fill a bar of eighths over a dominant seventh chord.

    They have eight notes, the root, the 3 and the b7 of the chord among them.

    >>> scales_of_eight()
    ('half-whole diminished', 'bebop dominant')
    """
    return tuple(row.name for row in SCALES if _fills_the_bar(row))


def _fills_the_bar(row: ScaleRow) -> bool:
    """Tell whether a scale has a note for each eighth, and the frame of a dominant seventh."""
    return len(row.degrees) == EIGHTHS and set(row.degrees) >= FRAME


def falling_scale(key: Key | str, form: str = "long", scale: str = "half-whole diminished") -> Line:
    """Return a scale falling in eighths from the root of V through the V bar, and its landing.

    The ii rises to it from its root over its 3rd; after the eight notes the next step down is the
    root of V again, which is the 5th of I. In the short form ii and V share the bar of the scale,
    in the split form a short ii-V does: the eighths are the same in all three.

    >>> falling_scale("C").text
    'half D5 F5 | 8th G5 F5 E5 D5 C#5 B4 A#4 Ab4 | whole G4'
    >>> falling_scale("C", "short").text
    '8th G5 F5 E5 D5 C#5 B4 A#4 Ab4 | whole G4'
    >>> falling_scale("C", scale="altered")
    Traceback (most recent call last):
    theorykit.errors.TheoryError: the altered scale does not fill a bar of eighths over V (want a \
scale of eight notes with the 1, 3 and b7: half-whole diminished or bebop dominant)
    """
    row = scale_row(scale)
    if not _fills_the_bar(row):
        raise TheoryError(
            f"the {row.name} scale does not fill a bar of eighths over V (want a scale of eight "
            f"notes with the 1, 3 and b7: {' or '.join(scales_of_eight())})"
        )
    over = two_five_one(key, form)
    first, *_, dominant, home = over.chords
    start = dominant.end - EIGHTHS * EIGHTH
    eighths = _eighths(dominant.chord, row, start)
    rise = _rise(first, eighths[0].pitch.midi) if start > 0 else ()
    return Line(over, (*rise, *eighths, _landing(home, eighths[0].pitch.midi - OCTAVE)))


def _eighths(dominant: Chord, row: ScaleRow, start: Fraction) -> tuple[TimedNote, ...]:
    """Return the root, then the other notes of the scale from the top down."""
    top = Pitch.at_or_above(dominant.root, LOWEST_START).midi
    root, *others = (degree.semitone for degree in row.degrees)
    names = degree_names(dominant)
    return tuple(
        TimedNote(
            Pitch.numbered(above(dominant.root, names[sound]), top - (-sound) % OCTAVE),
            start + place * EIGHTH,
            EIGHTH,
        )
        for place, sound in enumerate((root, *sorted(others, reverse=True)))
    )


def _rise(first: PlacedChord, goal: int) -> tuple[TimedNote, ...]:
    """Return the root and the 3rd of ii below the first note of the scale, half a bar each."""
    notes = first.chord.notes[:2]
    half = first.beats / 2
    return tuple(
        TimedNote(
            Pitch.numbered(note, goal - (goal - note.semitone) % OCTAVE),
            first.start + place * half,
            half,
        )
        for place, note in enumerate(notes)
    )


def _landing(home: PlacedChord, midi: int) -> TimedNote:
    """Return the 5th of I, held through its bar."""
    return TimedNote(Pitch.numbered(above(home.chord.root, FIFTH), midi), home.start, home.beats)
