"""Pitch by a small model that was trained on voices and instruments, for sound at 16 kHz."""

from __future__ import annotations

from functools import cache
from typing import Any

import numpy as np
from numpy.typing import NDArray

MODEL_RATE = 16_000  # frames a second
MODEL_HOP = 0.016  # seconds


@cache
def _model() -> Any:
    """Return the model, opened once; one thread is quick enough."""
    from swift_f0 import SwiftF0

    return SwiftF0(threads=1, spin=False)


def pitch_by_model(wave: NDArray[np.float32]) -> tuple[NDArray, NDArray]:
    """Return frequencies every ``MODEL_HOP`` seconds, and how sure each is, from 0 to 1."""
    found = _model().detect(wave, MODEL_RATE)
    return found.pitch_hz, found.confidence
