"""Pitch by partials: how well the spectrum at each moment suits each half step.

A pitch is spoken for by what sounds at its partials and against by what sounds between them. Only
partials with prime numbers count: so the octave below, which has all partials of a pitch, gains
nothing by them. Low pitches are heard over a longer time.

Source of the method: Arturo Camacho and John G. Harris, *A sawtooth waveform inspired pitch
estimator for speech and music*, Journal of the Acoustical Society of America 124, 2008 (the idea
from memory; kernel and windows are our own).
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from theorykit.show.listening.pitch_by_cycles import HOP

LONG, SHORT = 0.09, 0.046  # seconds: windows for low and for high pitches
LOW, HIGH = 48, 60  # MIDI numbers up to which the long one counts, and from which the short one
PRIMES = (1, 2, 3, 5, 7, 11, 13)
TOP = 5_000.0  # hertz
BLOCK = 256  # spectra at a time


def pitch_by_partials(
    wave: NDArray[np.float64], rate: int, numbers: NDArray[np.float64]
) -> NDArray[np.float64]:
    """Return how well each number, which may have a fraction, suits each ``HOP``: at most 1."""
    long, short = (_suiting(wave, rate, numbers, window) for window in (LONG, SHORT))
    mixed = np.clip((numbers - LOW) / (HIGH - LOW), 0, 1)[None, :]
    return long * (1 - mixed) + short * mixed


def _suiting(
    wave: NDArray[np.float64], rate: int, numbers: NDArray[np.float64], window: float
) -> NDArray[np.float64]:
    """Return how well each number suits each step, by spectra of one length."""
    size = int(window * rate)
    whole = 1 << (size - 1).bit_length()
    top = int(TOP * whole / rate)
    padded = np.concatenate((np.zeros(size // 2), wave, np.zeros(size)))
    inside = np.lib.stride_tricks.sliding_window_view(padded, size)
    starts = (np.arange(int(len(wave) / rate / HOP) + 1) * HOP * rate).astype(int)
    shape, kernel = np.hanning(size), _kernel(numbers, top, rate / whole)
    found = np.empty((len(starts), len(numbers)))
    for first in range(0, len(starts), BLOCK):
        block = inside[starts[first : first + BLOCK]] * shape
        loud = np.sqrt(np.abs(np.fft.rfft(block, whole, axis=1))[:, :top])
        loud /= np.linalg.norm(loud, axis=1, keepdims=True) + 1e-9
        found[first : first + BLOCK] = loud @ kernel
    return found


def _kernel(numbers: NDArray[np.float64], top: int, width: float) -> NDArray[np.float64]:
    """Return what each bin speaks for each number: for its partials, against what lies between."""
    hertz = np.arange(top) * width
    ratio = hertz[:, None] / (440 * 2 ** ((numbers[None, :] - 69) / 12))
    found = np.zeros_like(ratio)
    for partial in PRIMES:
        away = np.abs(ratio - partial)
        found += np.where(away < 0.25, 1.0, np.where(away < 0.75, 0.5, 0.0)) * np.cos(
            2 * np.pi * ratio
        )
    found *= np.sqrt(1 / np.maximum(hertz, width))[:, None]
    return found / (np.linalg.norm(np.maximum(found, 0), axis=0) + 1e-12)
