"""Sound as numbers."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

__all__ = ["Samples", "Wave"]

Wave = NDArray[np.float32]


@dataclass(frozen=True, eq=False)
class Samples:
    """Sound in one channel: numbers from -1 to 1, ``rate`` of them a second.

    >>> Samples(np.zeros(11025, np.float32), 22050).seconds
    0.5
    """

    wave: Wave
    rate: int

    @property
    def seconds(self) -> float:
        """The length in seconds."""
        return len(self.wave) / self.rate

    @property
    def peak(self) -> float:
        """The largest number, without its sign."""
        return float(np.abs(self.wave).max(initial=0))
