"""Heard notes: a path of pitches, cut where it changes and where a tone is struck anew."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from theorykit.lines.taking import HeardNote
from theorykit.show.listening.pitch_by_cycles import HOP
from theorykit.show.listening.pitch_search import PitchPath, above_rumble, pitch_path

WINDOW, FLUX_HOP = 0.032, 0.004  # seconds: of a spectrum, between two
SHORTEST = 0.045  # seconds; a shorter note is a slip
BEFORE, AFTER = 0.055, 0.035  # seconds around a change of pitch where its attack is looked for
DIP = 6.0  # decibels by which a held tone falls before it is struck again
STRONG = 2.2  # times the usual flux: what makes an attack
LIKE_OTHERS = 0.4  # of the attacks of new pitches: so strong, a small dip is enough
BRIDGE = 5  # steps of silence inside a tone that are none
FAINT = 17.0  # decibels below the middle note: what is softer is not of the melody
# How many times the usual flux attacks are, and the dip in decibels that is enough then: those of
# breath and noise are hardly told from the rest.
CLEAR = ((11.0, 1.0), (6.0, 2.5))
ONSET = 0.4  # of the growth of an attack: where it begins
FEWEST = 3  # attacks to compare others with
APART = 0.07  # seconds from one attack of a tone to the next


@dataclass(frozen=True)
class _Flux:
    """The growth of the spectrum every ``FLUX_HOP``, what is usual, and how strong attacks are."""

    growth: NDArray[np.float64]
    usual: float
    attack: float

    @classmethod
    def of(cls, wave: NDArray[np.float64], rate: int, path: PitchPath) -> _Flux:
        """Return the growth in a sound, with the attacks of its new pitches."""
        growth = _growth(wave, rate)
        begun = [int(first * HOP / FLUX_HOP) for first, _, _ in _runs(path.numbers)]
        peaks = [growth[max(at - 12, 0) : at + 9].max(initial=0.0) for at in begun]
        attack = float(np.median(peaks)) if len(peaks) >= FEWEST else float("inf")
        return cls(growth, float(np.median(growth)) + 1e-9, attack)

    def is_attack(self, place: int, level: NDArray[np.float64], begun: float) -> bool:
        """Tell whether a held tone is struck again: as others are, or after a clear dip."""
        growth, dip = self.growth[place], _dip(level, place * FLUX_HOP, begun)
        clearness = self.attack / self.usual
        needed = next((decibels for least, decibels in CLEAR if clearness >= least), DIP)
        like_others = growth >= LIKE_OTHERS * self.attack and dip >= needed
        return bool(like_others or (growth >= STRONG * self.usual and dip >= DIP))


@dataclass(frozen=True)
class Heard:
    """The notes of one melody in seconds, what is too faint to be of it, and cents sharp."""

    notes: list[HeardNote]
    faint: list[HeardNote]
    cents: float


def heard_notes(wave: NDArray[np.float64], rate: int) -> Heard:
    """Return the notes of one melody, and what sounded far below it: a band, a room."""
    wave = above_rumble(wave, rate)
    path = pitch_path(wave, rate)
    path = replace(path, numbers=_bridged(path.numbers))
    flux = _Flux.of(wave, rate, path)
    notes = [note for run in _runs(path.numbers) for note in _struck(run, path, flux)]
    notes = [note for note in notes if note.end - note.start >= SHORTEST]
    loud = [_loudness(note, path.level) for note in notes]
    least = float(np.median(loud)) - FAINT if loud else 0.0
    kept = [note for note, level in zip(notes, loud, strict=True) if level >= least]
    faint = [note for note, level in zip(notes, loud, strict=True) if level < least]
    return Heard(kept, faint, path.cents)


def _loudness(note: HeardNote, level: NDArray[np.float64]) -> float:
    """Return the level of a note: what its louder quarter reaches, so that no neighbour counts."""
    return float(np.percentile(level[int(note.start / HOP) : int(note.end / HOP) + 1], 75))


def _bridged(numbers: NDArray[np.int64]) -> NDArray[np.int64]:
    """Return a path without short silences inside one pitch; a new attack is found by its growth.

    >>> _bridged(np.array([60, 60, 0, 0, 60, 0, 62])).tolist()
    [60, 60, 60, 60, 60, 0, 62]
    """
    found = numbers.copy()
    edges = [0, *(np.flatnonzero(np.diff(numbers)) + 1).tolist(), len(numbers)]
    for first, end in pairwise(edges):
        inside = not numbers[first] and first > 0 and end < len(numbers)
        if inside and end - first <= BRIDGE and numbers[first - 1] == numbers[end]:
            found[first:end] = numbers[end]
    return found


def _runs(numbers: NDArray[np.int64]) -> Iterator[tuple[int, int, bool]]:
    """Yield stretches of one pitch: first step, end, and whether a tone is joined to it before."""
    edges = [0, *(np.flatnonzero(np.diff(numbers)) + 1).tolist(), len(numbers)]
    for first, end in pairwise(edges):
        if numbers[first]:
            yield first, end, bool(first and numbers[first - 1])


def _growth(wave: NDArray[np.float64], rate: int) -> NDArray[np.float64]:
    """Return how much louder the spectrum grows at each ``FLUX_HOP``, in logarithms."""
    size, hop = int(WINDOW * rate), FLUX_HOP * rate
    count = max(int(len(wave) / hop), 1)
    padded = np.concatenate((np.zeros(size // 2), wave, np.zeros(size)))
    window = np.hanning(size)
    before = np.zeros(size // 2 + 1)
    found = np.zeros(count)
    top = int(6_000 * size / rate)
    for number in range(count):
        at = int(number * hop)
        now = np.log1p(300 * np.abs(np.fft.rfft(padded[at : at + size] * window)) / size)
        found[number] = np.maximum(now[:top] - before[:top], 0).sum()
        before = now
    return found


def _struck(run: tuple[int, int, bool], path: PitchPath, flux: _Flux) -> Iterator[HeardNote]:
    """Yield the notes of one stretch: more than one where the tone is struck again."""
    first, end, _ = run
    start, stop = _attack(first * HOP, flux), end * HOP
    edges = [start, *_struck_again(start, stop, path, flux), stop]
    for begun, over in pairwise(edges):
        steps = slice(int(begun / HOP), max(int(over / HOP), int(begun / HOP) + 1))
        if over > begun:
            sure = float(path.sure[steps].mean()) if path.sure[steps].size else 0.0
            midi = int(path.numbers[first])
            yield HeardNote(round(begun, 4), round(over, 4), midi, round(sure, 3))


def _attack(at: float, flux: _Flux) -> float:
    """Return when a tone began: at the strongest growth near the change of pitch."""
    low = max(int((at - BEFORE) / FLUX_HOP), 0)
    near = flux.growth[low : int((at + AFTER) / FLUX_HOP) + 1]
    if not near.size or near.max() < STRONG * flux.usual:
        return at
    place = int(np.argmax(near))
    while place and near[place - 1] >= ONSET * near.max():
        place -= 1
    return max((low + place) * FLUX_HOP, 0.0)


def _struck_again(start: float, stop: float, path: PitchPath, flux: _Flux) -> list[float]:
    """Return when a held tone is struck again: strong growth after a dip of its level."""
    low, high = int((start + APART) / FLUX_HOP), int((stop - SHORTEST) / FLUX_HOP)
    growth = flux.growth
    found: list[float] = []
    for place in range(low, min(high, len(growth) - 1)):
        if growth[place] < growth[max(place - 6, 0) : place + 7].max():
            continue
        at = place * FLUX_HOP
        begun = found[-1] if found else start
        if at - begun >= APART and flux.is_attack(place, path.level, begun):
            found.append(_attack(at, flux))
    return found


def _dip(level: NDArray[np.float64], at: float, begun: float) -> float:
    """Return by how much the level of a tone that has begun falls before a time and rises after.

    In decibels. What sounded before the tone does not count: a slow attack is no dip.
    """
    step, first = int(at / HOP), int(begun / HOP) + 1
    least = level[max(step - 5, first) : step + 2].min(initial=0.0)
    before = level[max(step - 14, first) : max(step - 3, first + 1)].max(initial=-120.0)
    after = level[step : step + 8].max(initial=-120.0)
    return float(min(before, after) - least)
