"""Heard notes: a sound in, the notes of its melody out, and what is too faint to be of it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from theorykit.lines.taking import HeardNote
from theorykit.show.listening.ear import hearing
from theorykit.show.listening.ear_spectra import HOP, RATE
from theorykit.show.listening.note_search import notes_in
from theorykit.show.listening.prepared import above_rumble, levels, resampled
from theorykit.show.listening.tuning import cents_sharp

# Decibels below the middle note: what is softer is not of the melody, beyond its compass sooner.
FAINT, FAINT_BEYOND = 17.0, 7.0
BELOW = 0.25  # how sure at most a note is that lies below the lowest of the instrument


@dataclass(frozen=True)
class Heard:
    """The notes of one melody in seconds, what is too faint to be of it, and cents sharp."""

    notes: list[HeardNote]
    faint: list[HeardNote]
    cents: float


def heard_notes(
    wave: NDArray[np.floating],
    rate: int,
    compass: tuple[int, int] | None = None,
    tempo: float | None = None,
) -> Heard:
    """Return the notes of one melody, and what sounded far below it: a band, a room.

    ``tempo`` is in beats a minute, if it is known.
    """
    small = above_rumble(resampled(wave, rate, RATE), RATE)
    brief = small.astype(np.float32)
    cents = cents_sharp(brief)
    heard = hearing(brief, cents)
    level = levels(small, RATE, HOP, len(heard.begins))
    found = notes_in(heard, level, compass, tempo)
    faint = _faint(found.notes, level, found.compass)
    kept = [note for note, soft in zip(found.notes, faint, strict=True) if not soft]
    told = kept if compass is None else [_within(note, compass[0]) for note in kept]
    return Heard(told, [note for note in found.notes if note not in kept], cents)


def _within(note: HeardNote, lowest: int) -> HeardNote:
    """Return a note, doubtful where the instrument that was told has none so low.

    >>> _within(HeardNote(0.0, 1.0, 31, 0.97), 44).confidence
    0.25
    """
    return note if note.midi >= lowest else replace(note, confidence=min(note.confidence, BELOW))


def _faint(
    notes: Sequence[HeardNote], level: NDArray[np.float64], compass: tuple[int, int]
) -> list[bool]:
    """Tell of each note whether it is too soft for the melody; beyond its compass sooner."""
    loud = [_loudness(note, level) for note in notes]
    middle = float(np.median(loud)) if loud else 0.0
    low, high = compass
    return [
        one < middle - (FAINT if low <= note.midi <= high else FAINT_BEYOND)
        for note, one in zip(notes, loud, strict=True)
    ]


def _loudness(note: HeardNote, level: NDArray[np.float64]) -> float:
    """Return the level of a note: what its louder quarter reaches, so that no neighbour counts."""
    return float(np.percentile(level[int(note.start / HOP) : int(note.end / HOP) + 1], 75))
