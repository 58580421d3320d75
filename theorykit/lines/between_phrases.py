"""What a player does between two phrases: a breath, then guide tones that lead to the next one."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from fractions import Fraction

from theorykit.lines.chorus_phrases import Phrase
from theorykit.lines.guide_tones import guide_tones
from theorykit.lines.smoothest import places
from theorykit.lines.timed import TimedNote
from theorykit.notes.pitch import Pitch
from theorykit.tunes.progression import PlacedChord, Progression

__all__ = ["joined_phrases"]

BREATH = Fraction(1)  # beats: the least rest between two phrases
SHORTEST = Fraction(1, 2)  # beats that a note keeps when a breath is taken from it
BREATHLESS = Fraction(16)  # beats of guide tones, after which there is another breath
AGAIN, LEAP, WIDE = 3, 3, 5  # what a repeated note costs, and a leap over so many half steps

_Way = tuple[int, tuple[Pitch, ...]]


def joined_phrases(
    over: Progression, phrases: Sequence[Phrase], compass: tuple[int, int]
) -> tuple[TimedNote, ...]:
    """Return phrases as the notes of one line, with a breath and guide tones between them.

    Between two phrases stand the 3rd or the 7th of each chord, whichever lies nearer, inside the
    two numbers of MIDI that ``compass`` gives. Phrases that begin where the one before lands follow
    at once.
    """
    line: list[TimedNote] = []
    before: Phrase | None = None
    for phrase in phrases:
        if phrase.notes:
            if before is None or before.window.landing < phrase.window.start:
                _fill(over, line, phrase.notes[0], compass)
            line += phrase.notes
            before = phrase
    _fill(over, line, None, compass)
    return tuple(line)


def _fill(
    over: Progression, line: list[TimedNote], coming: TimedNote | None, compass: tuple[int, int]
) -> None:
    """Breathe after the last note of a line, and fill the time before the note that comes."""
    end = over.beats if coming is None else coming.start
    if line and coming is not None and end - line[-1].end < BREATH:
        line[-1] = _shortened(line[-1], end)
    begin = line[-1].end + BREATH if line else Fraction(0)
    pieces = list(_pieces(over, begin, end))
    pitches = _smooth(pieces, line[-1].pitch if line else None, coming, compass)
    notes = (TimedNote(p, one.start, one.beats) for p, one in zip(pitches, pieces, strict=True))
    line += _with_breaths(tuple(notes))


def _shortened(note: TimedNote, edge: Fraction) -> TimedNote:
    """Return a note that leaves a breath before a beat, as far as it is long enough."""
    return replace(note, beats=max(min(note.beats, SHORTEST), edge - BREATH - note.start))


def _pieces(over: Progression, begin: Fraction, end: Fraction) -> Iterator[PlacedChord]:
    """Return the chords that begin in a stretch, each up to its end or to that of the stretch."""
    for placed in over.chords:
        if begin <= placed.start < end and not placed.chord.is_silent:
            yield replace(placed, beats=min(placed.beats, end - placed.start))


def _smooth(
    pieces: Sequence[PlacedChord],
    before: Pitch | None,
    coming: TimedNote | None,
    compass: tuple[int, int],
) -> tuple[Pitch, ...]:
    """Return a guide tone for each chord, so that the way from note to note is the smallest."""
    ways: list[_Way] = [(0, () if before is None else (before,))]
    for placed in pieces:
        found = (p for note in guide_tones(placed.chord) for p in places(note, *compass))
        ways = [_best(ways, pitch) for pitch in found]
    if coming is not None:
        ways = [_best(ways, coming.pitch)]
    pitches = min(ways, key=lambda way: way[0])[1]
    return pitches[before is not None : len(pitches) - (coming is not None)]


def _best(ways: Sequence[_Way], pitch: Pitch) -> _Way:
    """Return the cheapest way to a pitch."""
    return min(
        ((cost + _cost(so_far, pitch), (*so_far, pitch)) for cost, so_far in ways),
        key=lambda way: way[0],
    )


def _cost(so_far: tuple[Pitch, ...], pitch: Pitch) -> int:
    """Return what a move costs: its half steps, and more for none and for a leap."""
    if not so_far:
        return 0
    size = abs(pitch.midi - so_far[-1].midi)
    return size + AGAIN * (size == 0) + LEAP * max(0, size - WIDE)


def _with_breaths(notes: Sequence[TimedNote]) -> Iterator[TimedNote]:
    """Return long notes with breaths: instead of a note that comes again, and every few bars."""
    since = notes[0].start if notes else Fraction(0)
    before: TimedNote | None = None
    for note in notes:
        if before is not None and note.pitch.midi == before.pitch.midi:
            before, since = None, note.end
            continue
        before = _shortened(note, note.end) if note.end - since >= BREATHLESS else note
        since = note.end if before is not note else since
        yield before
