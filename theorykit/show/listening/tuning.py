"""By how much a take is sharp: where its strongest partials lie between the half steps."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from theorykit.show.listening.ear_spectra import RATE, spectra_of

SIZE = 4096  # frames of a spectrum
APART = 512  # frames from one to the next
LOWEST, HIGHEST = 150.0, 2_000.0  # hertz of partials that count
STRONGEST = 3  # partials of a moment


def cents_sharp(wave: NDArray[np.float32]) -> float:
    """Return by how many cents a sound at 16 kHz is sharp, from -50 to 50; 0 for silence.

    >>> tone = np.sin(2 * np.pi * 446 * np.arange(16000) / 16000).astype(np.float32)
    >>> abs(cents_sharp(tone) - 23.4) < 1
    True
    """
    rows = spectra_of(wave, SIZE, APART)
    hertz = RATE / SIZE
    low, high = int(LOWEST / hertz), int(HIGHEST / hertz)
    before, here, after = (rows[:, low + k : high + k] for k in (-1, 0, 1))
    peaks = np.where((here > before) & (here >= after), here, 0.0)
    least = np.sort(peaks, axis=1)[:, -STRONGEST][:, None]
    steps, bins = np.nonzero((peaks >= least) & (peaks > 0))
    if not len(steps):
        return 0.0
    left, top, right = (np.log(part[steps, bins] + 1e-9) for part in (before, here, after))
    beside = (left - right) / (2 * (left - 2 * top + right) - 1e-9)
    number = 12 * np.log2((low + bins + beside) * hertz / 440)
    turned = (here[steps, bins] * np.exp(2j * np.pi * number)).sum()
    return round(float(np.angle(turned)) / (2 * np.pi) * 100, 1)
