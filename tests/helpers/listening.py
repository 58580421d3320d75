"""What can be told of a sound by measuring it: pitch, onsets, levels."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from theorykit.show.sound import Samples

Wave = NDArray[np.float32]


def mono(samples: Samples) -> Wave:
    """Return both channels as one; what stands in the middle keeps its level."""
    if samples.wave.ndim == 1:
        return samples.wave
    return np.asarray(samples.wave.sum(axis=1) / np.sqrt(2), np.float32)


def frequency(wave: Wave, rate: int, near: float) -> float:
    """Return the fundamental in hertz, found from the partials of a note that sounds near ``near``.

    Each partial is the peak of a finely spaced spectrum within 60 cents of where it should lie; the
    loud ones count most.
    """
    size = 1 << 19
    spectrum = np.abs(np.fft.rfft(wave * np.hanning(len(wave)), size))
    hertz = np.fft.rfftfreq(size, 1 / rate)
    found, weights = [], []
    for partial in range(1, 7):
        inside = np.abs(1200 * np.log2(np.maximum(hertz, 1e-9) / (near * partial))) < 60
        peak = int(np.argmax(spectrum * inside))
        found.append(hertz[peak] / partial)
        weights.append(spectrum[peak])
    return float(np.average(found, weights=weights))


def cents(measured: float, wanted: float) -> float:
    """Return how far one frequency is above another."""
    return float(1200 * np.log2(measured / wanted))


def onsets(wave: Wave, rate: int, *, apart: float = 0.05) -> list[float]:
    """Return the seconds at which the level jumps up, at least ``apart`` seconds apart."""
    hop = rate // 1000
    level = np.abs(wave[: len(wave) // hop * hop]).reshape(-1, hop).max(axis=1)
    before = np.maximum.accumulate(level)  # of all that came: only to know what silence is
    floor = 0.02 * before[-1]
    found: list[float] = []
    for at in range(1, len(level)):
        recent = level[max(0, at - 12) : at].max()
        jumps = level[at] > floor and level[at] > 2.0 * recent
        if jumps and (not found or at * hop / rate - found[-1] >= apart):
            found.append(at * hop / rate)
    return found


def decibels(amplitude: float) -> float:
    """Return a level relative to full scale."""
    return float(20 * np.log10(max(amplitude, 1e-12)))


def lufs(samples: Samples) -> float:
    """Return the loudness of a programme by ITU-R BS.1770-4, 2015, gated in blocks of 0.4 s.

    The two filters are those that it prints for 48,000 frames a second, read at the frequencies of
    the sound at hand; near half its frame rate they differ a little from filters made for it.
    """
    wave = samples.wave.reshape(len(samples.wave), -1).astype(np.float64)
    z = np.exp(-2j * np.pi * np.fft.rfftfreq(len(wave), 1 / samples.rate) / 48000)
    shelf = (1.53512485958697 - 2.69169618940638 * z + 1.19839281085285 * z**2) / (
        1 - 1.69065929318241 * z + 0.73248077421585 * z**2
    )
    low = (1 - 2 * z + z**2) / (1 - 1.99004745483398 * z + 0.99007225036621 * z**2)
    heard = np.fft.irfft(np.fft.rfft(wave, axis=0) * (shelf * low)[:, None], len(wave), axis=0)
    block, hop = round(0.4 * samples.rate), round(0.1 * samples.rate)
    total = np.concatenate(([0.0], np.cumsum((heard**2).sum(axis=1))))
    starts = np.arange(0, max(1, len(wave) - block + 1), hop)
    power = (total[np.minimum(starts + block, len(wave))] - total[starts]) / block
    power = power[power > 10 ** ((-70 + 0.691) / 10)]
    if not len(power):
        return -np.inf
    power = power[power > power.mean() / 10]
    return float(-0.691 + 10 * np.log10(power.mean()))


def true_peak(samples: Samples) -> float:
    """Return the peak between the frames in decibels, read four times as finely."""
    wave = samples.wave.reshape(len(samples.wave), -1).astype(np.float64)
    size = len(wave) + len(wave) % 2
    spectrum = np.fft.rfft(wave, size, axis=0)
    spectrum[-1] *= 0.5
    return decibels(4 * float(np.abs(np.fft.irfft(spectrum, 4 * size, axis=0)).max()))


def loudness(wave: Wave) -> float:
    """Return the root mean square level in decibels below full scale."""
    return decibels(float(np.sqrt(np.mean(np.square(wave, dtype=np.float64)))))
