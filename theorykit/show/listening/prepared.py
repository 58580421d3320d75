"""A sound made ready to be heard: without rumble, at another rate, its level at each step."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

RUMBLE = 40.0  # hertz; the lowest note of a bass has 41
PIECE, BESIDE = 30, 1  # seconds that are resampled at a time; beside them, so that none is cut
AROUND = 0.012  # seconds on each side over which a level is taken


def resampled(wave: NDArray[np.floating], rate: int, wanted: int) -> NDArray[np.float64]:
    """Return a sound at another rate, its offset and what lies above half of the rate left out.

    It is done piece by piece, so that a long take needs little room.

    >>> len(resampled(np.zeros(44100), 44100, 16000))
    16000
    """
    if rate == wanted:
        return np.asarray(wave, np.float64)
    offset = float(wave.mean(dtype=np.float64)) if len(wave) else 0.0
    found = np.zeros(int(len(wave) * wanted / rate))
    whole = PIECE + 2 * BESIDE  # seconds: both rates have whole numbers of frames in it
    for first in range(0, -(-len(wave) // rate), PIECE):
        padded = np.zeros(whole * rate)
        low = (first - BESIDE) * rate
        inside = wave[max(low, 0) : low + whole * rate]
        padded[max(-low, 0) :][: len(inside)] = inside - offset
        spectrum = np.fft.rfft(padded)
        kept = np.zeros(whole * wanted // 2 + 1, complex)
        common = min(len(kept), len(spectrum))
        kept[:common] = spectrum[:common]
        piece = np.fft.irfft(kept, whole * wanted) * (wanted / rate)
        place = found[first * wanted : (first + PIECE) * wanted]
        place[:] = piece[BESIDE * wanted :][: len(place)]
    return found


def above_rumble(wave: NDArray[np.float64], rate: int) -> NDArray[np.float64]:
    """Return a sound without what lies below all notes: an offset, wind, steps.

    >>> float(np.abs(above_rumble(np.full(8000, 0.5), 8000)).max()) < 1e-9
    True
    """
    if not len(wave):
        return wave
    size = -(-len(wave) // rate) * rate  # whole seconds: lengths that a transform takes quickly
    spectrum = np.fft.rfft(wave - wave.mean(), size)
    hertz = np.fft.rfftfreq(size, 1 / rate)
    spectrum *= np.clip((hertz - RUMBLE / 2) / (RUMBLE / 2), 0, 1)
    return np.fft.irfft(spectrum, size)[: len(wave)]


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
