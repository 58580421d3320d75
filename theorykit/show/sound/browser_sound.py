"""Sound in a browser: the sounds of notes that lie beside the page, mixed by the page's own module.

The names are those of the synthesizer, and they answer alike: every note is what the synthesizer
has made of it before, turned up, placed and let go as it would do it. Another SoundFont cannot be
played here, and no FLAC is written.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from theorykit.errors import TheoryError
from theorykit.lines.parts import MELODY_SOUNDS, PROGRAMS, Part, Performance
from theorykit.show.in_browser import encoded, file_part, installed_only, mixed, sound_index
from theorykit.show.sound.sound_wishes import (
    CYMBAL,
    LEAD,
    LOOP_TAIL,
    PEAK,
    RATES,
    ROOM,
    TAIL,
    AskedSound,
    check_wishes,
)

QUICK = "wav"  # the form of a short sound that is made at once
BEST, WORST = 10.0, -1.0  # how the encoder of Ogg counts qualities
MP3_BEST, MP3_WORST = 0.0, 9.9


@dataclass(frozen=True, eq=False)
class Samples:
    """Sound as the page has it: two channels, ``frames`` long, ``rate`` of them a second."""

    wave: Any
    rate: int
    frames: int

    @property
    def seconds(self) -> float:
        """The length in seconds."""
        return self.frames / self.rate

    @property
    def peak(self) -> float:
        """The largest number, without its sign."""
        return float(self.wave.peak)


def render(
    performance: Performance,
    *,
    soundfont: str | Path | None = None,
    melody: str = "tenor saxophone",
    silent: Iterable[str] = (),
    rate: int = RATES[-1],
    ending: str = "tail",
) -> Samples:
    """Return a performance as sound in two channels, with the wishes of the synthesizer."""
    check_wishes(melody, silent := tuple(silent), rate, ending)
    if soundfont is not None:
        raise installed_only("another SoundFont")
    rate = RATES[-1]
    body = round(performance.seconds * rate)
    tail = LOOP_TAIL if ending == "loop" else TAIL
    notes = [
        row
        for part in performance.parts
        if part.name not in silent
        for row in _struck(performance, part, melody, rate)
    ]
    wishes = {
        **{"notes": notes, "frames": LEAD + body + round(tail * rate), "lead": LEAD},
        **{"loop": body if ending == "loop" else 0, "rate": rate, "peak": PEAK},
        **{"room": [_file_of(name) for name in ROOM], "sounds": _sounds(notes)},
    }
    wave = mixed(wishes)
    return Samples(wave, rate, int(wave.frames))


def _struck(performance: Performance, part: Part, melody: str, rate: int) -> Iterator[list[Any]]:
    """Yield the sounds of a part: name, first frame, frames held, level, what the room hears."""
    share = sound_index()["shares"][part.name]
    player = instrument(part.name, part.program, melody)
    for note in part.notes:
        begins, ends = performance.begins(note), performance.ends(note)
        held = CYMBAL if part.name == "drums" else ends - begins
        level = (note.loudness / 127) ** 2
        if part.name == "line":
            level *= line_gains(player, note.midi)[_moment(performance.tempo)]
        for name in tone_names(player, note.midi, note.loudness):
            yield [name, LEAD + round(begins * rate), round(held * rate), level, share]


def _sounds(notes: Iterable[list[Any]]) -> dict[str, list[Any]]:
    """Return what is told of the sounds of notes, each once."""
    return {name: _file_of(name) for name in {row[0] for row in notes}}


def _file_of(name: str) -> list[Any]:
    """Return what is told of a sound."""
    told: list[Any] = sound_index()["tones"][name]
    return told


def _moment(tempo: float) -> int:
    """Return which of the moments of a line belongs to a tempo."""
    beats, first, last, steps = moments_told()
    moment = min(max(beats / tempo, first), last)
    return round((moment - first) / (last - first) * steps)


# === Single notes ===


@dataclass(frozen=True, slots=True)
class Instrument:
    """A program of the built-in sounds, and the part that plays it."""

    part: str
    program: int

    @property
    def name(self) -> str:
        """The name in the index of sounds."""
        return f"{self.part} {self.program}"


def instrument(part: str, program: int | None = None, melody: str = "") -> Instrument:
    """Return what a part plays: ``program`` if it chose one itself, or ``melody`` for a line."""
    own = MELODY_SOUNDS[melody] if part == "line" and melody else PROGRAMS[part]
    there = program is not None and f"{part} {program}" in sound_index()["layers"]
    return Instrument(part, program if program is not None and there else own)


def tone_names(one: Instrument, midi: int, loudness: int) -> tuple[str, ...]:
    """Return a name for each recording that a note of an instrument is made of."""
    layers = sound_index()["layers"][one.name].get(str(midi))
    if layers is None:
        if one.part == "drums":
            return ()  # a kit without this drum
        raise TheoryError(
            f"no such note for the {one.part}: {midi} (want one that the band can play)"
        )
    return tuple(layers[bisect_left([last for last, _ in layers], loudness)][1])


def line_gains(one: Instrument, midi: int) -> tuple[float, ...]:
    """Return by how much a note of the line is turned up, by moment."""
    return tuple(sound_index()["gains"][str(one.program)][str(midi)])


def moments_told() -> list[float]:
    """Return what tells the moment of a tempo: seconds at one beat a minute, and its bounds."""
    return list(sound_index()["moments"])


def room_shares() -> dict[str, float]:
    """Return how much of each part the room hears."""
    return dict(sound_index()["shares"])


def sounds_file(
    wanted: Iterable[tuple[str, AskedSound | None]], form: str
) -> tuple[list[dict[str, object]], bytes]:
    """Return what is told of each sound, and their files one behind the other.

    Whatever the ``form``, they are Ogg. ``file`` says which bytes are those of a sound.
    """
    told: list[dict[str, object]] = []
    whole = bytearray()
    for name, _ in wanted:
        file, start, end, frames, scale, place, release, lead, loop = _file_of(name)
        data = file_part(file, start, end)
        told.append(
            {
                **{"name": name, "at": 0, "frames": frames, "scale": scale, "place": place},
                **{"release": release, "lead": lead, "loop": loop},
                "file": [len(whole), len(whole) + len(data)],
            }
        )
        whole += data
    return told, bytes(whole)


# === Files ===


def spare(samples: Samples) -> Samples:
    """Return the sound as it is: nothing is spared by a second mix."""
    return samples


def wav_bytes(samples: Samples) -> bytes:
    """Return the sound as a WAV file of 16 bits."""
    return encoded(samples.wave, "wav", 0)


def ogg_bytes(samples: Samples, *, compression: float = 0.6) -> bytes:
    """Return the sound as Ogg Vorbis; ``compression`` goes from 0, the largest, to 1."""
    return encoded(samples.wave, "ogg", BEST + compression * (WORST - BEST))


def mp3_bytes(samples: Samples, *, compression: float | None = None) -> bytes:
    """Return the sound as MP3; ``compression`` goes from 0, the largest file, to 1."""
    share = 0.4 if compression is None else compression
    return encoded(samples.wave, "mp3", MP3_BEST + share * (MP3_WORST - MP3_BEST))


def flac_bytes(samples: Samples) -> bytes:
    """Refuse FLAC, which no engine of a page writes."""
    raise installed_only("a FLAC file")


def note_files(folder: Path, melodies: Iterable[str] = ()) -> dict[str, Any]:
    """Refuse to make the sounds of the band anew, which need the synthesizer."""
    raise installed_only("a site of one's own")
