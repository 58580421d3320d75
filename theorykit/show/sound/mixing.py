"""Mixing: where each instrument stands, the room around it, how loud, and the last decibels.

Source of the weighting: Recommendation ITU-R BS.1770-4, 2015, its two filters written for any frame
rate by their analogue corner frequencies (from memory; the test compares them with a library). The
rest is common practice of recording: bass and line in the middle, the drums as one hears them from
the hall, a small room on everything but the bass, a limiter that hardly works.
"""

from __future__ import annotations

import mmap
from functools import lru_cache
from math import prod

import numpy as np
from numpy.typing import NDArray

Wave = NDArray[np.float32]
RING_OUT = 0.25  # seconds at the end of the tail in which what still rings is faded


def own_memory(size: int) -> mmap.mmap:
    """Return some bytes, all zero, apart from other memory; a forked process has its own copy.

    >>> own_memory(4)[:]
    b'\\x00\\x00\\x00\\x00'
    """
    alone = getattr(mmap, "MAP_PRIVATE", None)  # Windows knows neither the word nor forks
    return mmap.mmap(-1, size) if alone is None else mmap.mmap(-1, size, alone | mmap.MAP_ANON)


def silence(*shape: int) -> Wave:
    """Return zeros in memory of their own, which is given back when nobody needs it any more.

    >>> silence(2, 3).tolist()
    [[0.0, 0.0, 0.0], [0.0, 0.0, 0.0]]
    """
    frames = prod(shape)
    whole = np.frombuffer(own_memory(4 * max(1, frames)), np.float32)
    return whole[:frames].reshape(shape)


def rounded(mix: Wave, length: int, lead: int) -> Wave:
    """Return ``length`` frames of the mix, what lies before and after added where it comes round.

    Its first beat lies ``lead`` frames after its first one.

    >>> rounded(np.ones((2, 10), np.float32), 4, 2)[0].tolist()
    [2.0, 2.0, 3.0, 3.0]
    """
    rounds = -(-(mix.shape[1] + length) // length)
    whole = np.zeros((2, (rounds + lead // length + 1) * length), np.float32)
    before = -lead % length
    whole[:, before : before + mix.shape[1]] = mix
    return np.asarray(whole.reshape(2, -1, length).sum(axis=1), np.float32)


def faded(mix: Wave, rate: int) -> Wave:
    """Return the mix with a longer fade where it rings out."""
    fall = round(RING_OUT * rate)
    mix[:, -fall:] *= np.cos(np.linspace(0, np.pi / 2, fall, dtype=np.float32))
    return mix


# === Places ===

# Left is -1, right is 1. A drum is found by its General MIDI number, a piano key by its height.
PLACES = {"line": 0.0, "piano": -0.3, "bass": 0.0, "drums": 0.1}
DRUM_PLACES = {36: 0.0, 37: -0.1, 38: -0.1, 40: -0.15, 42: -0.35, 44: -0.35, 49: -0.25, 51: 0.35}
DRUM_PLACES |= {43: 0.3, 45: 0.2, 48: -0.05}
WIDTH, MIDDLE_KEY = 0.008, 62  # of a piano: to the right by key above the middle


def place_of(name: str, midi: int) -> float:
    """Return where a note of a part stands, from -1 on the left to 1 on the right.

    >>> place_of("bass", 40), place_of("drums", 51) > 0, place_of("piano", 50) < 0
    (0.0, True, True)
    """
    if name == "drums":
        return DRUM_PLACES.get(midi, PLACES[name])
    return PLACES[name] + (WIDTH * (midi - MIDDLE_KEY) if name == "piano" else 0.0)


def gains(place: float) -> tuple[float, float]:
    """Return the levels left and right of what stands at a place; their powers add up to one.

    >>> [round(gain, 3) for gain in (*gains(0.0), *gains(-1.0))]
    [0.707, 0.707, 1.0, 0.0]
    """
    angle = (min(max(place, -1.0), 1.0) + 1) * np.pi / 4
    return float(np.cos(angle)), float(np.sin(angle))


# === Loudness ===

SHELF_HZ, SHELF_DB, SHELF_Q = 1681.974450955533, 3.999843853973347, 0.7071752369554196
LOW_HZ, LOW_Q = 38.13547087602444, 0.5003270373238773


@lru_cache(maxsize=32)
def weighting(size: int, rate: int) -> Wave:
    """Return by what the power at each frequency of a spectrum counts as loudness."""
    z = np.exp(-2j * np.pi * np.fft.rfftfreq(size))
    gain = 10 ** (SHELF_DB / 20)
    k = np.tan(np.pi * SHELF_HZ / rate)
    mid = gain**0.4996667741545416
    shelf = _ratio(
        (gain + mid * k / SHELF_Q + k * k, 2 * (k * k - gain), gain - mid * k / SHELF_Q + k * k),
        (1 + k / SHELF_Q + k * k, 2 * (k * k - 1), 1 - k / SHELF_Q + k * k),
        z,
    )
    k = np.tan(np.pi * LOW_HZ / rate)
    whole = 1 + k / LOW_Q + k * k
    low = _ratio((1, -2, 1), (1, 2 * (k * k - 1) / whole, (1 - k / LOW_Q + k * k) / whole), z)
    return np.asarray(np.abs(shelf * low) ** 2, np.float32)


def _ratio(
    over: tuple[float, float, float], under: tuple[float, float, float], z: NDArray[np.complex128]
) -> NDArray[np.complex128]:
    """Return the response of a filter of second order."""
    top, bottom = (c[0] + c[1] * z + c[2] * z * z for c in (over, under))
    return np.asarray(top / bottom)


def heard_power(wave: Wave, rate: int) -> float:
    """Return the mean power of a sound in one channel, weighted as it is heard."""
    power = np.abs(np.fft.rfft(wave)) ** 2 * weighting(len(wave), rate)
    return float(2 * power.sum()) / len(wave) ** 2


# === The room and the bass ===

ROOM_SECONDS = 0.55  # until its sound has fallen by 60 dB
FIRST_ECHOES = (0.018, 0.024, 0.030, 0.038, 0.048)  # seconds
SEED = 16  # of the first forty rooms the one in which no note leans far to one side
TURNS = (0.0013, 0.0021, 0.0034)  # seconds by which the two sides lean apart and together again
TURN, APART_HZ = 0.95, 1500.0  # how far they lean, and above which frequency they do so in full
SENT = {"line": 0.14, "piano": 0.12, "bass": 0.02, "drums": 0.13}  # how much of a part it answers
DAMPED_HZ, THIN_HZ = 4500.0, 180.0  # above and below them it answers less
BODY_HZ = (170.0, 650.0)  # what a small loudspeaker plays of a bass
BODY = 1.0  # how much of that is added
TAPS = 1023  # frames of the filter for it


@lru_cache(maxsize=4)
def room(rate: int, seed: int = SEED) -> Wave:
    """Return the answer of a small room to a click, in two channels; its power is one in each.

    Both sides are one answer whose phases are turned, by as much one way as the other. So whatever
    the seed, both are as loud at every frequency, alike where they are low and unlike above, as at
    the two ears of a listener (common practice).
    """
    frames = round(ROOM_SECONDS * rate)
    time = np.arange(frames) / rate
    noise = np.random.default_rng(seed).standard_normal(frames)
    noise *= 10 ** (-3 * time / ROOM_SECONDS) * (time > FIRST_ECHOES[0])
    for number, echo in enumerate(FIRST_ECHOES):
        noise[round(echo * rate)] += 8.0 - number
    hertz = np.fft.rfftfreq(2 * frames, 1 / rate)
    damped = 1 / (1 + (hertz / DAMPED_HZ) ** 2) * (hertz**2 / (hertz**2 + THIN_HZ**2))
    middle = np.fft.rfft(noise, 2 * frames) * damped
    waves = np.sin(2 * np.pi * np.outer(TURNS, hertz)).sum(axis=0)
    turn = np.exp(1j * TURN * np.minimum(1, hertz / APART_HZ) * waves)
    answer = np.fft.irfft(np.stack((middle * turn, middle / turn)))[:, :frames]
    answer /= np.sqrt((answer**2).sum(axis=1, keepdims=True))
    return answer.astype(np.float32)


@lru_cache(maxsize=4)
def body(rate: int) -> Wave:
    """Return the filter that adds to a bass what a small loudspeaker plays of it."""
    time = (np.arange(TAPS) - TAPS // 2) / rate
    low, high = (2 * hertz / rate * np.sinc(2 * hertz * time) for hertz in BODY_HZ)
    band = (high - low) * np.hanning(TAPS) * BODY
    band[TAPS // 2] += 1.0
    return band[None].astype(np.float32)


def fuller(wave: Wave, rate: int) -> Wave:
    """Return a note of a bass behind that filter, which answers half of its length before it.

    >>> int(np.abs(fuller(np.eye(1, 500, dtype=np.float32)[0], 44100)).argmax()) == TAPS // 2
    True
    """
    frames = len(wave) + TAPS - 1
    size = 1 << frames.bit_length()
    heard = np.fft.irfft(np.fft.rfft(wave, size) * np.fft.rfft(body(rate)[0], size), size)
    return heard[:frames].astype(np.float32)


BLOCK = 1 << 16  # frames that are filtered at a time, to keep within small memory


@lru_cache(maxsize=4)
def _answers(rate: int, size: int) -> NDArray[np.complex64]:
    """Return what becomes of both inputs of ``in_room`` on both sides, by frequency.

    The filter of the bass is as long before a note as after it, so all else waits for half of it.
    """
    around = np.fft.rfft(room(rate), size)
    wait = np.exp(-2j * np.pi * np.fft.rfftfreq(size) * (TAPS // 2))
    bass = np.fft.rfft(body(rate), size) * (1 + 2 * SENT["bass"] * around)
    return np.stack((around * wait, bass)).astype(np.complex64)


def in_room(sent: Wave, bass: Wave, rate: int) -> Wave:
    """Return what the room answers to what is sent to it, and the bass in its room, two channels.

    >>> click, none = np.zeros(44100, np.float32), np.zeros(44100, np.float32)
    >>> click[100] = 1
    >>> heard = np.abs(in_room(none, click, 44100))
    >>> int(heard[0].argmax()), bool((heard[0, :-24000] > 0.5).sum() == 1)
    (100, True)
    """
    frames, late = len(sent), TAPS // 2
    taps = round(ROOM_SECONDS * rate) + TAPS
    size = min(BLOCK, 1 << (frames + taps).bit_length())
    step = size - taps + 1
    answers = _answers(rate, size)
    out = silence(2, -(-frames // step) * step + size)
    for start in range(0, frames, step):
        some = slice(start, start + step)
        spectra = np.fft.rfft(sent[some], size), np.fft.rfft(bass[some], size)
        for side in range(2):
            heard = spectra[0] * answers[0, side]
            heard += spectra[1] * answers[1, side]
            out[side, start : start + size] += np.fft.irfft(heard, size)
    return out[:, late : late + frames]


# === The limiter ===

HOP = 0.001  # seconds whose loudest moment is looked at
STRETCH = 1 << 12  # frames that are turned down at a time
AHEAD = 12  # hops before a peak in which the level falls, and after it in which it comes back


def limited(wave: Wave, rate: int, ceiling: float, *, loops: bool = False) -> Wave:
    """Return a sound, a row for each channel, in which nothing is above a ceiling.

    The level falls smoothly around peaks and is one for all channels; what ``loops`` is a ring.
    """
    hop, frames = round(HOP * rate), wave.shape[1]
    count = -(-frames // hop)
    peaks = np.zeros(count * hop, np.float32)
    for channel in wave:
        np.maximum(peaks[:frames], np.abs(channel), out=peaks[:frames])
    wanted = np.minimum(1.0, ceiling / np.maximum(peaks.reshape(count, hop).max(axis=1), 1e-9))
    if wanted.min() >= 1.0:
        return wave
    wide = _beyond(wanted, 2 * AHEAD + 1, loops)
    least = np.lib.stride_tricks.sliding_window_view(wide, 2 * AHEAD + 3).min(axis=1)
    smooth = np.lib.stride_tricks.sliding_window_view(least, 2 * AHEAD + 1).mean(axis=1)
    middles = (np.arange(-1, count + 1) + 0.5) * hop
    around = _beyond(smooth, 1, loops)
    out = silence(*wave.shape)
    out[:] = wave
    hops = STRETCH // hop
    for first in range(0, count, hops):  # a stretch at a time, and only where something is loud
        if around[first : first + hops + 2].min() < 1.0:
            at = np.arange(first * hop, min((first + hops) * hop, frames), dtype=np.float32)
            turned = np.interp(at, middles, around).astype(np.float32)
            out[:, first * hop : first * hop + len(at)] *= turned
    return out


def _beyond(levels: Wave, hops: int, loops: bool) -> Wave:
    """Return levels with some more before and after: those of the other end, or the last again."""
    at = np.arange(-hops, len(levels) + hops)
    return levels[at % len(levels) if loops else np.clip(at, 0, len(levels) - 1)]
