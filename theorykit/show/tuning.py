"""How far a recording is off the pitch of its keys, measured, so that it can be put right.

The recordings of a SoundFont are not all well tuned: of the one that comes along, a flute key is
sharp by 17 hundredths of a half step and a trumpet key flat by 13. An ear that learns to hear
tensions should not have to hear past that.
"""

from __future__ import annotations

from functools import lru_cache

import numpy as np

from theorykit.show.soundfont import Region
from theorykit.show.voice import voice

__all__ = ["CONCERT_A", "correction"]

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
    wave = voice(region, key, RATE, SPEECH + STEADY)[SPEECH:]
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
