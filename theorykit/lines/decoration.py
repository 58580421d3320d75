"""Decoration: guide tones with neighbours, enclosures and runs; a scale that falls through V."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Callable, Iterator
from dataclasses import replace
from fractions import Fraction

from theorykit.errors import TheoryError, shown
from theorykit.harmony.colours import Colour, colour as colour_named
from theorykit.harmony.tensions import degree_names
from theorykit.lines.chord_scale import chord_scale
from theorykit.lines.text import Line, TimedNote, half_step_name
from theorykit.notes.chord import Chord
from theorykit.notes.degree import Degree, above, degrees
from theorykit.notes.key import Key
from theorykit.notes.note import Note, Pitch
from theorykit.notes.scales import SCALES, ScaleRow, scale_row
from theorykit.tunes.progression import PlacedChord, Progression, two_five_one

__all__ = ["DECORATIONS", "decorated", "falling_scale", "scales_of_eight"]

EIGHTH = Fraction(1, 2)
MINOR_THIRD = Degree(3, -1)

Scale = tuple[Note, ...]


def decorated(line: Line, how: str = "enclosure", colour: Colour | str | None = None) -> Line:
    """Return a line of long notes with eighths that lead from each note to the next.

    ``how`` is ``"neighbour"`` (up a step and back), ``"enclosure"`` (a step above the next note,
    then a half step below it) or ``"scale run"`` (three steps of the scale to the next note). A
    note that comes again is led to by its neighbour. The scale over a dominant is that of the
    colour ``colour``, if one is given.

    >>> from theorykit.lines.guide_tones import guide_tone_lines
    >>> from theorykit.tunes.progression import two_five_one
    >>> first = guide_tone_lines(two_five_one("C", "short"), longest=4)[0]
    >>> for how in DECORATIONS:
    ...     print(decorated(first, how))
    quarter F4 8th G4 F4 quarter F4 8th G4 F4 | whole E4
    quarter F4 8th G4 F4 quarter F4 8th F4 D#4 | whole E4
    quarter F4 8th G4 F4 F4 A4 G4 F4 | whole E4
    """
    if not isinstance(how, str) or how not in _FIGURES:
        raise TheoryError(f"no such decoration: {shown(how)} (want {', '.join(DECORATIONS)})")
    row = None if colour is None else colour_named(colour)
    scales = _Scales(line.progression, row)
    notes: list[TimedNote] = []
    for note, following in zip(line.notes, line.notes[1:], strict=False):
        notes += _figure(note, following, _FIGURES[how], scales)
    return replace(line, notes=(*notes, *line.notes[-1:]))


class _Scales:
    """The scale over each chord of a progression."""

    def __init__(self, progression: Progression, row: Colour | None) -> None:
        self.key = progression.key
        self.row = row
        self.chords = progression.chords
        self.starts = [chord.start for chord in self.chords]

    def at(self, beat: Fraction) -> Scale:
        """Return the notes of the scale at a beat."""
        index = max(0, bisect_right(self.starts, beat) - 1)
        chord = self.chords[index].chord
        after: list[PlacedChord] = [c for c in self.chords[index + 1 :] if c.chord != chord][:1]
        minor = any(MINOR_THIRD in placed.chord.degrees for placed in after)
        found = chord_scale(chord, self.key, self.row, minor=minor)
        return tuple(above(chord.root, degree) for degree in found)


Figure = Callable[[TimedNote, TimedNote, _Scales], tuple[Pitch, ...]]


def _figure(
    note: TimedNote, following: TimedNote, figure: Figure, scales: _Scales
) -> Iterator[TimedNote]:
    """Run through a note and the eighths that lead on; a note too short for them stays alone."""
    stays = following.pitch.midi == note.pitch.midi
    eighths = (_neighbour if stays else figure)(note, following, scales)
    rest = note.beats - len(eighths) * EIGHTH
    if following.start > note.end or rest < EIGHTH:
        yield note
        return
    yield replace(note, beats=rest)
    for place, pitch in enumerate(eighths):
        yield TimedNote(pitch, note.start + rest + place * EIGHTH, EIGHTH)


def _next_in(scale: Scale, midi: int, rising: bool) -> Pitch:
    """Return the next note of a scale above or below a pitch."""
    way = 1 if rising else -1
    by_class = {note.semitone: note for note in scale}
    far = next(n for n in range(1, 13) if (midi + way * n) % 12 in by_class)
    place = midi + way * far
    return Pitch.numbered(by_class[place % 12], place)


def _neighbour(note: TimedNote, following: TimedNote, scales: _Scales) -> tuple[Pitch, ...]:
    """Step up and come back."""
    return _next_in(scales.at(note.start), note.pitch.midi, True), note.pitch


def _enclosure(note: TimedNote, following: TimedNote, scales: _Scales) -> tuple[Pitch, ...]:
    """Close in on the next note: a step of its scale above, a half step below."""
    goal = following.pitch
    upper = _next_in(scales.at(following.start), goal.midi, True)
    lower = half_step_name(goal.note, True, scales.key.notes)
    return upper, Pitch.numbered(lower, goal.midi - 1)


def _scale_run(note: TimedNote, following: TimedNote, scales: _Scales) -> tuple[Pitch, ...]:
    """Run to the next note by three steps, from the side that lies nearer."""
    scale, goal = scales.at(note.start), following.pitch.midi
    runs = []
    for rising in (True, False):
        run: list[Pitch] = []
        for _ in range(3):
            run.append(_next_in(scale, run[-1].midi if run else goal, rising))
        runs.append(tuple(reversed(run)))
    return min(runs, key=lambda run: abs(run[0].midi - note.pitch.midi))


_FIGURES: dict[str, Figure] = {
    "neighbour": _neighbour,
    "enclosure": _enclosure,
    "scale run": _scale_run,
}
DECORATIONS = tuple(_FIGURES)


EIGHTHS = 8
# === A falling scale ===

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
