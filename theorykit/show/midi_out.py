"""Performances and lines as MIDI files, written by symusic."""

from __future__ import annotations

from collections.abc import Iterable
from fractions import Fraction
from math import ceil
from typing import Any

from symusic import KeySignature, Note, Score, Tempo, TextMeta, TimeSignature, Track

from theorykit.errors import TheoryError, shown
from theorykit.lines.accompaniment import default_swing
from theorykit.lines.line import Line
from theorykit.lines.parts import Part, Performance, Sounding, swung
from theorykit.tunes.progression import Progression

__all__ = ["SWINGS", "line_midi", "midi_bytes"]

TICKS = 480  # in a quarter note: thirds and 32nds of a beat are whole
SWINGS = ("straight", "written out")
LOUDNESS = 88
# Sounds of General MIDI Level 1 (MMA, 1991), counted from 0: tenor saxophone, piano, acoustic bass.
PROGRAMS = {"line": 66, "piano": 0, "bass": 32, "drums": 0}
NAMES = {"line": "Line", "piano": "Piano", "bass": "Bass", "drums": "Drums"}


def midi_bytes(
    performance: Performance,
    *,
    progression: Progression | None = None,
    swing: str = "straight",
    melody: int = PROGRAMS["line"],
    pickup: Fraction = Fraction(0),
) -> bytes:
    """Return a performance as a Standard MIDI File: one track a part, tempo, metre, key, chords.

    With ``swing="straight"`` eighths are written even, for players that swing by themselves or for
    editors; with ``"written out"`` they stand where they sound. ``progression`` brings metre, key
    and chord symbols (as markers), beginning after ``pickup`` beats; ``melody`` is the General MIDI
    program of the line, counted from 0.

    >>> from theorykit.lines.parts import Part
    >>> a4 = Part("line", (Sounding(Fraction(0), Fraction(2), 69),))
    >>> midi_bytes(Performance((a4,), Fraction(4)))[:4]
    b'MThd'
    """
    if swing not in SWINGS:
        raise TheoryError(f"no such swing in a file: {shown(swing)} (want {', '.join(SWINGS)})")
    if not isinstance(melody, int) or not 0 <= melody <= 127:
        raise TheoryError(f"no such program: {shown(melody)} (want 0 to 127)")
    ratio = performance.swing if swing == "written out" else 1.0
    score: Any = Score(TICKS)
    score.tempos.append(Tempo(0, performance.tempo))
    if progression is not None:
        _head(score, progression, pickup)
    for part in performance.parts:
        score.tracks.append(_track(part, ratio, melody if part.name == "line" else None))
    return bytes(score.dumps_midi())


def line_midi(
    line: Line,
    *,
    tempo: float = 120,
    swing: str = "straight",
    ratio: float | None = None,
    melody: int = PROGRAMS["line"],
) -> bytes:
    """Return a line alone as a MIDI file, its chords as markers.

    A pickup stands in a first bar of its own length. ``ratio`` is that of swung eighths; it
    defaults to what suits the tempo.
    """
    first = min((note.start for note in line.notes), default=Fraction(0))
    lead = _lead(-first) if first < 0 else Fraction(0)
    notes = (Sounding(n.start + lead, n.beats, n.pitch.midi, LOUDNESS) for n in line.notes)
    played = Performance(
        (Part("line", tuple(notes)),),
        line.progression.beats + lead,
        tempo,
        default_swing(tempo) if ratio is None else ratio,
    )
    return midi_bytes(played, progression=line.progression, swing=swing, melody=melody, pickup=lead)


def _lead(pickup: Fraction) -> Fraction:
    """Return how long the bar of a pickup is: as many 16ths as it needs."""
    return Fraction(ceil(pickup * 4), 4)


def _ticks(beat: Fraction, ratio: float = 1.0) -> int:
    """Return a place in ticks."""
    return round(swung(beat, ratio) * TICKS) if ratio > 1 else round(beat * TICKS)


def _metre(beats: Fraction) -> tuple[int, int]:
    """Return a time signature that measures so many quarters."""
    unit = max(beats.denominator, 1) * 4
    return int(beats * unit / 4), unit


def _head(score: Any, progression: Progression, pickup: Fraction) -> None:
    """Write metre, key and chords."""
    if pickup:
        score.time_signatures.append(TimeSignature(0, *_metre(pickup)))
    before = pickup
    for start, bar in zip(progression.bar_starts, progression.bars, strict=False):
        if bar.beats != before or not start:
            score.time_signatures.append(TimeSignature(_ticks(start + pickup), *_metre(bar.beats)))
        before = bar.beats
    key = progression.key
    score.key_signatures.append(KeySignature(0, key.fifths, int(key.is_minor)))
    for placed in progression.chords:
        score.markers.append(TextMeta(_ticks(placed.start + pickup), str(placed.chord)))


def _track(part: Part, ratio: float, program: int | None) -> Any:
    """Write the notes of a part, none over the next of its pitch."""
    drums = part.name == "drums"
    track: Any = Track(NAMES[part.name], PROGRAMS[part.name] if program is None else program, drums)
    for note, end in _without_overlap(part.notes, ratio):
        start = _ticks(note.start, ratio)
        track.notes.append(Note(start, max(1, end - start), note.midi, note.loudness))
    return track


def _without_overlap(notes: Iterable[Sounding], ratio: float) -> Iterable[tuple[Sounding, int]]:
    """Run through notes with their ends, cut where the same pitch is struck again."""
    following: dict[int, int] = {}
    found = []
    for note in sorted(notes, key=lambda one: one.start, reverse=True):
        end = _ticks(note.start + note.beats, ratio)
        found.append((note, min(end, following.get(note.midi, end))))
        following[note.midi] = _ticks(note.start, ratio)
    return reversed(found)
