"""Mending: one note of a line moved, split, joined or taken out, the others left as they are."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from fractions import Fraction

from theorykit.errors import TheoryError, expect, shown
from theorykit.lines.reading import place_words
from theorykit.lines.taking.names_of_sounds import spelled_pitches
from theorykit.lines.taking.whole_lines import line_moved
from theorykit.lines.text import HIGHEST_MIDI, Line, TimedNote
from theorykit.notes.note import pretty_accidentals
from theorykit.notes.reader import READERS, Reader

GRID = Fraction(1, 2)  # beats by which a note is moved
SHORTEST = Fraction(1, 2)  # beats: a shorter note is not split


def mended(line: Line, place: int, way: str, reader: Reader | str = READERS[0]) -> Line:
    """Return a line with one note mended; ``place`` counts from 0, ``way`` is one of ``WAYS``.

    A note that is moved in time keeps its length where there is room, or where its neighbour can
    give way and stays an eighth at least; else it is held as long as before, and begins later. A
    new pitch is named over its chord and beside its neighbours, which keep their names. Refusals
    have the names of a reader's page.

    >>> from theorykit.tunes.progression import two_five_one
    >>> line = Line.parse("half F4 quarter A4 B4 | whole C5", two_five_one("C", "short"))
    >>> mended(line, 2, "half step down").text
    'half F4 quarter A4 Bb4 | whole C5'
    >>> mended(line, 0, "split").text, mended(line, 1, "join with the next").text
    ('quarter F4 F4 A4 B4 | whole C5', 'half F4 A4 | whole C5')
    >>> mended(line, 1, "earlier").text
    'dotted quarter F4 quarter A4 8th rest quarter B4 | whole C5'
    """
    expect(line, Line, "a line", "a Line, such as Line.parse gives")
    if way not in _WAYS:
        raise TheoryError(f"no such way to mend: {shown(way)} (want {', '.join(WAYS)})")
    if not isinstance(place, int) or not 0 <= place < len(line.notes):
        raise TheoryError(f"no such note: {shown(place)} (want 0 to {len(line.notes) - 1})")
    try:
        return _WAYS[way](line, place)
    except _NoRoom as none:
        raise TheoryError(none.words(line, reader)) from None


class _NoRoom(Exception):
    """There is no room for a note that is to be moved: the note in the way, None for the end."""

    def __init__(self, place: int | None, is_later: bool) -> None:
        self.place, self.is_later = place, is_later

    def words(self, line: Line, reader: Reader | str) -> str:
        """Say why, as the reader has it on the page."""
        if self.place is None:
            side = "end after the last bar" if self.is_later else "begin a bar before the first"
            return f"there is no room: it would {side} (want a place within the line)"
        other = note_words(line, self.place, reader)
        side = "follows at once" if self.is_later else "ends only there"
        return f"there is no room: {other}, {side} (want it joined, deleted or moved first)"


def note_words(line: Line, place: int, reader: Reader | str = READERS[0]) -> str:
    """Return a note of a line as a reader has it, with its place.

    >>> from theorykit.tunes.progression import two_five_one
    >>> note_words(Line.parse("half F4 A4 | whole G4", two_five_one("C", "short")), 1, "B flat")
    'B4, bar 1, beat 3'
    """
    note = line.written_for(reader).notes[place]
    named = pretty_accidentals(str(note.pitch))
    return f"{named}, {place_words(note.start, line.progression)}"


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


def _later(line: Line, place: int) -> Line:
    """Move a note later; what follows at once gives way, or the note is shortened."""
    note, notes = line.notes[place], list(line.notes)
    after = notes[place + 1] if place + 1 < len(notes) else None
    limit = line.progression.beats if after is None else after.start
    is_free = note.end + GRID <= limit
    gives = after is not None and after.beats > GRID
    if not is_free and not gives and note.beats <= GRID:
        raise _NoRoom(None if after is None else place + 1, is_later=True)
    beats = note.beats if is_free or gives else note.beats - GRID
    notes[place] = replace(note, start=note.start + GRID, beats=beats)
    if after is not None and notes[place].end > after.start:
        start = notes[place].end
        notes[place + 1] = replace(after, start=start, beats=after.end - start)
    return replace(line, notes=tuple(notes))


def _earlier(line: Line, place: int) -> Line:
    """Move a note earlier; one that sounds there is shortened."""
    note, notes = line.notes[place], list(line.notes)
    start = note.start - GRID
    if place and notes[place - 1].end > start:
        before = notes[place - 1]
        if before.beats <= GRID:
            raise _NoRoom(place - 1, is_later=False)
        notes[place - 1] = replace(before, beats=start - before.start)
    elif start <= -line.progression.bars[0].beats:
        raise _NoRoom(None, is_later=False)
    notes[place] = replace(note, start=start)
    return replace(line, notes=tuple(notes))


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
    "earlier": _earlier,
    "later": _later,
    "split": _split,
    "join with the next": _joined,
    "delete": _deleted,
    "whole line earlier": lambda line, _: line_moved(line, -GRID),
    "whole line later": lambda line, _: line_moved(line, GRID),
}
WAYS = tuple(_WAYS)
