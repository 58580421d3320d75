"""A sound made ready to be heard: without rumble, at another rate, its level at each step."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

RUMBLE = 40.0  # hertz; the lowest note of a bass has 41
AROUND = 0.012  # seconds on each side over which a level is taken


def resampled(wave: NDArray[np.float64], rate: int, wanted: int) -> NDArray[np.float64]:
    """Return a sound at another rate, what lies above half of it left out.

    >>> len(resampled(np.zeros(44100), 44100, 16000))
    16000
    """
    if rate == wanted:
        return wave
    blocks = -(-len(wave) // rate)  # whole seconds: lengths that a transform takes quickly
    padded = np.zeros(blocks * rate)
    padded[: len(wave)] = wave
    spectrum = np.fft.rfft(padded)
    kept = np.zeros(blocks * wanted // 2 + 1, complex)
    common = min(len(kept), len(spectrum))
    kept[:common] = spectrum[:common]
    found = np.fft.irfft(kept, blocks * wanted) * (wanted / rate)
    return np.ascontiguousarray(found[: int(len(wave) * wanted / rate)])


def above_rumble(wave: NDArray[np.float64], rate: int) -> NDArray[np.float64]:
    """Return a sound without what lies below all notes: an offset, wind, steps.

    >>> float(np.abs(above_rumble(np.full(8000, 0.5), 8000)).max()) < 1e-9
    True
    """
    spectrum = np.fft.rfft(wave)
    hertz = np.fft.rfftfreq(len(wave), 1 / rate)
    return np.fft.irfft(spectrum * np.clip((hertz - RUMBLE / 2) / (RUMBLE / 2), 0, 1), len(wave))


def levels(wave: NDArray[np.float64], rate: int, hop: float, steps: int) -> NDArray[np.float64]:
    """Return the level in decibels around each of so many steps, ``hop`` seconds apart.

    >>> levels(np.full(1000, 0.1), 1000, 0.1, 3).round().tolist()
    [-20.0, -20.0, -20.0]
    """
    power = np.concatenate(([0.0], np.cumsum(wave * wave)))
    middles = np.arange(steps) * hop * rate
    low = np.clip(middles - AROUND * rate, 0, len(wave)).astype(int)
    high = np.clip(middles + AROUND * rate, 1, len(wave)).astype(int)
    mean = (power[high] - power[low]) / np.maximum(high - low, 1)
    return 10 * np.log10(np.maximum(mean, 1e-12))
