"""Heard notes: a path of pitches, cut where it changes and where a tone is struck anew."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from theorykit.lines.taking import HeardNote
from theorykit.show.listening.attacks import Attacks
from theorykit.show.listening.pitch_by_cycles import HOP
from theorykit.show.listening.pitch_search import PitchPath, above_rumble, pitch_path
from theorykit.show.listening.spectra import Spectra

SHORTEST = 0.045  # seconds; a shorter note is a slip
OCTAVE = 12
BRIEF = 9  # steps: shorter than any note of a leap of an octave
SLIP = 25  # steps: what sounds an octave off for so long may be a slip
LATER = 1.6  # what the later part of a tone counts
BRIDGE = 5  # steps of silence inside a tone that are none
NEIGHBOUR = 0.15  # seconds after a note in which its partials may ring on
FAINT, FAINT_BEYOND = (
    17.0,
    7.0,
)  # decibels below the middle note: what is softer is not of the melody


@dataclass(frozen=True)
class Heard:
    """The notes of one melody in seconds, what is too faint to be of it, and cents sharp."""

    notes: list[HeardNote]
    faint: list[HeardNote]
    cents: float


def heard_notes(
    wave: NDArray[np.float64], rate: int, compass: tuple[int, int] | None = None
) -> Heard:
    """Return the notes of one melody, and what sounded far below it: a band, a room."""
    wave = above_rumble(wave, rate)
    path = pitch_path(wave, rate, compass)
    path = replace(path, numbers=_bridged(path.numbers))
    spectra = Spectra.of(wave, rate)
    runs = list(_runs(path.numbers))
    attacks = Attacks.of(spectra, [first * HOP for first, _, _ in runs])
    stretches = _begun(_joined(runs, attacks), attacks, path.cents)
    notes = [note for one in stretches for note in _struck(one, path, attacks)]
    notes = [note for note in notes if note.end - note.start >= SHORTEST]
    faint = _faint(notes, path)
    kept = [note for note, soft in zip(notes, faint, strict=True) if not soft]
    return Heard(kept, [note for note in notes if note not in kept], path.cents)


def _faint(notes: Sequence[HeardNote], path: PitchPath) -> list[bool]:
    """Tell of each note whether it is too soft for the melody; beyond its compass sooner."""
    loud = [_loudness(note, path.level) for note in notes]
    middle = float(np.median(loud)) if loud else 0.0
    low, high = path.compass
    return [
        level < middle - (FAINT if low <= note.midi <= high else FAINT_BEYOND)
        for note, level in zip(notes, loud, strict=True)
    ]


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


def _runs(numbers: NDArray[np.int64]) -> Iterator[tuple[int, int, int]]:
    """Yield stretches of one pitch: first step, end, number."""
    edges = [0, *(np.flatnonzero(np.diff(numbers)) + 1).tolist(), len(numbers)]
    for first, end in pairwise(edges):
        if numbers[first]:
            yield first, end, int(numbers[first])


def _joined(runs: Sequence[tuple[int, int, int]], attacks: Attacks) -> list[tuple[int, int, int]]:
    """Return stretches without slips of an octave: where none begins, a tone goes on.

    A tone that speaks an octave off is that of its later part.
    """
    found: list[tuple[int, int, int]] = []
    for first, end, midi in runs:
        if found and first - found[-1][1] <= BRIDGE and abs(midi - found[-1][2]) == OCTAVE:
            begun, over, other = found[-1]
            brief = over - begun <= BRIEF
            if brief or (over - begun <= SLIP and attacks.is_quiet(first * HOP)):
                later = LATER * (end - first) >= over - begun
                found[-1] = (begun, end, midi if later else other)
                continue
        found.append((first, end, midi))
    return found


def _begun(
    runs: Sequence[tuple[int, int, int]], attacks: Attacks, cents: float
) -> list[tuple[float, float, int]]:
    """Return each stretch with its beginning and end in seconds."""
    found: list[tuple[float, float, int]] = []
    for first, end, midi in runs:
        at, stop = first * HOP, end * HOP
        before, earliest = None, 0.0
        if found:
            start, over, other = found[-1]
            before = other + cents / 100 if at - over < NEIGHBOUR else None
            earliest = min(start + SHORTEST, at)
        begun = attacks.begun(midi + cents / 100, before, at, earliest, stop)
        if found and found[-1][1] > begun:
            found[-1] = (found[-1][0], begun, found[-1][2])
        found.append((begun, stop, midi))
    return found


def _struck(
    stretch: tuple[float, float, int], path: PitchPath, attacks: Attacks
) -> Iterator[HeardNote]:
    """Yield the notes of one stretch: more than one where the tone is struck again."""
    start, stop, midi = stretch
    edges = [start, *attacks.again(midi + path.cents / 100, start, stop), stop]
    for begun, over in pairwise(edges):
        steps = slice(int(begun / HOP), max(int(over / HOP), int(begun / HOP) + 1))
        if over > begun:
            sure = float(path.sure[steps].mean()) if path.sure[steps].size else 0.0
            yield HeardNote(round(begun, 4), round(over, 4), midi, round(sure, 3))
