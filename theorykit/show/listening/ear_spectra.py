"""Spectra for the ear, at each step, on scales of half steps and of mels.

A long window tells low pitches apart, a short one tells when a note begins. Levels are
logarithms over the loud parts of the take.
"""

from __future__ import annotations

from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

RATE, STEP = 16_000, 128  # frames a second, and from one spectrum to the next
HOP = STEP / RATE  # seconds
LOWEST, COUNT = 28, 73  # MIDI number of the lowest half step, and how many there are
FINER = 3  # bins of a half step
ABOVE = 18  # half steps over the highest, for partials
BINS = (COUNT + ABOVE) * FINER
LONG, MIDDLE, SHORT = 2048, 1024, 512  # frames of a window
BANDS, DEEPEST, TOP = 64, 60.0, 7_900.0  # of mels; hertz
LOUD, FAINT = 90, 3e-4  # percentile that is loud; what is too faint to count, over it
BLOCK = 512  # spectra at a time, so that a long take needs little room


def ear_spectra(wave: NDArray[np.float32], cents: float) -> NDArray[np.float32]:
    """Return a row for each ``HOP``: the half steps by two windows, then the mels.

    ``cents`` is by how much the take is sharp. The rate is ``RATE``.

    >>> ear_spectra(np.zeros(16000, np.float32), 0.0).shape
    (125, 610)
    """
    short = spectra_of(wave, SHORT)
    loud = float(np.percentile(np.sqrt((short**2).sum(axis=1)), LOUD)) if len(short) else 0.0
    found = np.empty((len(short), 2 * BINS + BANDS), np.float32)
    for first, size in ((0, LONG), (BINS, MIDDLE)):
        through = _half_steps(size, round(cents))
        found[:, first : first + BINS] = spectra_of(wave, size, through=through)
    found[:, 2 * BINS :] = short @ _mels()
    # In place, so that a long take needs little room.
    found /= loud + 1e-7
    found += FAINT
    np.log10(found, out=found)
    found /= 2
    found += 1
    return found


def spectra_of(
    wave: NDArray[np.float32],
    size: int,
    apart: int = STEP,
    through: NDArray[np.float32] | None = None,
) -> NDArray[np.float32]:
    """Return the spectra of a sound by windows of a size; each has its time in the middle.

    A tone of full scale has 1 in its bin. ``through`` are weights of bins, a column for each number
    of a row, so that no whole spectra of a long take need be there at once.

    >>> spectra_of(np.ones(1024, np.float32), 512).shape
    (8, 257)
    """
    count = len(wave) // apart
    window = np.hanning(size).astype(np.float32)
    window *= 2 / window.sum()
    width = size // 2 + 1 if through is None else through.shape[1]
    found = np.empty((count, width), np.float32)
    for first in range(0, count, BLOCK):
        end = min(first + BLOCK, count)
        low, high = first * apart - size // 2, (end - 1) * apart + size - size // 2
        part = np.zeros(high - low, np.float32)
        inside = wave[max(low, 0) : high]
        part[max(-low, 0) :][: len(inside)] = inside
        rows = np.lib.stride_tricks.sliding_window_view(part, size)[::apart]
        bins = np.abs(np.fft.rfft(rows * window, axis=1))
        found[first:end] = bins if through is None else bins @ through
    return found


@lru_cache(4)
def _half_steps(size: int, cents: int) -> NDArray[np.float32]:
    """Return what each bin of a spectrum counts for each third of a half step."""
    hertz = np.fft.rfftfreq(size, 1 / RATE)[:, None]
    number = LOWEST + (np.arange(BINS) - 1) / FINER + cents / 100
    middle = 440 * 2 ** ((number - 69) / 12)
    width = np.maximum(middle * (2 ** (1 / (12 * FINER)) - 1), RATE / size)
    return _of_one(1 - np.abs(hertz - middle) / width)


@lru_cache(1)
def _mels() -> NDArray[np.float32]:
    """Return what each bin of a short spectrum counts for each band of mels.

    Source of the scale: Stevens, Volkmann and Newman, 1937; the formula from memory.
    """
    hertz = np.fft.rfftfreq(SHORT, 1 / RATE)[:, None]
    low, high = 2595 * np.log10(1 + np.array([DEEPEST, TOP]) / 700)
    edges = 700 * (10 ** (np.linspace(low, high, BANDS + 2) / 2595) - 1)
    rising = (hertz - edges[:-2]) / (edges[1:-1] - edges[:-2])
    falling = (edges[2:] - hertz) / (edges[2:] - edges[1:-1])
    return _of_one(np.minimum(rising, falling))


def _of_one(weights: NDArray[np.float64]) -> NDArray[np.float32]:
    """Return weights of at least nothing, whose sum for each band is one."""
    found = np.maximum(weights, 0)
    return np.asarray(found / (found.sum(axis=0, keepdims=True) + 1e-9), np.float32)
