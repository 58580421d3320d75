"""The synthesizer: a performance to samples, and samples to the bytes of a file.

This module is the door to all that makes sound: another synthesizer or encoder takes its place
here, behind the same four functions. Ours mixes notes out of a SoundFont to two channels.
libsndfile makes the files.

Levels do not follow the loudest moment. Each part is set to the level of ``LEVELS``, measured on
its own instrument key by key as it is heard, so that a phrase keeps its balance whatever sound
plays the melody and whatever chord is coloured. A band then lies near 16 LUFS below full scale; a
limiter turns down the few moments that would rise above ``PEAK``.
"""

from __future__ import annotations

import io
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
import soundfile
from numpy.typing import NDArray

from theorykit.lines.parts import MELODY_SOUNDS, PROGRAMS, Part, Performance
from theorykit.show.sound.instruments import chosen_soundfont
from theorykit.show.sound.levels import (
    LEVELS,
    MOMENT,
    NOTE,
    is_steady,
    level_key,
    moment_at,
    moments,
    note_level,
)
from theorykit.show.sound.mixing import (
    SENT,
    TAPS,
    faded,
    fuller,
    gains,
    in_room,
    limited,
    place_of,
    room,
    rounded,
    silence,
)
from theorykit.show.sound.sound_wishes import (
    CYMBAL,
    LEAD,
    LONGEST_TONE,
    LOOP_TAIL,
    PEAK,
    RATES,
    TAIL,
    check_wishes,
)
from theorykit.show.sound.soundfont import DRUM_BANK, Region, SoundFont, open_soundfont
from theorykit.show.sound.tone import Tone
from theorykit.show.sound.voice import correction, release_of, side_of, voice, voice_once

Wave = NDArray[np.float32]


@dataclass(frozen=True, eq=False)
class Samples:
    """Sound: numbers from -1 to 1, ``rate`` of them a second; in two channels a row for each frame.

    >>> Samples(np.zeros(11025, np.float32), 22050).seconds
    0.5
    """

    wave: Wave
    rate: int

    @classmethod
    def read(cls, data: bytes, most: int) -> Samples:
        """Return the sound of a file, ``most`` frames of it at most, as fine as the file has it."""
        return cls(*_recorded(data, most, "float32"))

    @property
    def seconds(self) -> float:
        """The length in seconds."""
        return len(self.wave) / self.rate

    @property
    def peak(self) -> float:
        """The largest number, without its sign."""
        return float(np.abs(self.wave).max(initial=0))


# === Performances ===

QUICK = "flac"  # the form of a short sound that is made at once
FLAC_BITS = 12  # of 16
MOST_CHANNELS = 2  # of a file that is read
OGG_COMPRESSION = 0.6  # near 128 kbit/s
BLOCK = 8192  # frames encoded at a time: the Vorbis encoder of libsndfile crashes on long ones


def render(
    performance: Performance,
    *,
    soundfont: str | Path | None = None,
    melody: str = "tenor saxophone",
    silent: Iterable[str] = (),
    rate: int = RATES[-1],
    ending: str = "tail",
) -> Samples:
    """Return a performance as sound in two channels.

    ``soundfont`` is a file .sf2 or .sf3, by default the one that ``instruments.py`` chooses;
    ``melody`` is one of ``MELODY_SOUNDS`` in ``lines.parts``; ``silent`` names parts to leave out.
    With the ``ending`` ``"tail"`` the sound is ``TAIL`` seconds longer than the performance and
    rings out. With ``"loop"`` it is exactly as long, and what rings over its end sounds at its
    beginning, so that it can be played round and round.

    >>> from theorykit.lines.parts import Part, Sounding
    >>> from fractions import Fraction
    >>> a4 = Part("line", (Sounding(Fraction(0), Fraction(2), 69, 90),))
    >>> sound = render(Performance((a4,), Fraction(4), tempo=120), melody="flute")
    >>> sound.seconds, sound.peak < PEAK
    (3.0, True)
    """
    check_wishes(melody, silent := tuple(silent), rate, ending)
    font = open_soundfont(soundfont or chosen_soundfont(), decoded)
    tail = LOOP_TAIL if ending == "loop" else TAIL
    mixer = _Mixer(performance, font, MELODY_SOUNDS[melody], rate, tail)
    for part in performance.parts:
        if part.name not in silent:
            mixer.play(part)
    mix = faded(mixer.finished(), rate)
    if ending == "loop":
        mix = rounded(mix, round(performance.seconds * rate), LEAD)
    kept = mix if ending == "loop" else mix[:, LEAD:]
    wave = silence(kept.shape[1], len(kept))
    wave[:] = limited(kept, rate, PEAK, loops=ending == "loop").T
    wave.flags.writeable = False
    return Samples(wave, rate)


class _Mixer:
    """Where the notes of all parts are added up, with what the room hears; the bass by itself."""

    def __init__(
        self, performance: Performance, font: SoundFont, melody: int, rate: int, tail: float
    ) -> None:
        self.performance = performance
        self.font = font
        self.rate = rate
        self.programs = PROGRAMS | {"line": melody}
        self.earliest = 0 if tail == LOOP_TAIL else LEAD  # before a loop lies its end
        self.frames = LEAD + round(performance.seconds * rate) + round(tail * rate)
        self.mix = silence(2, self.frames)
        self.sent, self.bass = silence(self.frames), silence(self.frames)

    def play(self, part: Part) -> None:
        """Add the notes of a part."""
        drums = part.name == "drums"
        bank, program = DRUM_BANK * drums, self.programs[part.name]
        if part.program is not None and self.font.has(bank, part.program):
            program = part.program
        full = 10 ** (LEVELS[part.name] / 20)
        moment = moment_at(self.performance.tempo) if part.name == "line" else MOMENT
        for note in part.notes:
            begins, ends = self.performance.begins(note), self.performance.ends(note)
            start = max(self.earliest, LEAD + round(begins * self.rate))
            held = round(CYMBAL * self.rate) if drums else round((ends - begins) * self.rate)
            key = level_key(part.name, note.midi)
            level = full * note_level(self.font, bank, program, key, self.rate, moment)
            level *= (note.loudness / 127) ** 2
            place = place_of(part.name, note.midi)
            regions = self.font.regions(bank, program, note.midi, note.loudness)
            for region in regions:
                tune = 0.0 if drums else correction(region)
                # one recording stands in our place, a pair on both sides of it
                left, right = gains(place + (side_of(region) if len(regions) > 1 else 0.0))
                sound = self.struck(region, note.midi, tune, held)[: self.frames - start]
                sound *= np.float32(level)
                self._add(part.name, start, sound, left, right)

    def _add(self, name: str, start: int, sound: Wave, left: float, right: float) -> None:
        """Add the sound of one note where it stands, and what the room hears of it."""
        places = slice(start, start + len(sound))
        if name == "bass":
            self.bass[places] += sound * np.float32(left)
            return
        part = sound * np.float32(left)
        self.mix[0, places] += part
        if right != left:
            np.multiply(sound, np.float32(right), out=part)
        self.mix[1, places] += part
        sound *= np.float32(SENT[name] * (left + right))
        self.sent[places] += sound

    def struck(self, region: Region, midi: int, tune: float, held: int) -> Wave:
        """Return one note: as long as it is held, then its release."""
        fall = release_of(region, self.rate)
        wave = voice(region, midi, self.rate, held + len(fall), tune=tune)
        ringing = wave[held:]
        ringing *= fall[: len(ringing)]
        return wave

    def finished(self) -> Wave:
        """Return all parts together, in their room; the bass with what small loudspeakers play."""
        if self.bass.any() or self.sent.any():
            self.mix += in_room(self.sent, self.bass, self.rate)
        return self.mix


# === Single notes ===


@dataclass(frozen=True, slots=True)
class Instrument:
    """A program of a bank of a SoundFont, and the part that plays it."""

    part: str
    font: SoundFont
    bank: int
    program: int


def instrument(part: str, program: int | None = None, melody: str = "") -> Instrument:
    """Return what a part plays now: ``program`` if it chose one itself, or ``melody`` for a line.

    >>> instrument("bass").program, instrument("line", melody="flute").program
    (32, 73)
    """
    font = open_soundfont(chosen_soundfont(), decoded)
    bank = DRUM_BANK * (part == "drums")
    if program is None or not font.has(bank, program):
        program = MELODY_SOUNDS[melody] if part == "line" and melody else PROGRAMS[part]
    return Instrument(part, font, bank, program)


def tone_names(one: Instrument, midi: int, loudness: int) -> tuple[str, ...]:
    """Return a name for each recording that a note of an instrument is made of.

    Notes of one name differ in loudness alone, in every page and every process.

    >>> tone_names(bass := instrument("bass"), 40, 80) == tone_names(bass, 40, 90)
    True
    """
    regions = one.font.regions(one.bank, one.program, midi, loudness)
    head = f"{one.font.number:x} {one.part} {one.program} {midi}"
    return tuple(f"{head} {at} {r.key} {len(r.recording)}" for at, r in enumerate(regions))


def tone_of(
    one: Instrument, midi: int, loudness: int, place: int = 0, *, steady: float = LONGEST_TONE
) -> Tone:
    """Return a recording of a note, up to ``LONGEST_TONE`` seconds, as ``render`` plays it.

    ``steady`` are the seconds of one that goes on and on.

    >>> found = tone_of(instrument("line"), 69, 90)
    >>> found.place, len(found.wave) <= LONGEST_TONE * 44100
    (0.0, True)
    """
    rate, part = RATES[-1], one.part
    regions = one.font.regions(one.bank, one.program, midi, loudness)
    region, drums = regions[place], part == "drums"
    stays = not drums and is_steady(region, midi)
    frames = round((steady if stays else LONGEST_TONE) * rate)
    wave = voice_once(region, midi, rate, frames, 0.0 if drums else correction(region))
    wave *= np.float32(10 ** (LEVELS[part] / 20) * _level(one, level_key(part, midi)))
    side = place_of(part, midi) + (side_of(region) if len(regions) > 1 else 0.0)
    release = len(release_of(region, rate)) / rate
    if part != "bass":
        return Tone(wave, side, release, steady=stays)
    full = fuller(wave * np.float32(gains(side)[0] / gains(0.0)[0]), rate)  # in the middle
    return Tone(full[: len(wave)], 0.0, release, TAPS // 2, stays)


def line_gains(one: Instrument, midi: int) -> tuple[float, ...]:
    """Return by how much ``render`` turns a note of the line up against ``tone_of``, by moment.

    Only the line is measured over the length of its notes, of which ``moments`` has all; what dies
    away soon is turned up less where they are short.

    >>> gains = line_gains(instrument("line"), 69)
    >>> len(gains), 0.3 < min(gains) <= 1 <= max(gains) < 3
    (9, True)
    """
    key = level_key("line", midi)
    usual = _level(one, key)
    return tuple(_level(one, key, moment) / usual if usual else 1.0 for moment in moments())


def _level(one: Instrument, key: int, moment: float = MOMENT) -> float:
    """Return what brings a note of an instrument to full level."""
    return note_level(one.font, one.bank, one.program, key, RATES[-1], moment)


def moments_told() -> list[float]:
    """Return what tells the moment of a tempo: seconds at one beat a minute, and its bounds."""
    every = moments()
    return [round(NOTE * 60, 3), every[0], every[-1], len(every) - 1]


def room_told() -> Wave:
    """Return how the room answers a click, in two channels."""
    return room(RATES[-1])


def room_shares() -> dict[str, float]:
    """Return how much of each part the room hears."""
    return dict(SENT)


def wav_bytes(samples: Samples) -> bytes:
    """Return the sound as a WAV file of 16 bits: the quickest to make, 2 bytes a frame.

    >>> wav_bytes(Samples(np.zeros(4, np.float32), 22050))[:4]
    b'RIFF'
    """
    return _encoded(samples.wave, samples.rate, "WAV", "PCM_16")


def spare(performance: Performance, *, melody: str, ending: str) -> Samples | None:
    """Return a performance in one channel of half the frames, without what is too high for them."""
    samples = render(performance, melody=melody, ending=ending)
    one = samples.wave.mean(axis=1)
    frames = len(one) // 2
    low = np.fft.rfft(one[: 2 * frames])[: frames // 2 + 1] / 2
    return Samples(np.fft.irfft(low, frames).astype(np.float32), samples.rate // 2)


def ogg_bytes(samples: Samples, *, compression: float = OGG_COMPRESSION) -> bytes:
    """Return the sound as Ogg Vorbis, as long, a tenth of the WAV; ``compression`` is 0 to 1."""
    return _encoded(samples.wave, samples.rate, "OGG", "VORBIS", compression_level=compression)


def flac_bytes(samples: Samples) -> bytes:
    """Return the sound as FLAC, a third of the WAV, rounded near 74 dB below full scale."""
    steps = 1 << (FLAC_BITS - 1)
    whole = np.clip(np.round(samples.wave * steps), -steps, steps - 1).astype(np.int16)
    return _encoded(whole << (16 - FLAC_BITS), samples.rate, "FLAC", "PCM_16")


def mp3_bytes(samples: Samples, *, compression: float | None = None) -> bytes:
    """Return the sound as MP3, up to 0.1 s longer; ``compression`` is 0 to 1, or the encoder's."""
    how = {} if compression is None else {"compression_level": compression}
    return _encoded(samples.wave, samples.rate, "MP3", "MPEG_LAYER_III", **how)


def decoded(data: bytes, most: int) -> NDArray[np.int16]:
    """Return the first channel of a sound file as whole numbers of 16 bits, ``most`` at most.

    >>> sound = ogg_bytes(Samples(np.zeros(500, np.float32), 22050))
    >>> len(decoded(sound, 400)), decoded(sound, 9000).dtype
    (400, dtype('int16'))
    """
    return np.ascontiguousarray(_recorded(data, most, "int16")[0][:, 0])


def _recorded(data: bytes, most: int, form: str) -> tuple[NDArray[Any], int]:
    """Return the frames of a sound file, a number for each channel, and how many are a second.

    A file of fractions is silent where it is read as whole numbers: libsndfile cuts each to 0.
    """
    try:
        with soundfile.SoundFile(io.BytesIO(data)) as file:
            if file.channels > MOST_CHANNELS:
                raise ValueError(f"{file.channels} channels")
            return file.read(min(most, file.frames), form, always_2d=True), file.samplerate
    except (soundfile.LibsndfileError, MemoryError):
        raise ValueError("no sound file") from None


def joined_bytes(waves: Iterable[Wave], form: str, *, compression: float) -> bytes:
    """Return sounds of one channel one behind the other, as one file: ``"ogg"`` or ``"flac"``.

    Each is taken when it is its turn, so that no two need be there at once.
    """
    if form == "flac":
        return _written(waves, RATES[-1], 1, "FLAC", "PCM_16")
    return _written(waves, RATES[-1], 1, "OGG", "VORBIS", compression_level=compression)


def _encoded(
    wave: NDArray[np.float32] | NDArray[np.int16], rate: int, form: str, coding: str, **how: float
) -> bytes:
    """Encode one sound."""
    return _written([wave], rate, 1 if wave.ndim == 1 else wave.shape[1], form, coding, **how)


def _written(
    waves: Iterable[NDArray], rate: int, channels: int, form: str, coding: str, **how: float
) -> bytes:
    """Encode sounds block by block."""
    target = io.BytesIO()
    with soundfile.SoundFile(target, "w", rate, channels, coding, format=form, **how) as file:
        for wave in waves:
            for start in range(0, len(wave), BLOCK):
                file.write(wave[start : start + BLOCK])
    return target.getvalue()
