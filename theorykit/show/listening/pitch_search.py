"""Pitch search: one path over half steps and silence that two pitch trackers together speak for.

Time goes in steps of ``HOP``. Each half step costs by how far the trackers are from it, weighed by
how sure they are, silence by how sure they are of any pitch and how loud it is. To leave a half
step costs too, so that vibrato and slips of one tracker make no notes. The tuning of the whole take
is found first and taken out.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from theorykit.show.listening.pitch_by_cycles import HOP, pitch_by_cycles
from theorykit.show.listening.pitch_by_model import MODEL_HOP, MODEL_RATE, pitch_by_model
from theorykit.show.listening.pitch_by_partials import pitch_by_partials

LOWEST, HIGHEST = 28, 100  # MIDI numbers
CAP = 3.0  # what a tracker that is elsewhere costs at most, when it is sure
NEAR, WIDTH = 0.3, 0.4  # half steps: an error that costs nothing; one that costs 1 more
OCTAVE = 0.45  # of the cap: what it costs to be an octave off
CHANGE, FROM_SILENCE = 9.0, 4.0  # what it costs to begin a note
QUIET = 32.0  # decibels below the loud parts at which silence is as likely as not
SOFT = 9.0  # decibels over which that turns
SILENCE_COST = 1.6  # of the cap: silence where both trackers are sure
OUTSIDE, UNUSUAL = 3.0, 1.2  # what a step costs at most beyond a compass that is given, or heard
FAR = 5  # half steps beyond it where that is reached
RARE = 0.01  # of the power of a take, beyond its own compass
AGREED = 0.7  # half steps within which another ear must hear what the cycles tell
CLEAREST, UNLIKE = 0.5, 0.05  # how well partials suit a clear pitch; how much worse costs 1 more
SURE_ENOUGH = 0.6  # confidence from which a frame speaks for the tuning
RUMBLE = 40.0  # hertz; the lowest note of a bass has 41


@dataclass(frozen=True)
class PitchPath:
    """The path: a MIDI number for each step, 0 for silence; cents sharp; how sure each step
    is, its level in decibels; from where to where the melody goes."""

    numbers: NDArray[np.int64]
    cents: float
    sure: NDArray[np.float64]
    level: NDArray[np.float64]
    compass: tuple[int, int]


def pitch_path(
    wave: NDArray[np.float64], rate: int, compass: tuple[int, int] | None = None
) -> PitchPath:
    """Return the likeliest path of one melody, within a compass that is given or its own.

    Its own is that of its loud steps as a first search finds them.
    """
    small = resampled(wave, rate, MODEL_RATE)
    steps = int(len(wave) / rate / HOP) + 1
    cycles = _on_steps(*pitch_by_cycles(small, MODEL_RATE), HOP, steps)
    model = _on_steps(*pitch_by_model(small.astype(np.float32)), MODEL_HOP, steps)
    level = levels(wave, rate, steps)
    cents = _tuning([_agreeing(cycles, [model[0]]), model])  # not that of a band
    numbers = np.arange(LOWEST, HIGHEST + 1, dtype=np.float64)
    suiting = _of_length(pitch_by_partials(small, MODEL_RATE, numbers + cents / 100), steps)
    tracks = [(pitch - cents / 100, sure) for pitch, sure in (cycles, model)]
    tracks[0] = _agreeing(tracks[0], [tracks[1][0], LOWEST + suiting.argmax(axis=1)])
    pitched, silent = _costs(tracks, level, suiting)
    own = compass or _compass(_path(pitched, silent), level)
    path = _path(pitched + _beyond(own, OUTSIDE if compass else UNUSUAL)[None, :], silent)
    return PitchPath(path, cents, _sureness(tracks, path), level, own)


def _compass(numbers: NDArray[np.int64], level: NDArray[np.float64]) -> tuple[int, int]:
    """Return the compass of a melody by its power, so that a band counts little."""
    there = numbers > 0
    if not there.any():
        return LOWEST, HIGHEST
    power = np.bincount(numbers[there], 10 ** (level[there] / 10), HIGHEST + 1)
    share = np.cumsum(power) / power.sum()
    return int(np.searchsorted(share, RARE)), int(np.searchsorted(share, 1 - RARE))


def _beyond(compass: tuple[int, int], most: float) -> NDArray[np.float64]:
    """Return what each number costs at each step because it is beyond a compass."""
    numbers = np.arange(LOWEST, HIGHEST + 1)
    away = np.maximum(compass[0] - numbers, numbers - compass[1])
    return np.clip(away / FAR, 0, 1) * most


def _of_length(rows: NDArray, steps: int) -> NDArray:
    """Return rows for so many steps; what lacks is like the last."""
    return rows[np.minimum(np.arange(steps), len(rows) - 1)]


def _agreeing(track: tuple[NDArray, NDArray], others: list[NDArray]) -> tuple[NDArray, NDArray]:
    """Return a track that is sure of nothing where no other hears what it does.

    Cycles tell the lowest of what sounds: in a room with a band that is the bass.
    """
    pitch, sure = track
    near = np.min([np.abs(pitch - other) for other in others], axis=0)
    return pitch, np.where(near < AGREED, sure, 0.0)


def resampled(wave: NDArray[np.float64], rate: int, wanted: int) -> NDArray[np.float64]:
    """Return a sound at another rate, what lies above half of it left out.

    >>> len(resampled(np.zeros(44100), 44100, 16000))
    16000
    """
    if rate == wanted:
        return wave
    blocks = -(-len(wave) // rate)  # whole seconds: lengths that a transform takes quickly
    padded = np.zeros(blocks * rate)
    padded[: len(wave)] = wave
    spectrum = np.fft.rfft(padded)
    kept = np.zeros(blocks * wanted // 2 + 1, complex)
    common = min(len(kept), len(spectrum))
    kept[:common] = spectrum[:common]
    found = np.fft.irfft(kept, blocks * wanted) * (wanted / rate)
    return np.ascontiguousarray(found[: int(len(wave) * wanted / rate)])


def above_rumble(wave: NDArray[np.float64], rate: int) -> NDArray[np.float64]:
    """Return a sound without what lies below all notes: an offset, wind, steps.

    >>> float(np.abs(above_rumble(np.full(8000, 0.5), 8000)).max()) < 1e-9
    True
    """
    spectrum = np.fft.rfft(wave)
    hertz = np.fft.rfftfreq(len(wave), 1 / rate)
    return np.fft.irfft(spectrum * np.clip((hertz - RUMBLE / 2) / (RUMBLE / 2), 0, 1), len(wave))


def levels(wave: NDArray[np.float64], rate: int, steps: int) -> NDArray[np.float64]:
    """Return the level in decibels around each step."""
    power = np.concatenate(([0.0], np.cumsum(wave * wave)))
    middles = np.arange(steps) * HOP * rate
    half = 0.012 * rate
    low = np.clip(middles - half, 0, len(wave)).astype(int)
    high = np.clip(middles + half, 1, len(wave)).astype(int)
    mean = (power[high] - power[low]) / np.maximum(high - low, 1)
    return 10 * np.log10(np.maximum(mean, 1e-12))


def _on_steps(
    frequency: NDArray, sure: NDArray, hop: float, steps: int
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Return a track as half steps at the steps of the search, each the nearest one in time."""
    at = np.clip(np.round(np.arange(steps) * HOP / hop).astype(int), 0, len(frequency) - 1)
    there = frequency[at]
    good = there > 0
    number = 69 + 12 * np.log2(np.where(good, there, 440.0) / 440.0)
    return number, np.where(good, sure[at], 0.0)


def _tuning(tracks: list[tuple[NDArray, NDArray]]) -> float:
    """Return by how many cents the take is sharp: the middle of all steps that are sure."""
    pitch = np.concatenate([track[0] for track in tracks])
    sure = np.concatenate([track[1] for track in tracks])
    weight = np.where(sure >= SURE_ENOUGH, sure, 0.0)
    if not weight.any():
        return 0.0
    turned = (weight * np.exp(2j * np.pi * pitch)).sum()
    return round(float(np.angle(turned)) / (2 * np.pi) * 100, 1)


def _costs(
    tracks: list[tuple[NDArray, NDArray]], level: NDArray, suiting: NDArray | None = None
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Return the cost of each half step and of silence at each step."""
    numbers = np.arange(LOWEST, HIGHEST + 1)
    pitched = np.zeros((len(level), len(numbers)))
    for pitch, sure in tracks:
        away = np.abs(pitch[:, None] - numbers[None, :])
        plain = np.clip((away - NEAR) / WIDTH, 0, CAP)
        octave = OCTAVE * CAP + np.clip((np.abs(away - 12) - NEAR) / WIDTH, 0, CAP)
        pitched += sure[:, None] * np.minimum(plain, octave)
    doubts = [1 - sure for _, sure in tracks]
    if suiting is not None:
        best = suiting.max(axis=1)
        clear = np.clip(best / CLEAREST, 0, 1)
        pitched += clear[:, None] * np.minimum((best[:, None] - suiting) / UNLIKE, CAP)
    loud = np.percentile(level, 90)
    heard = 1 / (1 + np.exp(-(level - loud + QUIET) / (SOFT / 2)))
    # One tracker that hears a pitch is enough; what the other one lacks speaks for no silence.
    believed = 1 - np.prod(doubts, axis=0)
    pitched += (2 - believed - heard)[:, None] * CAP
    return pitched, SILENCE_COST * CAP * believed * heard


def _path(pitched: NDArray, silent: NDArray) -> NDArray[np.int64]:
    """Return the cheapest path: at each step a MIDI number, or 0."""
    steps, count = pitched.shape
    cost = np.concatenate((pitched, silent[:, None]), axis=1)
    total = cost[0].copy()
    back = np.empty((steps, count + 1), np.int64)
    enter = np.full(count + 1, CHANGE)
    enter[count] = 0.5  # to fall silent
    stay = np.arange(count + 1)
    for step in range(1, steps):
        best = int(np.argmin(total[:count]))
        source = np.full(count + 1, best)
        price = total[best] + enter
        rested = total[count] + FROM_SILENCE
        from_rest = rested < price
        from_rest[count] = False
        source[from_rest] = count
        price = np.where(from_rest, rested, price)
        kept = total <= price
        back[step] = np.where(kept, stay, source)
        total = np.where(kept, total, price) + cost[step]
    return _traced(back, int(np.argmin(total)), count)


def _traced(back: NDArray, last: int, silence: int) -> NDArray[np.int64]:
    """Return the path that ends in one state."""
    found = np.empty(len(back), np.int64)
    for step in range(len(back) - 1, -1, -1):
        found[step] = 0 if last == silence else last + LOWEST
        last = int(back[step][last]) if step else last
    return found


def _sureness(tracks: list[tuple[NDArray, NDArray]], numbers: NDArray) -> NDArray[np.float64]:
    """Return how far the trackers agree with the path, from 0 to 1, at each step."""
    votes = [sure * (np.abs(pitch - numbers) < 0.7) for pitch, sure in tracks]
    return np.asarray(np.clip(np.sum(votes, axis=0) / 1.6, 0, 1))
