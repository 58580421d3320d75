"""Performances and lines as MIDI files, written by mido."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from fractions import Fraction
from io import BytesIO
from math import ceil

from mido import Message, MetaMessage, MidiFile, MidiTrack

from theorykit.errors import TheoryError, shown
from theorykit.lines.band import default_swing
from theorykit.lines.parts import PROGRAMS, Part, Performance, Sounding
from theorykit.lines.text import Line
from theorykit.tunes.progression import Progression

TICKS = 480  # in a quarter note: thirds and 32nds of a beat are whole
SWINGS = ("straight", "written out")
LOUDNESS = 88
MICROSECONDS = 60_000_000  # in a minute
CHANNELS = {"line": 0, "piano": 1, "bass": 2, "drums": 9}  # counted from 0
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

    With ``swing="straight"`` all notes stand on the grid, for players that swing by themselves or
    for editors; with ``"written out"`` they stand where they sound. ``progression`` brings metre,
    key and chord symbols (as markers), beginning after ``pickup`` beats; ``melody`` is the General
    MIDI program of the line, counted from 0.

    >>> from theorykit.lines.parts import Part
    >>> a4 = Part("line", (Sounding(Fraction(0), Fraction(2), 69),))
    >>> midi_bytes(Performance((a4,), Fraction(4)))[:4]
    b'MThd'
    """
    if swing not in SWINGS:
        raise TheoryError(f"no such swing in a file: {shown(swing)} (want {', '.join(SWINGS)})")
    if not isinstance(melody, int) or not 0 <= melody <= 127:
        raise TheoryError(f"no such program: {shown(melody)} (want 0 to 127)")
    heard = performance if swing == "written out" else None
    tracks = [_head(performance.tempo, progression, pickup)]
    tracks += [_track(part, heard, _program(part, melody)) for part in performance.parts]
    file = BytesIO()
    MidiFile(type=1, ticks_per_beat=TICKS, tracks=tracks).save(file=file)
    return file.getvalue()


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


def _ticks(beat: Fraction) -> int:
    """Return a place in ticks."""
    return round(beat * TICKS)


def _head(tempo: float, progression: Progression | None, pickup: Fraction) -> MidiTrack:
    """Write the first track: tempo, and metre, key and chords where there is a progression."""
    said = [(0, MetaMessage("set_tempo", tempo=round(MICROSECONDS / tempo)))]
    if progression is not None:
        said += _metres(progression, pickup)
        key = progression.key
        name = f"{key.tonic}{'m' * key.is_minor}"
        said.append((0, MetaMessage("key_signature", key=name)))
        said += [
            (_ticks(placed.start + pickup), MetaMessage("marker", text=str(placed.chord)))
            for placed in progression.chords
        ]
    return _filled(said)


def _metres(progression: Progression, pickup: Fraction) -> Iterator[tuple[int, MetaMessage]]:
    """Run through the time signatures: of the pickup, and where a bar is longer or shorter."""
    before = pickup
    if pickup:
        yield 0, _metre(pickup)
    for start, bar in zip(progression.bar_starts, progression.bars, strict=False):
        if bar.beats != before or not start:
            yield _ticks(start + pickup), _metre(bar.beats)
        before = bar.beats


def _metre(beats: Fraction) -> MetaMessage:
    """Return the time signature of a bar of so many quarters."""
    unit = beats.denominator * 4
    power = 1 << (unit.bit_length() - 1)
    return MetaMessage("time_signature", numerator=int(beats * unit / 4), denominator=power)


def _program(part: Part, melody: int) -> int:
    """Return the sound of a part: its player's own, or the one that is wished for."""
    wished = melody if part.name == "line" else PROGRAMS[part.name]
    return wished if part.program is None else part.program


def _edges(note: Sounding, heard: Performance | None) -> tuple[int, int]:
    """Return where a note begins and ends in ticks, as it is heard or on the grid."""
    if heard is None:
        return _ticks(note.start), _ticks(note.start + note.beats)
    ticks_a_second = heard.tempo / 60 * TICKS
    start = max(0, round(heard.begins(note) * ticks_a_second))
    return start, round(heard.ends(note) * ticks_a_second)


def _track(part: Part, heard: Performance | None, program: int) -> MidiTrack:
    """Write the notes of a part, none over the next of its pitch."""
    channel = CHANNELS[part.name]
    events = [
        (0, MetaMessage("track_name", name=NAMES[part.name])),
        (0, Message("program_change", channel=channel, program=program)),
    ]
    ended, begun = [], []
    for note, start, end in _without_overlap(part.notes, heard):
        strike = {"channel": channel, "note": note.midi}
        begun.append((start, Message("note_on", velocity=note.loudness, **strike)))
        ended.append((max(end, start + 1), Message("note_off", velocity=0, **strike)))
    return _filled(events + ended + begun)


def _filled(events: list[tuple[int, Message | MetaMessage]]) -> MidiTrack:
    """Return a track of events in order, each after the time since the last, and its end."""
    track, last = MidiTrack(), 0
    events = sorted(events, key=lambda event: event[0])  # stable: notes end before others begin
    for at, message in [*events, (events[-1][0] + 1, MetaMessage("end_of_track"))]:
        message.time = at - last
        track.append(message)
        last = at
    return track


def _without_overlap(
    notes: Iterable[Sounding], heard: Performance | None
) -> Iterable[tuple[Sounding, int, int]]:
    """Run through notes with their edges, cut where the same pitch is struck again."""
    following: dict[int, int] = {}
    found = []
    timed = [(note, *_edges(note, heard)) for note in notes]
    for note, start, end in sorted(timed, key=lambda one: one[1], reverse=True):
        if following.get(note.midi) == start:
            continue  # struck twice at once: one stroke is heard
        found.append((note, start, min(end, following.get(note.midi, end))))
        following[note.midi] = start
    return reversed(found)
