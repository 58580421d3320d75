"""Note search: one path over half steps and silence, cut where a note begins.

The path costs what the ear thinks of each half step, and what it costs to leave one: less where the
ear hears a note begin. A tone that is held is cut where a beginning is clear.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from theorykit.lines.taking import HeardNote
from theorykit.show.listening.ear import Hearing
from theorykit.show.listening.ear_spectra import COUNT, HOP, LOWEST

CAP = 5.0  # what a half step costs at most
CHANGE, FROM_SILENCE, TO_SILENCE = 9.0, 4.0, 0.5  # what it costs to leave one
EASED = 0.8  # of that, where a note surely begins
OUTSIDE, UNUSUAL = 3.0, 1.2  # what a step costs at most beyond a compass that is given, or heard
FAR = 5  # half steps beyond it where that is reached
RARE = 0.01  # of the power of a take, beyond its own compass
NEAR = 3  # steps around in which a beginning counts
REACH = 8  # steps from a change of pitch in which its beginning is looked for
POSSIBLE, HEARD = 0.15, 0.3  # probability of a beginning: at a change of pitch, inside a tone
# What speaks for a held tone that is struck again: each e-fold of the odds that a note begins, and
# each decibel of a dip before it. Fitted by logistic regression to takes of another synthesizer.
E_FOLD, DECIBEL, NEEDED = 1.93, 0.42, 3.52
SHALLOWEST, DEEPEST = 0.8, 12.0  # decibels of a dip: less is none, more does not count
DIP, BEFORE, AFTER = 6, 20, 14  # steps around a beginning in which its dip, and levels, are sought
FURTHER = 0.02  # of it that a step away costs
FEWEST = 3  # steps from the beginning of one note to that of the next
OCTAVE, SLIP, PAUSE = 12, 25, 3  # half steps; steps an octave off, and silent, inside a tone
OFTEN = 2  # slips of a pitch from which its short tones count as slips
APART, BEFORE_END = 8, 5  # steps from a beginning, and to the end, where a tone may be cut
SHORTEST = 5  # steps of a note


@dataclass(frozen=True)
class Found:
    """The notes of a melody, and from where to where it goes."""

    notes: list[HeardNote]
    compass: tuple[int, int]


def notes_in(
    heard: Hearing, level: NDArray[np.float64], compass: tuple[int, int] | None = None
) -> Found:
    """Return the likeliest notes of one melody, within a compass that is given or its own.

    Its own is that of its loud steps as a first search finds them.
    """
    if not len(heard.begins):
        return Found([], compass or (LOWEST, LOWEST + COUNT - 1))
    costs = np.minimum(-heard.pitches, CAP).astype(np.float64)
    near = np.lib.stride_tricks.sliding_window_view(np.pad(heard.begins, NEAR), 2 * NEAR + 1)
    eased = 1 - EASED * near.max(axis=1)
    own = compass or _compass(_path(costs, eased), level)
    costs[:, 1:] += _beyond(own, OUTSIDE if compass else UNUSUAL)
    path = _joined(_path(costs, eased), heard.begins)
    sure = np.exp(heard.pitches[np.arange(len(path)), np.where(path, path - LOWEST + 1, 0)])
    rows = _cut(path, heard.begins, level)
    notes = [
        HeardNote(round(first * HOP, 4), round(end * HOP, 4), midi, _mean(sure[first:end]))
        for first, end, midi in rows
        if end - first >= SHORTEST
    ]
    return Found(notes, own)


def _mean(sure: NDArray[np.float32]) -> float:
    """Return how sure the ear is of a note: the mean of its steps."""
    return round(float(sure.mean()), 3)


def _compass(path: NDArray[np.int64], level: NDArray[np.float64]) -> tuple[int, int]:
    """Return the compass of a melody by its power, so that a band counts little."""
    there = path > 0
    if not there.any():
        return LOWEST, LOWEST + COUNT - 1
    power = np.bincount(path[there], 10 ** (level[there] / 10), LOWEST + COUNT)
    share = np.cumsum(power) / power.sum()
    return int(np.searchsorted(share, RARE)), int(np.searchsorted(share, 1 - RARE))


def _beyond(compass: tuple[int, int], most: float) -> NDArray[np.float64]:
    """Return what each half step costs at each step because it is beyond a compass."""
    numbers = np.arange(LOWEST, LOWEST + COUNT)
    away = np.maximum(compass[0] - numbers, numbers - compass[1])
    return np.clip(away / FAR, 0, 1) * most


def _path(costs: NDArray[np.float64], eased: NDArray[np.float64]) -> NDArray[np.int64]:
    """Return the cheapest path: at each step a MIDI number, or 0. Silence is the first column."""
    steps, count = costs.shape
    total, stay = costs[0].copy(), np.arange(count)
    back = np.empty((steps, count), np.int16)
    for step in range(1, steps):
        best = 1 + int(np.argmin(total[1:]))
        source, price = best, total[best] + CHANGE * eased[step]
        if total[0] + FROM_SILENCE * eased[step] < price:
            source, price = 0, total[0] + FROM_SILENCE * eased[step]
        kept = total <= price
        kept[0] = total[0] <= total[best] + TO_SILENCE
        back[step] = np.where(kept, stay, source)
        back[step, 0] = 0 if kept[0] else best
        fallen = min(total[0], total[best] + TO_SILENCE)
        total = np.where(kept, total, price)
        total[0] = fallen
        total += costs[step]
    return _traced(back, int(np.argmin(total)))


def _traced(back: NDArray[np.int16], last: int) -> NDArray[np.int64]:
    """Return the path that ends in one column."""
    found = np.empty(len(back), np.int64)
    for step in range(len(back) - 1, -1, -1):
        found[step] = last + LOWEST - 1 if last else 0
        last = int(back[step, last])
    return found


def _joined(path: NDArray[np.int64], begins: NDArray[np.float32]) -> NDArray[np.int64]:
    """Return a path in which a tone that speaks an octave off is that of its longer part.

    Where it goes on in another octave, nothing begins. What this take was heard to do in long
    tones, its short ones do too.

    >>> _joined(np.array([54] * 10 + [66] * 30), np.zeros(40, np.float32)).tolist() == [66] * 40
    True
    """
    found, slips = path.copy(), Counter[int]()
    runs = _runs(path)
    for (first, over), (again, end) in pairwise(runs):
        one, other = int(found[first]), int(found[again])
        brief = again - over <= PAUSE and min(over - first, end - again) <= SLIP
        begun = begins[max(over - NEAR, 0) : again + NEAR + 1].max()
        if abs(one - other) == OCTAVE and brief and begun < POSSIBLE:
            longer = one if over - first > end - again else other
            slips[one] += int(one < other == longer)
            found[first:end] = longer
    held = {int(found[first]) for first, end in _runs(found) if end - first > SLIP}
    for first, end in _runs(found):
        number = int(found[first])
        if slips[number] >= OFTEN and number not in held:
            found[first:end] += OCTAVE
    return found


def _runs(path: NDArray[np.int64]) -> list[tuple[int, int]]:
    """Return first step and end of each tone of a path."""
    edges = [0, *(np.flatnonzero(np.diff(path)) + 1).tolist(), len(path)]
    return [(first, end) for first, end in pairwise(edges) if path[first]]


def _cut(
    path: NDArray[np.int64], begins: NDArray[np.float32], level: NDArray[np.float64]
) -> list[tuple[int, int, int]]:
    """Return the notes of a path as first step, end and number, cut where tones begin anew.

    >>> begins = np.zeros(60, np.float32)
    >>> begins[[9, 30]] = 0.9
    >>> level = np.array([-20.0] * 28 + [-26.0] * 2 + [-20.0] * 30)
    >>> _cut(np.array([0] * 10 + [60] * 50), begins, level)
    [(9, 30, 60), (30, 60, 60)]
    """
    inner = begins[1:-1]
    grown = (inner >= begins[:-2]) & (inner > begins[2:]) & (inner > 0)
    tops = [int(top) + 1 for top in np.flatnonzero(grown)]
    found: list[tuple[int, int, int]] = []
    for first, end in _runs(path):
        begun = _begun(first, end, tops, begins)
        if found:
            start, over, midi = found[-1]
            begun = max(begun, min(start + FEWEST, first))
            found[-1] = (start, min(over, begun), midi)
        for top in tops:
            there = begun + APART <= top <= end - BEFORE_END
            if there and _is_struck(float(begins[top]), _dip(level, top)):
                found.append((begun, top, int(path[first])))
                begun = top
        found.append((begun, end, int(path[first])))
    return found


def _is_struck(begins: float, dip: float) -> bool:
    """Tell whether a held tone is struck again, by how likely it begins and the dip before it.

    >>> _is_struck(0.9, 1.0), _is_struck(0.7, 1.0), _is_struck(0.7, 5.0), _is_struck(0.9, 0.1)
    (True, False, True, False)
    """
    if begins < HEARD or dip < SHALLOWEST:
        return False
    folds = np.log(begins / (1 - begins + 1e-6))
    return bool(E_FOLD * folds + DECIBEL * min(dip, DEEPEST) > NEEDED)


def _dip(level: NDArray[np.float64], top: int) -> float:
    """Return by how many decibels a level falls before a step and rises after."""
    before = level[max(top - BEFORE, 0) : max(top - 1, 1)].max()
    least = level[max(top - DIP, 0) : top + 3].min()
    return float(min(before, level[top : top + AFTER].max()) - least)


def _begun(first: int, end: int, tops: Sequence[int], begins: NDArray[np.float32]) -> int:
    """Return where the note begins whose pitch is heard from a step on."""
    near = [
        top
        for top in tops
        if abs(top - first) <= REACH and top < end - 2 and begins[top] > POSSIBLE
    ]
    return max(near, key=lambda top: begins[top] - FURTHER * abs(top - first), default=first)
