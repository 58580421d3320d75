"""What can be told of a sound by measuring it: pitch, onsets, levels."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Wave = NDArray[np.float32]


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


def loudness(wave: Wave) -> float:
    """Return the root mean square level in decibels below full scale."""
    return decibels(float(np.sqrt(np.mean(np.square(wave, dtype=np.float64)))))
