"""An ear for one melody: a small network tells what sounds at each step, and where notes begin.

It looks at the partials of each half step and at a quarter of a second around. It was trained on
takes by chance, which three SoundFonts and additive synthesis played in rooms, with noise and a
band (``tests/bench/ear_training.py``). Its weights lie beside this file.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from pathlib import Path
from zipfile import BadZipFile

import numpy as np
from numpy.typing import NDArray

from theorykit.errors import TheoryError
from theorykit.show.listening.ear_spectra import ABOVE, BINS, COUNT, FINER, ear_spectra

WEIGHTS = Path(__file__).with_name("ear.npz")
PARTIALS = (-12, 0, 12, 19, 24, 28, 31, 36)  # half steps from a pitch to an octave below and up
AROUND = (12, 18)  # half steps that lack below and above
BLOCK, MARGIN = 1024, 32  # steps at a time; steps around that the network looks at
Rows = NDArray[np.float32]


@dataclass(frozen=True)
class Hearing:
    """Logarithms of the probability of silence and of each half step, and that a note begins."""

    pitches: Rows
    begins: Rows


def hearing(wave: Rows, cents: float) -> Hearing:
    """Return what is heard at each step of a sound at 16 kHz, so many cents sharp.

    >>> quiet = hearing(np.zeros(16000, np.float32), 0.0)
    >>> quiet.pitches.shape, quiet.begins.shape
    ((125, 74), (125,))
    """
    rows = ear_spectra(wave, cents)
    pitches, begins = [], []
    for first in range(0, len(rows), BLOCK):
        low = max(first - MARGIN, 0)
        logits, onsets = _network(rows[low : first + BLOCK + MARGIN])
        kept = slice(first - low, first - low + BLOCK)
        pitches.append(logits[kept])
        begins.append(onsets[kept])
    if not pitches:
        return Hearing(np.zeros((0, COUNT + 1), np.float32), np.zeros(0, np.float32))
    whole = np.concatenate(pitches)
    whole -= whole.max(axis=1, keepdims=True)
    whole -= np.log(np.exp(whole).sum(axis=1, keepdims=True))
    return Hearing(whole, _sigmoid(np.concatenate(begins)))


def _sigmoid(logits: Rows) -> Rows:
    """Return probabilities.

    >>> _sigmoid(np.zeros(1, np.float32)).tolist()
    [0.5]
    """
    return np.asarray(1 / (1 + np.exp(-logits)), np.float32)


def _network(rows: Rows) -> tuple[Rows, Rows]:
    """Return logits of silence and of each half step, and those of beginnings."""
    weights = _weights()
    partials = _partials(rows[:, : 2 * BINS])
    pitches = _line(partials, "stack")
    pitches = pitches + _over_time(pitches, "near", 1)
    pitches = pitches + _over_time(pitches, "far", 2)
    brief = _line(pitches, "brief").transpose(0, 2, 1).reshape(len(rows), -1)
    moment = _over_time(np.concatenate((brief, rows[:, 2 * BINS :]), axis=1), "moment", 1)
    for number, apart in enumerate((1, 2, 4, 8)):
        moment = moment + _over_time(moment, f"around {number}", apart)
    begins, silence = np.moveaxis(moment @ weights["ends"] + weights["ends +"], 1, 0)
    pitches = pitches + (moment @ weights["context"] + weights["context +"])[:, None, :]
    logits = (np.maximum(pitches, 0) @ weights["pitch"] + weights["pitch +"])[:, :, 0]
    return np.concatenate((silence[:, None], logits), axis=1), begins


def _partials(rows: Rows) -> Rows:
    """Return for each half step what is seen around each of its partials."""
    steps, weights = len(rows), _weights()
    padded = np.pad(rows.reshape(steps, 2, BINS), ((1, 1), (0, 0), (2, 2)))
    seen = np.lib.stride_tricks.sliding_window_view(padded, (3, 2 * FINER + 1), axis=(0, 2))
    seen = seen[:, :, ::FINER].transpose(0, 2, 1, 3, 4).reshape(steps, COUNT + ABOVE, -1)
    found = np.maximum(seen @ weights["see"] + weights["see +"], 0)
    wide = np.pad(found, ((0, 0), AROUND, (0, 0)))
    firsts = [AROUND[0] + away for away in PARTIALS]
    return np.concatenate([wide[:, first : first + COUNT] for first in firsts], axis=2)


def _line(rows: Rows, name: str) -> Rows:
    """Return a layer at each place alone."""
    weights = _weights()
    return np.maximum(rows @ weights[name] + weights[f"{name} +"], 0)


def _over_time(rows: Rows, name: str, apart: int) -> Rows:
    """Return a layer over steps that lie so far apart, one row of weights for each."""
    taps, bias = _weights()[name], _weights()[f"{name} +"]
    reach = len(taps) // 2 * apart
    padded = np.pad(rows, ((reach, reach), *[(0, 0)] * (rows.ndim - 1)))
    found = np.broadcast_to(bias, (*rows.shape[:-1], len(bias))).copy()
    for number, tap in enumerate(taps):
        found += padded[number * apart : number * apart + len(rows)] @ tap
    return np.maximum(found, 0)


@cache
def _weights() -> dict[str, Rows]:
    """Return the weights by their names, read once; refuse to listen without them."""
    try:
        with np.load(WEIGHTS) as file:
            return {name: file[name].astype(np.float32) for name in file.files}
    except (OSError, ValueError, EOFError, BadZipFile) as wrong:
        raise TheoryError(
            f"the ear cannot be read from {WEIGHTS} (want theorykit installed anew)"
        ) from wrong
