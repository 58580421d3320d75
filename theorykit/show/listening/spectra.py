"""Spectra of a take: how much each grows over the one before, how loud the partials of a note are.

A note that begins brings partials of its own. In those that the note before does not share its
beginning is seen even where the old note rings on, or is let go with a click.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

WINDOW, STEP = 0.032, 0.004  # seconds: of a spectrum, from one to the next
TOP = 6_000.0  # hertz
BLOCK = 512  # spectra at a time, so that a long take needs little room
PARTIALS = 10  # of a note
BESIDE = 0.023  # of a frequency: 40 cents, by which partials may be off
FREE = 1.7  # bins from a partial of the note before
FEWEST = 3  # partials of a note of its own that are enough


@dataclass(frozen=True)
class Spectra:
    """The spectra of a sound every ``STEP``, in rows of equal bins from 0 hertz on."""

    rows: NDArray[np.float32]
    bin: float

    @classmethod
    def of(cls, wave: NDArray[np.float64], rate: int) -> Spectra:
        """Return the spectra of a sound; each has its time in the middle."""
        size = int(WINDOW * rate)
        count, top = max(int(len(wave) / (STEP * rate)), 1), int(TOP * size / rate)
        padded = np.concatenate((np.zeros(size // 2), wave, np.zeros(size)))
        starts, window = (np.arange(count) * STEP * rate).astype(int), np.hanning(size)
        inside = np.lib.stride_tricks.sliding_window_view(padded, size)
        rows = np.empty((count, top), np.float32)
        for first in range(0, count, BLOCK):
            block = inside[starts[first : first + BLOCK]] * window
            rows[first : first + BLOCK] = np.abs(np.fft.rfft(block, axis=1))[:, :top] / size
        return cls(rows, rate / size)

    @cached_property
    def growth(self) -> NDArray[np.float64]:
        """How much louder each spectrum is than the one before, in logarithms."""
        loud = np.log1p(300 * self.rows)
        grown = np.maximum(np.diff(loud, axis=0, prepend=0), 0)
        return grown.sum(axis=1, dtype=np.float64)

    def loudness(self, first: int, end: int) -> float:
        """Return the level in decibels from a step to another."""
        power = float((self.rows[first:end].astype(np.float64) ** 2).sum())
        return 10 * float(np.log10(max(power / max(end - first, 1), 1e-14)))

    def partials(
        self, pitch: float, before: float | None, first: int, end: int
    ) -> NDArray[np.float64]:
        """Return the level in decibels of a pitch from a step to another.

        Those partials count that a pitch ``before`` it does not have, where there are enough.
        """
        bins = self._bins(pitch, before)
        power = (self.rows[max(first, 0) : end][:, bins].astype(np.float64) ** 2).sum(axis=1)
        return 10 * np.log10(np.maximum(power, 1e-14))

    def _bins(self, pitch: float, before: float | None) -> NDArray[np.int64]:
        """Return the bins of the partials of a pitch."""
        own = _partials(pitch) / self.bin
        own = own[own * (1 + BESIDE) < self.rows.shape[1] - 2]
        if before is not None:
            others = _partials(before, 2 * PARTIALS) / self.bin
            away = np.abs(own[:, None] - others[None, :]).min(axis=1)
            free = own[away > FREE]
            own = free if len(free) >= FEWEST else own
        reach = np.maximum(own * BESIDE, 0.6)
        edges = zip(np.rint(own - reach), np.rint(own + reach), strict=True)
        found = [np.arange(int(low), int(high) + 1) for low, high in edges]
        return np.unique(np.concatenate(found or [np.array([1])]))


def _partials(pitch: float, count: int = PARTIALS) -> NDArray[np.float64]:
    """Return the frequencies of the partials of a MIDI number, which may have a fraction."""
    return 440.0 * 2 ** ((pitch - 69) / 12) * np.arange(1, count + 1, dtype=np.float64)
