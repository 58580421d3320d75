"""MIDI files event by event, read by music21: ours are written by mido, which pretty_midi uses too.

Source of the layout: MIDI 1.0, Standard MIDI Files (MMA, 1996).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from music21 import midi

MICROSECONDS = 500_000  # in a quarter note, until a file says otherwise


@dataclass(frozen=True)
class Event:
    """An event at a tick; channels are counted from 1, ``channel`` is 0 where there is none."""

    at: int
    kind: str
    channel: int = 0
    pitch: int = 0
    velocity: int = 0
    data: Any = b""

    @property
    def strikes(self) -> bool:
        """Whether a note begins."""
        return self.kind == "NOTE_ON" and self.velocity > 0

    @property
    def ends(self) -> bool:
        """Whether a note ends."""
        return self.kind == "NOTE_OFF" or (self.kind == "NOTE_ON" and not self.velocity)


def read_midi(data: bytes) -> tuple[int, list[list[Event]]]:
    """The ticks of a quarter note, and the events of each track."""
    file = midi.MidiFile()
    file.readstr(data)
    return file.ticksPerQuarterNote, [_events(track) for track in file.tracks]


def _events(track: Any) -> list[Event]:
    """The events of a track, each with its tick."""
    at, found = 0, []
    for event in track.events:
        if isinstance(event, midi.DeltaTime):
            at += event.time
        elif event.type in (midi.ChannelVoiceMessages.NOTE_ON, midi.ChannelVoiceMessages.NOTE_OFF):
            found.append(Event(at, event.type.name, event.channel, event.pitch, event.velocity))
        else:
            channel = event.channel if isinstance(event.type, midi.ChannelVoiceMessages) else 0
            found.append(Event(at, event.type.name, channel, data=event.data))
    return found


def track_name(track: list[Event]) -> str:
    """The name of a track."""
    names = [event.data.decode() for event in track if event.kind == "SEQUENCE_TRACK_NAME"]
    return names[0] if names else ""


def second_of_tick(data: bytes) -> float:
    """How many seconds a tick lasts in a file of one tempo."""
    ticks, tracks = read_midi(data)
    tempos = [event.data for track in tracks for event in track if event.kind == "SET_TEMPO"]
    assert len(tempos) <= 1
    return (int.from_bytes(tempos[0]) if tempos else MICROSECONDS) / 1e6 / ticks


def onsets_of(data: bytes) -> list[float]:
    """The seconds at which notes begin, in order."""
    tick = second_of_tick(data)
    _, tracks = read_midi(data)
    return sorted(event.at * tick for track in tracks for event in track if event.strikes)


def seconds_of(data: bytes) -> float:
    """How long a file lasts."""
    _, tracks = read_midi(data)
    return max(track[-1].at for track in tracks) * second_of_tick(data)


def check_whole(tracks: list[list[Event]]) -> None:
    """Every note that begins ends, none begins twice, and each track has one end, at its end."""
    for track in tracks:
        sounding = set()
        for event in track:
            if event.strikes:
                assert (event.channel, event.pitch) not in sounding
                sounding.add((event.channel, event.pitch))
            elif event.ends:
                sounding.remove((event.channel, event.pitch))
        assert not sounding
        assert [event.kind for event in track].count("END_OF_TRACK") == 1
        assert track[-1].kind == "END_OF_TRACK"
