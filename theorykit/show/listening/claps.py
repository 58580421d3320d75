"""Claps with clicks: how late this machine hears what is played with what it plays, kept once."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from theorykit.errors import TheoryError
from theorykit.show.files import make_own_folder, put_whole
from theorykit.show.own_reader import own_folder
from theorykit.show.sound import Samples

FILE, LONGEST = "delay.txt", 20  # of the setting; bytes of it that are looked at
EARLIEST, LATEST = -0.1, 0.4  # seconds from a click between which its clap is looked for
HOP = 0.002  # seconds, about
RISE = 0.35  # of the loudest moment near a click: there a clap begins
CLEAR = 6.0  # times the usual loudness that a clap has
FEWEST, MOST_OF = 4, 0.75  # claps that agree: so many, and such a share of all clicks
APART = 0.02  # seconds from the middle within which claps agree: steady hands miss by half of it
MOST = 0.4  # seconds that a setting may say


def clap_delay(sound: Samples, clicks: Sequence[float]) -> float:
    """Return the seconds from a click to its clap, in the middle of all; refuse what is no answer.

    ``clicks`` are the seconds at which the page clicked. Instead of a clap the click itself may be
    heard, where the microphone is held to the headphones.

    >>> wave = np.zeros(44100 * 5, np.float32)
    >>> for second in (1.08, 1.58, 2.08, 2.58, 3.08):
    ...     wave[int(second * 44100) :][:400] = 0.5
    >>> round(clap_delay(Samples(wave, 44100), [1.0, 1.5, 2.0, 2.5, 3.0]), 2)
    0.08
    """
    size = max(1, round(HOP * sound.rate))
    loud, hop = _loudness(sound, size), size / sound.rate
    usual = float(np.median(loud)) if loud.size else 0.0
    found = []
    for click in clicks:
        first, last = (max(0, round((click + at) / hop)) for at in (EARLIEST, LATEST))
        near = loud[first:last]
        if near.size and near.max() > max(CLEAR * usual, 1e-4):
            risen = int(np.argmax(near > RISE * near.max()))
            found.append((first + risen) * hop - click)
    middle = float(np.median(found)) if found else 0.0
    close = [late for late in found if abs(late - middle) < APART]
    if len(close) < max(FEWEST, MOST_OF * len(clicks)):
        raise TheoryError(
            f"{len(close)} of {len(clicks)} claps agree to {APART * 1000:.0f} milliseconds (want "
            "steady claps with the clicks, or the microphone held to the headphones; try it again)"
        )
    return float(np.median(close))


def _loudness(sound: Samples, size: int) -> NDArray[np.float64]:
    """Return how loud a sound is, ``size`` frames at a time, its lowest tones left out."""
    wave = sound.wave.mean(axis=1) if sound.wave.ndim == 2 else sound.wave
    rising = np.diff(np.asarray(wave, np.float64), prepend=0.0)
    whole = rising[: len(rising) // size * size].reshape(-1, size)
    return np.asarray(np.sqrt((whole**2).mean(axis=1)))


# === The setting ===


def own_delay() -> float | None:
    """Return the seconds that were kept for this machine, None where nothing was measured."""
    try:
        with (own_folder() / FILE).open("rb") as file:
            seconds = float(file.read(LONGEST).decode("ascii")) / 1000
    except (OSError, UnicodeDecodeError, ValueError):
        return None
    return seconds if abs(seconds) <= MOST else None


def keep_delay(seconds: float | None) -> None:
    """Keep the delay of this machine, in whole milliseconds; None forgets it."""
    folder = own_folder()
    try:
        if seconds is None:
            (folder / FILE).unlink(missing_ok=True)
            return
        make_own_folder(folder)
        put_whole(folder / FILE, f"{seconds * 1000:.0f}\n".encode(), replace=True, own=True)
    except OSError as wrong:
        raise TheoryError(f"cannot keep the delay in {folder}: {wrong.strerror}") from None
