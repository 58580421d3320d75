"""Performances and lines as MIDI files, written by music21.

music21 is imported when a file is written: that takes as long as all other imports together.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import ceil
from typing import Any

from theorykit.errors import TheoryError, shown
from theorykit.lines.band import default_swing
from theorykit.lines.parts import PROGRAMS, Part, Performance, Sounding, swung
from theorykit.lines.text import Line
from theorykit.tunes.progression import Progression

__all__ = ["SWINGS", "line_midi", "midi_bytes"]

TICKS = 480  # in a quarter note: thirds and 32nds of a beat are whole
SWINGS = ("straight", "written out")
LOUDNESS = 88
MICROSECONDS = 60_000_000  # in a minute
CHANNELS, DRUMS = {"line": 1, "piano": 2, "bass": 3}, 10  # counted from 1
NAMES = {"line": "Line", "piano": "Piano", "bass": "Bass", "drums": "Drums"}


@dataclass(frozen=True, slots=True)
class _Event:
    """What happens on a tick, named as music21 names it.

    With a ``channel`` it is played: ``value`` is a program, or the loudness of the key ``pitch``.
    Without one it only says something.
    """

    at: int
    kind: str
    data: bytes = b""
    channel: int = 0
    pitch: int | None = None
    value: int = 0


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
    tracks = [_head(performance.tempo, progression, pickup)]
    for part in performance.parts:
        program = melody if part.name == "line" else PROGRAMS[part.name]
        tracks.append(_track(part, ratio, program))
    return _file(tracks)


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


def _head(tempo: float, progression: Progression | None, pickup: Fraction) -> list[_Event]:
    """Write the first track: tempo, and metre, key and chords where there is a progression."""
    said = [_Event(0, "SET_TEMPO", round(MICROSECONDS / tempo).to_bytes(3))]
    if progression is not None:
        said += [_Event(at, "TIME_SIGNATURE", data) for at, data in _metres(progression, pickup)]
        key = progression.key
        signature = key.fifths.to_bytes(1, signed=True) + bytes([key.is_minor])
        said.append(_Event(0, "KEY_SIGNATURE", signature))
        said += [
            _Event(_ticks(placed.start + pickup), "MARKER", str(placed.chord).encode())
            for placed in progression.chords
        ]
    return said


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


def _track(part: Part, ratio: float, program: int) -> list[_Event]:
    """Write the notes of a part, none over the next of its pitch; notes end before others begin."""
    channel = DRUMS if part.name == "drums" else CHANNELS[part.name]
    head = [
        _Event(0, "SEQUENCE_TRACK_NAME", NAMES[part.name].encode()),
        _Event(0, "PROGRAM_CHANGE", channel=channel, value=program),
    ]
    ended, begun = [], []
    for note, end in _without_overlap(part.notes, ratio):
        start = _ticks(note.start, ratio)
        begun.append(_Event(start, "NOTE_ON", b"", channel, note.midi, note.loudness))
        ended.append(_Event(max(end, start + 1), "NOTE_OFF", b"", channel, note.midi))
    return head + ended + begun


def _file(tracks: Sequence[Sequence[_Event]]) -> bytes:
    """Return tracks as a file, every event after the time since the last."""
    from music21 import midi

    file = midi.MidiFile()
    file.format, file.ticksPerQuarterNote = 1, TICKS
    for number, said in enumerate(tracks, 1):
        track = midi.MidiTrack(number)
        events = sorted(said, key=lambda event: event.at)  # stable: what is together stays so
        last = 0
        for event in [*events, _Event(events[-1].at + 1, "END_OF_TRACK")]:
            since = midi.DeltaTime(track)
            since.time = event.at - last
            track.events += [since, _spelled(midi, track, event)]
            last = event.at
        file.tracks.append(track)
    return bytes(file.writestr())


def _spelled(midi: Any, track: Any, event: _Event) -> Any:
    """Return an event as music21 has it."""
    if not event.channel:
        found = midi.MidiEvent(track, type=midi.MetaEvents[event.kind])
        found.data = event.data
        return found
    kind = midi.ChannelVoiceMessages[event.kind]
    found = midi.MidiEvent(track, type=kind, channel=event.channel)
    if event.pitch is None:
        found.data = event.value
    else:
        found.pitch, found.velocity = event.pitch, event.value
    return found


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
