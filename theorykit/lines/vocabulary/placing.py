"""Placing phrases: a phrase out of a book over chords where it fits in length, tempo and harmony.

Short material fits a long bar: the phrase of a short ii-V stands over a whole bar of V, or in the
bar before I of a longer form (common practice). No phrase is squeezed into half its time, and none
loses its beginning or its end.
"""

from __future__ import annotations

from bisect import bisect_right
from dataclasses import replace
from fractions import Fraction
from itertools import pairwise

from theorykit.harmony.colours import Colour
from theorykit.lines.chord_palette import CHROMATIC, RUBS, ChordPalette, palettes
from theorykit.lines.placed import OFF_BEAT, beat_strength
from theorykit.lines.text import Line, TimedNote
from theorykit.notes.chord import Chord
from theorykit.tunes.families import stands_on
from theorykit.tunes.progression import Progression

FOREIGN = frozenset((CHROMATIC, RUBS))
SHORTEST = 0.09  # seconds: eleven notes a second are as many as fingers and tongues manage
STEP, NINTH, FOURTH_UP = 2, 2, 5  # half steps
BEAT = Fraction(1)


def placed_over(
    line: Line, progression: Progression, row: Colour | None = None, *, tempo: float = 120
) -> Line | None:
    """Return a phrase over other chords, its landing on the last of them; None if it does not fit.

    It is moved into the key of the chords and keeps its lengths. ``row`` is the colour of their
    last dominant, ``tempo`` in beats a minute.

    >>> from theorykit.tunes.charts import Chart
    >>> from theorykit.tunes.progression import two_five_one
    >>> line = Line.parse("8th A4 C5 F5 D5 B4 D5 B4 D5 | whole C5", two_five_one("C", "short"))
    >>> placed_over(line, Chart.of("F", "C7", "F6").progression).text
    '8th D5 F5 Bb5 G5 E5 G5 E5 G5 | whole F5'
    >>> print(placed_over(line, Chart.of("F", "Gm7 C7", "Em7").progression))
    None
    """
    if line.progression.key.mode != progression.key.mode or not line.notes:
        return None
    moved = line.transposed(progression.key)
    own, over = moved.progression.chords, progression.chords
    if len(own) < 2 or len(over) < 2:
        return None
    later = over[-1].start - own[-1].start
    notes = tuple(replace(note, start=note.start + later) for note in moved.notes)
    fits = (
        _has_room(notes, moved, progression),
        min(note.beats for note in notes) * 60 >= SHORTEST * tempo,
        _agrees(notes, moved, progression, later, row),
    )
    if not all(fits):
        return None
    end = progression.beats
    return Line(progression, tuple(replace(n, beats=min(n.beats, end - n.start)) for n in notes))


def _has_room(notes: tuple[TimedNote, ...], line: Line, over: Progression) -> bool:
    """Tell whether all notes begin over the chords; what was a pickup may be one again."""
    picks_up = line.notes[0].start < 0
    earliest = max(-BEAT * 2, 1 - over.bars[0].beats) if picks_up else Fraction(0)
    return notes[0].start >= earliest and notes[-1].start < over.beats


def _agrees(
    notes: tuple[TimedNote, ...], line: Line, over: Progression, later: Fraction, row: Colour | None
) -> bool:
    """Tell whether every note has its place in the harmony, and the landing is one."""
    chords = palettes(over, row)
    if not chords or chords[-1].placed.end < over.beats:
        return False
    lands = [n for n in notes if n.start <= chords[-1].placed.start < n.end]
    if not lands or not _rests(lands[0], chords[-1]):
        return False
    return all(
        _belongs(note, after, line.progression.chord_at(note.start - later).chord, chords, over)
        for note, after in pairwise((*notes, None))
        if note is not None
    )


def _rests(note: TimedNote, chord: ChordPalette) -> bool:
    """Tell whether a note is a tone of the chord or its 9."""
    sound = note.pitch.midi % 12
    nine = (sound - chord.placed.chord.root.semitone) % 12 == NINTH
    return chord.is_tone(sound) or (nine and chord.kinds[sound] not in FOREIGN)


def _belongs(
    note: TimedNote,
    after: TimedNote | None,
    own: Chord,
    chords: tuple[ChordPalette, ...],
    over: Progression,
) -> bool:
    """Tell whether a note fits where it stands: over its own chord, over the V of its ii, in scale.

    A note foreign to the chord may pass by step off the beat.
    """
    begun = [chord for chord in chords if chord.placed.start <= note.start]
    chord = begun[-1] if begun else chords[0]
    here = chord.placed.chord
    if own.is_silent or own == here or _is_two_of(own, here):
        return True
    if chord.kinds[note.pitch.midi % 12] not in FOREIGN:
        return True
    passes = after is not None and abs(after.pitch.midi - note.pitch.midi) <= STEP
    return passes and note.beats < BEAT and _is_off_beat(note, over)


def _is_two_of(own: Chord, here: Chord) -> bool:
    """Tell whether a chord is the ii of a dominant, or that dominant in another colour."""
    if not here.kind.is_dominant:
        return False
    if own.kind.is_dominant:
        return stands_on(own, here.root.semitone)
    return (here.root.semitone - own.root.semitone) % 12 == FOURTH_UP


def _is_off_beat(note: TimedNote, over: Progression) -> bool:
    """Tell whether a note begins off the beat."""
    edges = over.bar_starts
    bar = max(0, bisect_right(edges, note.start, hi=len(edges) - 1) - 1)
    length = edges[bar + 1] - edges[bar]
    return beat_strength((note.start - edges[bar]) % length, length) == OFF_BEAT
