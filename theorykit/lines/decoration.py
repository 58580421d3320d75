"""Guide-tone lines decorated by rule: neighbours, enclosures, scale runs to the next note."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Callable, Iterator
from dataclasses import replace
from fractions import Fraction

from theorykit.errors import TheoryError, shown
from theorykit.harmony.colours import Colour
from theorykit.harmony.colours import colour as colour_named
from theorykit.lines.chord_scale import chord_scale
from theorykit.lines.line import Line
from theorykit.lines.naming import half_step_name
from theorykit.lines.timed import TimedNote
from theorykit.notes.degree import Degree
from theorykit.notes.note import Note
from theorykit.notes.pitch import Pitch
from theorykit.notes.spelling import above
from theorykit.tunes.progression import PlacedChord, Progression

__all__ = ["DECORATIONS", "decorated"]

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
