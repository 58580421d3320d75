"""A voice: one note out of a SoundFont, at the wanted pitch, tuned, filtered and shaped.

Source of the units and curves: *SoundFont Technical Specification* 2.04, 2006, sections 8 and 9
(times in timecents, pitches in cents, levels in tenths of a decibel). Attenuation counts at four
tenths of what is written, as on the hardware that SoundFonts were made for (common practice).

The recordings of a SoundFont are not all well tuned: of the one that comes along, a flute key is
sharp by 17 hundredths of a half step and a trumpet key flat by 13. An ear that learns to hear
tensions should not have to hear past that.
"""

from __future__ import annotations

from collections import deque
from dataclasses import dataclass
from functools import lru_cache
from threading import Lock

import numpy as np
from numpy.typing import NDArray

from theorykit.show.sound.mixing import own_memory
from theorykit.show.sound.soundfont import Region

Wave = NDArray[np.float32]

LOWEST_HZ = 8.175799  # the frequency of MIDI number 0, from which cents of frequency count
ATTENUATION = 0.4
SILENT_DB = 100.0  # what falls so far is silent
UNHEARD_DB = 60.0  # what falls so far below a sounding note is not heard
SHORTEST_FADE = 0.005  # seconds: a faster end would click
FULL = 1000.0  # a sustain of 1000 tenths of a percent
EXTRA = 64  # frames of the loop repeated after its end, so that reading ahead meets the loop
MOST_OCTAVES = 8  # that a recording is moved; a keyboard has not many more
BLOCK = 512  # frames filtered at a time
AT_A_TIME = 64  # of these blocks, to keep within small memory
STOCKED, STRETCHES = 1 << 20, 10  # frames of a stretch of memory, and how many: 20 MB
FAR_OFF = 0.1  # of the level of a loop: what its mean may be, so that no note begins with a thump
READ = 1 << 22  # frames of recordings that are kept as numbers: 16 MB
LOUDEST_16, QUIETEST = 32767, 1e-9
STRETCH = 1 << 14  # frames read at a time, for the same reason


def voice(region: Region, key: int, rate: int, frames: int, *, tune: float = 0.0) -> Wave:
    """Return ``frames`` of a key of a region, held down, at ``rate`` frames a second.

    ``tune`` are cents added to its pitch. What comes back may be shorter than asked, where the
    recording ends.
    """
    block = rate // 4  # quarters of a second: notes of nearly the same length share one voice
    return _STOCK.voice(region, key, rate, -(-frames // block) * block, tune).heard(frames)


def voice_once(region: Region, key: int, rate: int, frames: int, tune: float = 0.0) -> Wave:
    """Return a voice that is not kept for the next time, such as one that is only measured."""
    time = np.arange(frames, dtype=np.float32) / np.float32(rate)
    octaves = (_cents(region, key) + tune) / 1200
    step = region.rate / rate * 2 ** min(max(octaves, -MOST_OCTAVES), MOST_OCTAVES)
    wave = _read(region, key, step, time)
    time = time[: len(wave)]
    wave = _filtered(wave, region, key, rate)
    wave *= _volume(region, key, time)
    return wave


@dataclass(frozen=True, slots=True)
class _Kept:
    """A voice in 16 bits, as fine as the recordings: its numbers, and the step between two."""

    numbers: NDArray[np.int16]
    step: np.float32

    def heard(self, frames: int) -> Wave:
        """Return the first frames of the voice; they are made for each who asks."""
        return self.numbers[:frames] * self.step


class _Stock:
    """The voices that were made last, side by side in a few large stretches of memory.

    A voice that stays between short-lived arrays would hold the memory around it, which would cost
    a third more. Where the stretches are full, the oldest goes with all that is in it.
    """

    def __init__(self) -> None:
        self._voices: dict[tuple[object, ...], _Kept] = {}
        self._stretches: deque[tuple[NDArray[np.int16], list[tuple[object, ...]]]] = deque()
        self._used = STOCKED
        self._turn = Lock()  # two threads may render at once

    def voice(self, region: Region, key: int, rate: int, frames: int, tune: float) -> _Kept:
        """Return a voice, made now or before."""
        asked = (region, key, rate, frames, tune)
        found = self._voices.get(asked)
        return self._kept(asked, voice_once(*asked)) if found is None else found

    def _kept(self, asked: tuple[object, ...], wave: Wave) -> _Kept:
        """Keep a voice; one that is longer than a stretch is not kept for the next time."""
        step = np.float32(max(float(np.abs(wave).max(initial=0)), QUIETEST) / LOUDEST_16)
        numbers = np.rint(wave / step).astype(np.int16)
        if len(wave) > STOCKED:
            return _Kept(numbers, step)
        with self._turn:
            if self._used + len(wave) > STOCKED:
                self._begin()
            stretch, names = self._stretches[-1]
            place = stretch[self._used : self._used + len(wave)]
            self._used += len(wave)
            place[:] = numbers
            found = self._voices[asked] = _Kept(place, step)
            names.append(asked)
        return found

    def _begin(self) -> None:
        """Begin a stretch, in the place of the oldest where there are enough."""
        if len(self._stretches) == STRETCHES:
            for name in self._stretches.popleft()[1]:
                self._voices.pop(name, None)
        self._stretches.append((np.frombuffer(own_memory(2 * STOCKED), np.int16), []))
        self._used = 0


_STOCK = _Stock()


@lru_cache(maxsize=256)
def release_of(region: Region, rate: int) -> Wave:
    """Return how the level falls after the key is let go, to where it is not heard, and to none."""
    seconds = _seconds(region.shape["release"]) * UNHEARD_DB / SILENT_DB
    frames = int(max(seconds, SHORTEST_FADE) * rate)
    fall = np.asarray(10 ** (-np.linspace(0, UNHEARD_DB / 20, frames)), np.float32)
    end = min(frames, int(SHORTEST_FADE * rate))
    fall[frames - end :] *= np.cos(np.linspace(0, np.pi / 2, end, dtype=np.float32)) ** 2
    return fall


def _seconds(timecents: int) -> float:
    """Return a time written in timecents: 0 is one second, 1200 two."""
    return float(2 ** (min(timecents, 8000) / 1200))


def _hertz(cents: float) -> float:
    """Return a frequency written in cents above MIDI number 0."""
    return float(LOWEST_HZ * 2 ** (cents / 1200))


def _read(region: Region, key: int, step: float, time: Wave) -> Wave:
    """Read the recording ``step`` frames at a time, around its loop for as long as needed."""
    octave = max(0, round(np.log2(step)))
    source, loop_start, loop_end = _SOURCES.source(region, octave)
    step /= 2**octave
    bend = _bend(region, key, time)
    place: NDArray[np.float64]
    if bend is None:
        place = np.arange(len(time), dtype=np.float64) * step
    else:
        place = np.concatenate(([0.0], np.cumsum(step * 2 ** (bend[:-1].astype(float) / 1200))))
    if loop_end > loop_start:
        looped = place >= loop_end
        place[looped] = loop_start + (place[looped] - loop_start) % (loop_end - loop_start)
    else:
        place = place[place < len(source) - EXTRA]
    return _between(source, place)


def _cents(region: Region, key: int) -> float:
    """Return how far above its own pitch the recording is to sound."""
    shape = region.shape
    played = shape["fixed key"] if shape["fixed key"] >= 0 else key
    tune = 100 * shape["coarse tune"] + shape["fine tune"] + region.cents
    return (played - region.key) * shape["scale tuning"] + tune


def _between(source: Wave, place: NDArray[np.float64]) -> Wave:
    """Read between the frames with a cubic through the four nearest ones."""
    out = np.empty(len(place), np.float32)
    for start in range(0, len(place), STRETCH):
        some = slice(start, start + STRETCH)
        at = place[some].astype(np.int32)
        x = (place[some] - at).astype(np.float32)
        before, here, after, beyond = (source.take(at + ahead) for ahead in range(4))
        slope = (after - before) * np.float32(0.5)
        bow = before - here * np.float32(2.5) + after * 2 - beyond * np.float32(0.5)
        twist = (beyond - before) * np.float32(0.5) + (here - after) * np.float32(1.5)
        out[some] = ((twist * x + bow) * x + slope) * x + here
    return out


class _Sources:
    """The recordings that were read last, no more than ``READ`` frames of them."""

    def __init__(self) -> None:
        self._kept: dict[tuple[Region, int], tuple[Wave, float, float]] = {}
        self._frames = 0
        self._turn = Lock()

    def source(self, region: Region, octave: int) -> tuple[Wave, float, float]:
        """Return what ``_source`` returns, made now or before."""
        found = self._kept.get((region, octave)) or _source(region, octave)
        with self._turn:
            if (region, octave) not in self._kept:
                self._kept[region, octave] = found
                self._frames += len(found[0])
            while self._frames > READ:  # the oldest ones go
                self._frames -= len(self._kept.pop(next(iter(self._kept)))[0])
        return found


_SOURCES = _Sources()


def _source(region: Region, octave: int) -> tuple[Wave, float, float]:
    """Return the recording as numbers below 1, and its loop; with none the loop has no length.

    For every octave that it will sound higher, its upper half of overtones is taken away: what lies
    above half the frame rate would come back as a false tone. One frame of silence stands before.
    """
    wave = region.recording.astype(np.float32) / np.float32(32768)
    start, end = region.loop
    looped = region.shape["loops"] in (1, 3) and 0 <= start < end <= len(wave)
    extra = EXTRA << octave
    if looped:
        wave = _without_offset(wave, start, end)
        rounds = -(-extra // (end - start))
        wave = np.concatenate((wave[:end], np.tile(wave[start:end], rounds)[:extra]))
    wave = np.concatenate((wave, np.zeros(extra, np.float32)))
    if octave:
        size = -(-len(wave) // (1 << octave))
        wave = np.pad(wave, (0, (size << octave) - len(wave)))
        wave = (np.fft.irfft(np.fft.rfft(wave)[: size // 2 + 1], size) / (1 << octave)).astype(
            np.float32
        )
    scale = 1 << octave
    loop = (start / scale, end / scale) if looped else (0.0, 0.0)
    return np.concatenate((np.zeros(1, np.float32), wave)), *loop


def _without_offset(wave: Wave, start: int, end: int) -> Wave:
    """Return a recording less the mean of its loop, where that is far off, and the way to it."""
    loop = wave[start:end].astype(np.float64)
    if abs(loop.mean()) < FAR_OFF * np.sqrt((loop**2).mean()):
        return wave
    total = np.concatenate(([0.0], np.cumsum(wave[:end], dtype=np.float64)))
    means = (total[end - start :] - total[: start + 1]) / (end - start)
    ground = means[np.minimum(np.arange(len(wave)), start)]
    return np.asarray(wave - ground, np.float32)


def _wobble(region: Region, name: str, time: Wave) -> Wave:
    """Return a triangle that swings from -1 to 1 at the rate of a vibrato or tremolo."""
    hertz = _hertz(region.shape[f"{name} rate"])
    turned = np.maximum(time - np.float32(_seconds(region.shape[f"{name} delay"])), 0) * hertz
    return np.asarray(1 - 4 * np.abs((turned + 0.25) % 1 - 0.5), np.float32)


def _bend(region: Region, key: int, time: Wave) -> Wave | None:
    """Return by how many cents the pitch moves in time; None where it stands still."""
    shape = region.shape
    bends = [
        shape[f"{name} to pitch"] * _wobble(region, name, time)
        for name in ("tremolo", "vibrato")
        if shape[f"{name} to pitch"]
    ]
    if shape["sweep to pitch"]:
        bends.append(shape["sweep to pitch"] * _sweep(region, key, time))
    return np.asarray(sum(bends), np.float32) if bends else None


def _corners(region: Region, key: int, name: str) -> tuple[float, float, float, float]:
    """Return delay, attack, hold and decay of an envelope in seconds."""
    shape = region.shape
    higher = 60 - key
    return (
        _seconds(shape[f"{name}delay"]),
        _seconds(shape[f"{name}attack"]),
        _seconds(shape[f"{name}hold"] + higher * shape[f"{name}hold by key"]),
        _seconds(shape[f"{name}decay"] + higher * shape[f"{name}decay by key"]),
    )


def _sweep(region: Region, key: int, time: Wave) -> Wave:
    """Return the envelope of pitch and filter, between 0 and 1."""
    delay, attack, hold, decay = _corners(region, key, "sweep ")
    times = np.cumsum((0, delay, attack, hold, decay))
    low = 1 - min(max(region.shape["sweep sustain"] / FULL, 0), 1)
    # the decay is timed from full to nothing, and stops on the way at the level it sustains
    times[-1] = times[-2] + decay * (1 - low)
    return np.interp(time, times, (0, 0, 1, 1, low)).astype(np.float32)


def _volume(region: Region, key: int, time: Wave) -> Wave:
    """Return the level in time while the key is held."""
    delay, attack, hold, decay = _corners(region, key, "")
    sustain = min(max(region.shape["sustain"] / 10, 0), SILENT_DB)
    rise = np.clip((time - np.float32(delay)) / np.float32(attack), 0, 1)
    fallen = (time - np.float32(delay + attack + hold)) * np.float32(SILENT_DB / decay)
    level = rise * 10 ** (-np.clip(fallen, 0, sustain) / np.float32(20))
    if region.shape["tremolo to volume"]:
        swing = region.shape["tremolo to volume"] / 10
        level = level * 10 ** (_wobble(region, "tremolo", time) * np.float32(swing / 20))
    quieter = ATTENUATION * max(0, region.shape["attenuation"]) / 10
    return np.asarray(level * np.float32(10 ** (-quieter / 20)), np.float32)


def side_of(region: Region) -> float:
    """Return where a recording stands in its instrument: -1 on the left, 1 on the right."""
    return float(min(max(region.shape["pan"] / 500, -1), 1))


def _filtered(wave: Wave, region: Region, key: int, rate: int) -> Wave:
    """Return a wave behind the low-pass filter of its region, which may move in time.

    The wave is cut into overlapping blocks, the spectrum of each is weighed by the response of a
    filter of two poles, and the blocks are laid together again.
    """
    shape = region.shape
    if _hertz(shape["cutoff"] + min(0, shape["sweep to cutoff"])) >= rate / 2:
        return wave
    half = BLOCK // 2
    count = len(wave) // half + 2
    padded = np.zeros((count + 1) * half, np.float32)
    padded[half : half + len(wave)] = wave
    blocks = np.lib.stride_tricks.sliding_window_view(padded, BLOCK)[::half]
    window = np.hanning(BLOCK + 1)[:-1].astype(np.float32)
    moments = (np.arange(len(blocks), dtype=np.float32) * half) / np.float32(rate)
    out = np.zeros((len(blocks) + 3) * half, np.float32)
    for first in range(0, len(blocks), AT_A_TIME):
        some = slice(first, first + AT_A_TIME)
        spectra = np.fft.rfft(blocks[some] * window, 2 * BLOCK)
        spectra *= _response(region, key, rate, moments[some])
        back = np.fft.irfft(spectra).astype(np.float32)
        for quarter in range(4):
            pieces = back[:, quarter * half : (quarter + 1) * half].ravel()
            begin = (first + quarter) * half
            out[begin : begin + len(pieces)] += pieces
    return out[half : half + len(wave)]


def _response(region: Region, key: int, rate: int, moments: Wave) -> Wave:
    """Return the response of the filter by moment and frequency."""
    shape = region.shape
    cents = shape["cutoff"] + shape["sweep to cutoff"] * _sweep(region, key, moments)
    cutoff = LOWEST_HZ * 2 ** (np.clip(cents, 1500, 13500) / 1200)
    quality = 10 ** (max(0, shape["resonance"]) / 200) * 2**-0.5
    hertz = np.fft.rfftfreq(2 * BLOCK, 1 / rate).astype(np.float32)
    squared = (hertz * hertz)[None, :] * np.asarray(cutoff**-2.0, np.float32)[:, None]
    response = (1 - squared) ** 2 + squared * np.float32(quality**-2)
    response *= np.float32(max(1.0, quality * 2**0.5))  # what the peak adds, the rest gives back
    return np.asarray(1 / np.sqrt(response), np.float32)


# === Tuning ===

CONCERT_A, CONCERT_A_MIDI = 440.0, 69  # hertz: ISO 16:1975
RATE = 22050
SPEECH, STEADY = 5000, 16384  # frames left out at the start, frames measured
PARTIALS = range(1, 7)
FARTHEST = 60.0  # cents: what is farther off is no bad tuning but another sound
CLEAR = 0.05  # of the loudest partial: what is softer says nothing
LOWEST, HIGHEST = 36, 90  # MIDI numbers between which partials can be told apart


@lru_cache(maxsize=1024)
def correction(region: Region) -> float:
    """Return the cents to add to a recording so that its keys sound in tune; 0 if it has no pitch.

    The middle key of its range is measured: each clear partial by the peak of the spectrum near
    the place where it should lie.
    """
    low, high = region.keys
    key = min(max((low + high) // 2, LOWEST), HIGHEST)
    wave = voice_once(region, key, RATE, SPEECH + STEADY)[SPEECH:]
    if len(wave) < STEADY or not wave.any():
        return 0.0
    size = 4 * STEADY
    spectrum = np.abs(np.fft.rfft(wave * np.hanning(STEADY).astype(np.float32), size))
    pitch = CONCERT_A * 2 ** ((key - CONCERT_A_MIDI) / 12)
    peaks = [_peak(spectrum, partial * pitch * size / RATE) for partial in PARTIALS]
    loudest = max(level for level, _ in peaks)
    clear = [(level, off) for level, off in peaks if level >= CLEAR * float(spectrum.max())]
    if not clear or loudest <= 0:
        return 0.0
    levels, offs = zip(*clear, strict=True)
    return -float(np.average(offs, weights=levels))


def _peak(spectrum: np.ndarray, at: float) -> tuple[float, float]:
    """Return how loud the partial near a place of the spectrum is, and how many cents it is off."""
    span = 2 ** (FARTHEST / 1200)
    first, last = int(at / span), int(at * span) + 2
    if last >= len(spectrum) - 1:
        return 0.0, 0.0
    top = first + int(np.argmax(spectrum[first:last]))
    before, level, after = (float(spectrum[top + step]) for step in (-1, 0, 1))
    if level < max(before, after):
        return 0.0, 0.0  # it rises at the border: no peak of its own
    lean = before - 2 * level + after
    place = top + (0.5 * (before - after) / lean if lean else 0.0)
    return level, float(1200 * np.log2(place / at))
