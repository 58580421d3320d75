"""Model bars: a bar over V that spells a colour as ``read_line`` reads it, and its landing."""

from __future__ import annotations

from collections.abc import Iterator
from functools import lru_cache

from theorykit.harmony.colours import Colour
from theorykit.lines.reading import read_line
from theorykit.lines.text import Line, TimedNote
from theorykit.notes.chord import Chord
from theorykit.notes.degree import Degree, written_above
from theorykit.notes.key import Key
from theorykit.notes.note import Note, Pitch
from theorykit.study.questions.colour_judges import tensions_of
from theorykit.study.questions.heard import nearest
from theorykit.tunes.progression import Bar, Progression

FEW = 4  # degrees that are played as quarters; more of them are played as eighths
START = {-1: 74, 1: 64}  # MIDI: about where a falling and a rising bar begin
Run = tuple[tuple[Degree, ...], int]  # degrees in their order, and the way they go


def model_bar(over: Progression, row: Colour) -> Line:
    """Return a bar that runs through a colour of V and lands on the nearest tone of I.

    ``over`` is a bar of V and one of I. It falls if a falling bar can spell the colour.

    >>> from theorykit.harmony.colours import colour
    >>> over = Progression(Key.parse("C"), (Bar.even("G7"), Bar.even("Cmaj7")))
    >>> model_bar(over, colour("b9 13")).text
    'quarter E5 B4 Ab4 E4 | whole G4'
    """
    v, i = (placed.chord for placed in over.chords)
    return _played(over, _spelling_run(row, v.on(Note("G")), i.on(Note("C"))))


@lru_cache(maxsize=256)
def _spelling_run(row: Colour, v: Chord, i: Chord) -> Run:
    """Return the first run whose bar is read as the colour; the key does not matter for that."""
    mode = "minor" if Degree(3, -1) in i.degrees else "major"
    over = Progression(Key(i.root, mode), (Bar.even(v), Bar.even(i)))
    runs = list(_runs(row.degrees))
    return next((run for run in runs if spells(_played(over, run), row)), runs[0])


def spells(line: Line, row: Colour) -> bool:
    """Tell whether a line is read as spelling what a colour adds, and meets the change to I."""
    reading = read_line(line)
    found = reading.dominants[0] if reading.dominants else None
    if found is None or found.colour is None or not found.is_exact:
        return False
    same = tensions_of(found.colour.degrees) == tensions_of(row.degrees)
    return same and reading.changes[-1].meets


def _runs(degrees: tuple[Degree, ...]) -> Iterator[Run]:
    """Run through the orders to try: falling, then rising, from each degree."""
    rising = tuple(sorted(degrees, key=lambda degree: degree.semitone))
    for way, row in ((-1, rising[::-1]), (1, rising)):
        for first in range(len(row)):
            yield (*row[first:], *row[:first]), way


def _played(over: Progression, run: Run) -> Line:
    """Return the bar of a run, in quarters or eighths, and the landing."""
    degrees, way = run
    v, i = (placed.chord for placed in over.chords)
    count = FEW if len(degrees) <= FEW else 2 * FEW
    length = over.bars[0].beats / count
    pitches = [nearest(written_above(v.root, degrees[0]), START[way])]
    for place in range(1, count):
        note = written_above(v.root, degrees[place % len(degrees)])
        pitches.append(_next(pitches[-1].midi, note, way))
    notes = [TimedNote(pitch, length * place, length) for place, pitch in enumerate(pitches)]
    goal = _landing(pitches[-1].midi, i)
    return Line(over, (*notes, TimedNote(goal, over.bars[0].beats, over.bars[1].beats)))


def _next(midi: int, note: Note, way: int) -> Pitch:
    """Return the next pitch of a note below or above a MIDI number."""
    step = (way * (note.semitone - midi)) % 12 or 12
    return Pitch.numbered(note, midi + way * step)


def _landing(midi: int, i: Chord) -> Pitch:
    """Return the tone of I that is nearest to a MIDI number without being it."""
    goals = [nearest(note, midi) for note in i.notes]
    return min(goals, key=lambda pitch: (pitch.midi == midi, abs(pitch.midi - midi)))
