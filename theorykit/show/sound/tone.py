"""One recording of a single note, as the synthesizer hands it on."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray


@dataclass(frozen=True, eq=False)
class Tone:
    """One recording of a note, held: its wave at full loudness in one channel, and what it needs.

    ``place`` is where it stands from left to right, ``release`` the seconds in which it falls by 60
    decibels when it is let go. ``lead`` are the frames that come before the note begins. One that
    is ``steady`` goes on and on while it is held.
    """

    wave: NDArray[np.float32]
    place: float
    release: float
    lead: int = 0
    steady: bool = False
