"""The synthesizer: a performance to samples, and samples to the bytes of a file.

This module is the door to all that makes sound: another synthesizer or encoder takes its place
here, behind the same four functions. Ours takes every note out of a SoundFont and mixes them to one
channel; libsndfile makes the files.

Levels do not follow the loudest moment. Each part is set to the level of ``LEVELS``, measured on
its own instrument, so that a phrase keeps its balance whatever sound plays the melody and whatever
chord is coloured. Only a mix that would rise above ``PEAK`` is turned down, as a whole.
"""

from __future__ import annotations

import io
from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from pathlib import Path

import numpy as np
import soundfile
from numpy.typing import NDArray

from theorykit.errors import TheoryError, shown
from theorykit.lines.parts import MELODY_SOUNDS, PART_NAMES, PROGRAMS, Part, Performance, swung
from theorykit.show.sound.soundfont import DRUM_BANK, Region, SoundFont, open_soundfont
from theorykit.show.sound.voice import correction, release_of, voice

Wave = NDArray[np.float32]


@dataclass(frozen=True, eq=False)
class Samples:
    """Sound in one channel: numbers from -1 to 1, ``rate`` of them a second.

    >>> Samples(np.zeros(11025, np.float32), 22050).seconds
    0.5
    """

    wave: Wave
    rate: int

    @property
    def seconds(self) -> float:
        """The length in seconds."""
        return len(self.wave) / self.rate

    @property
    def peak(self) -> float:
        """The largest number, without its sign."""
        return float(np.abs(self.wave).max(initial=0))


# === Performances ===

RATES = (22050, 44100)  # frames a second
TAIL = 1.0  # seconds after the last beat in which the instruments ring out
FADE = 0.005  # seconds at either end
RING_OUT = 0.25  # seconds at the end of the tail in which what still rings is faded
CYMBAL = 1.5  # seconds that a struck drum or cymbal may ring

# Root mean square levels in dB below full scale: one note as loud as it gets, in its first moment.
LEVELS = {"line": -22.0, "piano": -21.0, "bass": -16.0, "drums": -28.0}
MEASURED_ON = {"line": 69, "piano": 60, "bass": 40}  # MIDI numbers; a drum is measured on itself
MOMENT = 0.2  # seconds
PEAK = 10 ** (-3 / 20)  # 3 dB below full scale
BLOCK = 8192  # frames encoded at a time: the Vorbis encoder of libsndfile crashes on long ones


def render(
    performance: Performance,
    *,
    soundfont: str | Path | None = None,
    melody: str = "tenor saxophone",
    silent: Iterable[str] = (),
    rate: int = RATES[0],
    ending: str = "tail",
) -> Samples:
    """Return a performance as sound in one channel.

    ``soundfont`` is a file .sf2 of the reader's own; ``melody`` is one of ``MELODY_SOUNDS`` in
    ``lines.parts``; ``silent`` names parts to leave out. With the ``ending`` ``"tail"`` the sound
    is ``TAIL`` seconds longer than the performance and rings out. With ``"loop"`` it is exactly as
    long, and what rings over its end sounds at its beginning, so that it can be played round and
    round.

    >>> from theorykit.lines.parts import Part, Sounding
    >>> from fractions import Fraction
    >>> a4 = Part("line", (Sounding(Fraction(0), Fraction(2), 69, 90),))
    >>> sound = render(Performance((a4,), Fraction(4), tempo=120), melody="flute")
    >>> sound.seconds, sound.peak < PEAK
    (3.0, True)
    """
    _check(melody, silent := tuple(silent), rate, ending)
    mixer = _Mixer(performance, open_soundfont(soundfont), MELODY_SOUNDS[melody], rate)
    for part in performance.parts:
        if part.name not in silent:
            mixer.play(part)
    wave = _looped(mixer.mix, rate) if ending == "loop" else _faded(mixer.mix, rate)
    loudest = float(np.abs(wave).max(initial=0))
    if loudest > PEAK:
        wave *= PEAK / loudest
    wave.flags.writeable = False
    return Samples(wave, rate)


def _check(melody: str, silent: tuple[str, ...], rate: int, ending: str) -> None:
    """Refuse wishes that cannot be met."""
    wishes = (
        ("melody sound", [melody], MELODY_SOUNDS),
        ("part", silent, PART_NAMES),
        ("frame rate", [rate], RATES),
        ("ending", [ending], ("tail", "loop")),
    )
    for what, wished, offered in wishes:
        for one in wished:
            if one not in offered:
                raise TheoryError(
                    f"no such {what}: {shown(one)} (want {', '.join(map(str, offered))})"
                )


class _Mixer:
    """Where the notes of every part are added up."""

    def __init__(self, performance: Performance, font: SoundFont, melody: int, rate: int) -> None:
        self.performance = performance
        self.font = font
        self.rate = rate
        self.programs = PROGRAMS | {"line": melody}
        self.mix = np.zeros(round(performance.seconds * rate) + round(TAIL * rate), np.float32)

    def frame(self, beat: Fraction) -> int:
        """Return the frame on which a written beat sounds."""
        performance = self.performance
        return round(swung(beat, performance.swing) * 60 / performance.tempo * self.rate)

    def play(self, part: Part) -> None:
        """Add the notes of a part."""
        bank, program = DRUM_BANK * (part.name == "drums"), self.programs[part.name]
        full = 10 ** (LEVELS[part.name] / 20)
        for note in part.notes:
            start = self.frame(note.start)
            held = self.frame(note.start + note.beats) - start
            if bank == DRUM_BANK:
                held = round(CYMBAL * self.rate)
            measured = MEASURED_ON.get(part.name, note.midi)
            level = full * _level(self.font, bank, program, measured, self.rate)
            for region in self.font.regions(bank, program, note.midi, note.loudness):
                tune = 0.0 if bank == DRUM_BANK else correction(region)
                loud = level * (note.loudness / 127) ** 2
                self.strike(region, note.midi, tune, start, held, loud)

    def strike(
        self, region: Region, midi: int, tune: float, start: int, held: int, level: float
    ) -> None:
        """Add one note: as long as it is held, then its release."""
        fall = release_of(region, self.rate)
        wave = voice(region, midi, self.rate, held + len(fall), tune=tune)
        wave = wave[: len(self.mix) - start]
        after = start + min(held, len(wave))
        self.mix[start:after] += wave[:held] * np.float32(level)
        ringing = wave[held:]
        self.mix[after : after + len(ringing)] += ringing * fall[: len(ringing)] * np.float32(level)


@lru_cache(maxsize=256)
def _level(font: SoundFont, bank: int, program: int, key: int, rate: int) -> float:
    """Return what brings a note of an instrument to full level in its first moment."""
    regions = font.regions(bank, program, key, 100)
    if not regions:
        raise TheoryError(
            f"the SoundFont {shown(font.path.name)} has no sound for program {program} of bank "
            f"{bank} (want one with the sounds of General MIDI)"
        )
    moment = np.zeros(round(MOMENT * rate), np.float32)
    for region in regions:
        wave = voice(region, key, rate, len(moment))
        moment[: len(wave)] += wave
    power = float(np.mean(moment**2))
    return power**-0.5 if power > 1e-12 else 0.0


def _faded(mix: Wave, rate: int) -> Wave:
    """Return the mix with a short fade at its start, and a longer one where it rings out."""
    rise, fall = round(FADE * rate), round(RING_OUT * rate)
    mix[:rise] *= np.linspace(0, 1, rise, dtype=np.float32)
    mix[-fall:] *= np.cos(np.linspace(0, np.pi / 2, fall, dtype=np.float32))
    return mix


def _looped(mix: Wave, rate: int) -> Wave:
    """Return the mix without its tail, what rings in the tail added at the beginning."""
    length = len(mix) - round(TAIL * rate)
    wave, rest = mix[:length].copy(), mix[length:]
    wave[: len(rest)] += rest[: len(wave)]
    return wave


def wav_bytes(samples: Samples) -> bytes:
    """Return the sound as a WAV file of 16 bits: the quickest to make, 2 bytes a frame.

    >>> import numpy as np
    >>> wav_bytes(Samples(np.zeros(4, np.float32), 22050))[:4]
    b'RIFF'
    """
    return _encoded(samples, "WAV", "PCM_16")


def ogg_bytes(samples: Samples) -> bytes:
    """Return the sound as Ogg Vorbis, of exactly the same length, about a tenth of the WAV."""
    return _encoded(samples, "OGG", "VORBIS")


def mp3_bytes(samples: Samples) -> bytes:
    """Return the sound as MP3, which every browser plays; up to a tenth of a second longer."""
    return _encoded(samples, "MP3", "MPEG_LAYER_III")


def _encoded(samples: Samples, container: str, coding: str) -> bytes:
    """Encode block by block."""
    target = io.BytesIO()
    with soundfile.SoundFile(
        target, "w", samples.rate, channels=1, format=container, subtype=coding
    ) as file:
        for start in range(0, len(samples.wave), BLOCK):
            file.write(samples.wave[start : start + BLOCK])
    return target.getvalue()
