"""Mending: one note of a line moved, split, joined or taken out, the others left as they are."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction

from theorykit.errors import TheoryError, expect, shown
from theorykit.lines.taking.names_of_sounds import spelled_pitches
from theorykit.lines.text import HIGHEST_MIDI, Line, TimedNote

GRID = Fraction(1, 2)  # beats by which a note is moved
SHORTEST = Fraction(1, 2)  # beats: a shorter note is not split


def mended(line: Line, place: int, way: str) -> Line:
    """Return a line with one note mended; ``place`` counts from 0, ``way`` is one of ``WAYS``.

    A note keeps its length when it is moved in time, and goes only where there is room. A new
    pitch is named over its chord and beside its neighbours, which keep their names.

    >>> from theorykit.tunes.progression import two_five_one
    >>> line = Line.parse("half F4 quarter A4 B4 | whole C5", two_five_one("C", "short"))
    >>> mended(line, 2, "half step down").text
    'half F4 quarter A4 Bb4 | whole C5'
    >>> mended(line, 0, "split").text, mended(line, 1, "join with the next").text
    ('quarter F4 F4 A4 B4 | whole C5', 'half F4 A4 | whole C5')
    """
    expect(line, Line, "a line", "a Line, such as Line.parse gives")
    if way not in _WAYS:
        raise TheoryError(f"no such way to mend: {shown(way)} (want {', '.join(WAYS)})")
    if not isinstance(place, int) or not 0 <= place < len(line.notes):
        raise TheoryError(f"no such note: {shown(place)} (want 0 to {len(line.notes) - 1})")
    return _WAYS[way](line, place)


def _pitched(half_steps: int) -> Callable[[Line, int], Line]:
    """Return what moves a note up or down by half steps."""

    def act(line: Line, place: int) -> Line:
        midis = [note.pitch.midi for note in line.notes]
        midis[place] += half_steps
        if not 0 <= midis[place] <= HIGHEST_MIDI:
            raise TheoryError(f"no such pitch: MIDI number {midis[place]} (want C-1 to G9)")
        pitches = spelled_pitches(midis, [note.start for note in line.notes], line.progression)
        return _with(line, place, (replace(line.notes[place], pitch=pitches[place]),))

    return act


def _moved(beats: Fraction) -> Callable[[Line, int], Line]:
    """Return what moves a note in time, where there is room."""

    def act(line: Line, place: int) -> Line:
        note = line.notes[place]
        return _with(line, place, (replace(note, start=note.start + beats),))

    return act


def _split(line: Line, place: int) -> Line:
    """Strike a note twice, the second time at its middle."""
    note, half = line.notes[place], line.notes[place].beats / 2
    if note.beats < SHORTEST:
        raise TheoryError("this note is too short to be split (want an eighth or longer)")
    again = TimedNote(note.pitch, note.start + half, half)
    return _with(line, place, (replace(note, beats=half), again))


def _joined(line: Line, place: int) -> Line:
    """Hold a note to the end of the next one, which is not struck any more."""
    if place + 1 == len(line.notes):
        raise TheoryError("this is the last note (want one before it)")
    note, after = line.notes[place : place + 2]
    return _with(line, place, (replace(note, beats=after.end - note.start),), gone=2)


def _deleted(line: Line, place: int) -> Line:
    """Leave a note out."""
    return _with(line, place, ())


def _with(line: Line, place: int, notes: tuple[TimedNote, ...], gone: int = 1) -> Line:
    """Return a line with other notes in the place of some."""
    kept = (*line.notes[:place], *notes, *line.notes[place + gone :])
    return replace(line, notes=kept)


_WAYS: dict[str, Callable[[Line, int], Line]] = {
    "half step up": _pitched(1),
    "half step down": _pitched(-1),
    "octave up": _pitched(12),
    "octave down": _pitched(-12),
    "earlier": _moved(-GRID),
    "later": _moved(GRID),
    "split": _split,
    "join with the next": _joined,
    "delete": _deleted,
}
WAYS = tuple(_WAYS)
