"""Performances and lines as MIDI files, written by music21."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from fractions import Fraction
from math import ceil
from typing import Any

from music21 import midi

from theorykit.errors import TheoryError, shown
from theorykit.lines.band import default_swing
from theorykit.lines.parts import Part, Performance, Sounding, swung
from theorykit.lines.text import Line
from theorykit.tunes.progression import Progression

__all__ = ["SWINGS", "line_midi", "midi_bytes"]

TICKS = 480  # in a quarter note: thirds and 32nds of a beat are whole
SWINGS = ("straight", "written out")
LOUDNESS = 88
MICROSECONDS = 60_000_000  # in a minute
SAID, VOICED = midi.MetaEvents, midi.ChannelVoiceMessages
# Sounds of General MIDI Level 1 (MMA, 1991), counted from 0: tenor saxophone, piano, acoustic bass.
PROGRAMS = {"line": 66, "piano": 0, "bass": 32, "drums": 0}
CHANNELS, DRUMS = {"line": 1, "piano": 2, "bass": 3}, 10  # counted from 1
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
    file = midi.MidiFile()
    file.format, file.ticksPerQuarterNote = 1, TICKS
    file.tracks.append(_head(performance.tempo, progression, pickup))
    for number, part in enumerate(performance.parts, 2):
        program = melody if part.name == "line" else PROGRAMS[part.name]
        file.tracks.append(_track(number, part, ratio, program))
    return bytes(file.writestr())


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


def _head(tempo: float, progression: Progression | None, pickup: Fraction) -> midi.MidiTrack:
    """Write the first track: tempo, and metre, key and chords where there is a progression."""
    said = [(0, SAID.SET_TEMPO, round(MICROSECONDS / tempo).to_bytes(3))]
    if progression is not None:
        said += [(at, SAID.TIME_SIGNATURE, data) for at, data in _metres(progression, pickup)]
        key = progression.key
        signature = key.fifths.to_bytes(1, signed=True) + bytes([key.is_minor])
        said.append((0, SAID.KEY_SIGNATURE, signature))
        said += [
            (_ticks(placed.start + pickup), SAID.MARKER, str(placed.chord).encode())
            for placed in progression.chords
        ]
    track = midi.MidiTrack(1)
    return _filled(track, [(at, _meta(track, kind, data)) for at, kind, data in said])


def _metres(progression: Progression, pickup: Fraction) -> Iterator[tuple[int, bytes]]:
    """Run through the time signatures: of the pickup, and where a bar is longer or shorter."""
    before = pickup
    if pickup:
        yield 0, _metre(pickup)
    for start, bar in zip(progression.bar_starts, progression.bars, strict=False):
        if bar.beats != before or not start:
            yield _ticks(start + pickup), _metre(bar.beats)
        before = bar.beats


def _metre(beats: Fraction) -> bytes:
    """Return a time signature of so many quarters as MIDI writes it."""
    unit = beats.denominator * 4
    return bytes([int(beats * unit / 4), unit.bit_length() - 1, 24, 8])


def _track(number: int, part: Part, ratio: float, program: int) -> midi.MidiTrack:
    """Write the notes of a part, none over the next of its pitch."""
    channel = DRUMS if part.name == "drums" else CHANNELS[part.name]
    track = midi.MidiTrack(number)
    events = [(0, _meta(track, SAID.SEQUENCE_TRACK_NAME, NAMES[part.name].encode()))]
    events.append((0, _voiced(track, VOICED.PROGRAM_CHANGE, channel, data=program)))
    ended, begun = [], []
    for note, end in _without_overlap(part.notes, ratio):
        start = _ticks(note.start, ratio)
        strike = {"pitch": note.midi, "velocity": note.loudness}
        begun.append((start, _voiced(track, VOICED.NOTE_ON, channel, **strike)))
        release = {"pitch": note.midi, "velocity": 0}
        ended.append((max(end, start + 1), _voiced(track, VOICED.NOTE_OFF, channel, **release)))
    return _filled(track, events + ended + begun)


def _meta(track: midi.MidiTrack, kind: Any, data: bytes) -> midi.MidiEvent:
    """Return an event that says something."""
    event = midi.MidiEvent(track, type=kind)
    event.data = data
    return event


def _voiced(track: midi.MidiTrack, kind: Any, channel: int, **values: int) -> midi.MidiEvent:
    """Return an event that plays something."""
    event: Any = midi.MidiEvent(track, type=kind, channel=channel)
    for name, value in values.items():
        setattr(event, name, value)
    return event


def _filled(track: midi.MidiTrack, events: list[tuple[int, midi.MidiEvent]]) -> midi.MidiTrack:
    """Put events into a track in order, each after the time since the last, and the end."""
    last = 0
    events = sorted(events, key=lambda event: event[0])  # stable: notes end before others begin
    for at, event in [*events, (events[-1][0] + 1, _meta(track, SAID.END_OF_TRACK, b""))]:
        since = midi.DeltaTime(track)
        since.time = at - last
        track.events += [since, event]
        last = at
    return track


def _without_overlap(notes: Iterable[Sounding], ratio: float) -> Iterable[tuple[Sounding, int]]:
    """Run through notes with their ends, cut where the same pitch is struck again."""
    following: dict[int, int] = {}
    found = []
    for note in sorted(notes, key=lambda one: one.start, reverse=True):
        if following.get(note.midi) == _ticks(note.start, ratio):
            continue  # struck twice at once: one stroke is heard
        end = _ticks(note.start + note.beats, ratio)
        found.append((note, min(end, following.get(note.midi, end))))
        following[note.midi] = _ticks(note.start, ratio)
    return reversed(found)
