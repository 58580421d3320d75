"""Note search: one path over half steps and silence, cut where a note begins.

The path costs what the ear thinks of each half step, and what it costs to leave one: less where the
ear hears a note begin. A tone that is held is cut where a beginning is clear.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import islice, pairwise

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
# of the decibels of a dip before it. Fitted by logistic regression to takes of another synthesizer.
ODDS, DIPS, NEEDED = 1.4, 1.85, 3.0
SHALLOWEST, DEEPEST = 0.1, 12.0  # decibels of a dip, between which it counts
DIP, BEFORE, AFTER = 6, 20, 14  # steps around a beginning in which its dip, and levels, are sought
# Of a tone that swells: steps that a dip is deep on either side, and from one to the next (common
# practice: a vibrato goes four to eight times a second). A little narrower where many are even.
BROAD, BROAD_OF_MANY, VIBRATO = 4, 3, range(15, 33)
MANY, EVEN, ALIKE = 4, 2, 1.0  # dips in a row; steps and decibels by which they are uneven
FURTHER = 0.02  # of it that a step away costs
FEWEST = 3  # steps from the beginning of one note to that of the next
OCTAVE, SLIP, PAUSE = 12, 25, 3  # half steps; steps an octave off, and silent, inside a tone
SPOKEN = 5  # steps of a tone that spoke an octave low, after it
OFTEN, ZONE = 2, 2  # slips from which short tones count as slips; half steps around in which
# Half steps of the leaps to and from a tone that may be an octave too low, and by which it would be
# nearer; how likely the ear must think the higher one.
LEAP, NEARER, DOUBT = 6, 8, 0.03
APART, BEFORE_END = 9, 5  # steps from a beginning, and to the end, where a tone may be cut
LEAST_APART, SIXTEENTH = 8, 0.2  # the same at a tempo: steps; beats of a sixteenth that is early
SHORTEST = 5  # steps of a note
# Of a note that is over before its pitch is clear: how likely it begins, the steps that tell its
# pitch, the steps to the notes around; the decibels by which it rises, and is softer than the next.
LIKELY, BRIEF, AROUND = 0.5, 4, 13
RISE, SOFTER = 2.0, 12.0
Row = tuple[int, int, int]  # first step, end, MIDI number


@dataclass(frozen=True)
class Found:
    """The notes of a melody, and from where to where it goes."""

    notes: list[HeardNote]
    compass: tuple[int, int]


def notes_in(
    heard: Hearing,
    level: NDArray[np.float64],
    compass: tuple[int, int] | None = None,
    tempo: float | None = None,
) -> Found:
    """Return the likeliest notes of one melody, within a compass that is given or its own.

    Its own is that of its loud steps as a first search finds them. At a ``tempo`` that is given, in
    beats a minute, no tone is struck again sooner than sixteenths come.
    """
    if not len(heard.begins):
        return Found([], compass or (LOWEST, LOWEST + COUNT - 1))
    costs = np.minimum(-heard.pitches, CAP).astype(np.float64)
    near = np.lib.stride_tricks.sliding_window_view(np.pad(heard.begins, NEAR), 2 * NEAR + 1)
    eased = 1 - EASED * near.max(axis=1)
    own = compass or _compass(_path(costs, eased), level)
    costs[:, 1:] += _beyond(own, OUTSIDE if compass else UNUSUAL)
    path = _in_line(_joined(_path(costs, eased), heard.begins), heard.pitches)
    sure = np.exp(heard.pitches[np.arange(len(path)), np.where(path, path - LOWEST + 1, 0)])
    cut = _cut(path, heard.begins, level, _apart(tempo))
    rows = _with_brief(cut, costs, heard.begins, level)
    notes = [
        HeardNote(round(first * HOP, 4), round(end * HOP, 4), midi, _mean(sure[first:end]))
        for first, end, midi in rows
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

    Where it goes on in another octave, nothing begins. One that speaks an octave low is the higher
    one, as reeds begin. What this take was heard to do in long tones, its short ones do too.

    >>> _joined(np.array([54] * 16 + [66] * 12), np.zeros(28, np.float32)).tolist() == [66] * 28
    True
    """
    found, slips = path.copy(), Counter[int]()
    for (first, over), (again, end) in pairwise(_runs(path)):
        one, other = int(found[first]), int(found[again])
        brief = again - over <= PAUSE and min(over - first, end - again) <= SLIP
        begun = begins[max(over - NEAR, 0) : again + NEAR + 1].max()
        spoken = one < other and over - first <= SLIP and end - again >= SPOKEN
        if abs(one - other) == OCTAVE and brief and begun < (HEARD if spoken else POSSIBLE):
            longer = one if over - first > end - again and not spoken else other
            slips[one] += int(one < other == longer)
            found[first:end] = longer
    return _lifted(found, slips)


def _lifted(path: NDArray[np.int64], slips: Counter[int]) -> NDArray[np.int64]:
    """Return a path whose short tones near those that slipped are an octave up, if that is nearer.

    What is nearer is told by the tones around that are none of these.

    >>> path = np.array([64] * 30 + [54] * 10 + [67] * 30)
    >>> _lifted(path, Counter({53: 2}))[[0, 35, 65]].tolist()
    [64, 66, 67]
    >>> _lifted(path, Counter({53: 1}))[[0, 35, 65]].tolist()
    [64, 54, 67]
    """
    found, runs = path.copy(), _runs(path)
    held = {int(path[first]) for first, end in runs if end - first > SLIP}
    doubtful = [
        int(path[first]) not in held
        and sum(slips[int(path[first]) + away] for away in range(-ZONE, ZONE + 1)) >= OFTEN
        for first, _ in runs
    ]
    for number, (first, end) in enumerate(runs):
        if doubtful[number]:
            low = int(path[first])
            before = [int(found[runs[number - 1][0]])] if number else []
            sure = (runs[n][0] for n in range(number + 1, len(runs)) if not doubtful[n])
            around = before + [int(path[after]) for after in islice(sure, 1)]
            if _nearer(low, around) > 0:
                found[first:end] = low + OCTAVE
    return found


def _in_line(path: NDArray[np.int64], pitches: NDArray[np.float32]) -> NDArray[np.int64]:
    """Return a path whose short tones are an octave up, where the line lies and the ear doubts.

    >>> path, doubt = np.array([64] * 20 + [54] * 10 + [67] * 20), np.full((50, COUNT + 1), -9.0)
    >>> [int(_in_line(path, rows)[25]) for rows in (doubt, doubt / 3)]
    [54, 66]
    """
    found, runs = path.copy(), _runs(path)
    for before, (first, end), after in zip(runs, runs[1:], runs[2:], strict=False):
        low, around = int(path[first]), [int(found[before[0]]), int(path[after[0]])]
        column = low + OCTAVE - LOWEST + 1
        if end - first > SLIP or column > COUNT:
            continue
        leaps = min(abs(low - one) for one in around) >= LEAP and _nearer(low, around) >= NEARER
        if leaps and pitches[first:end, column].max() > np.log(DOUBT):
            found[first:end] = low + OCTAVE
    return found


def _nearer(low: int, around: Sequence[int]) -> int:
    """Return by how many half steps a tone is nearer to those around when it is an octave up."""
    return sum(abs(low - one) - abs(low + OCTAVE - one) for one in around)


def _runs(path: NDArray[np.int64]) -> list[tuple[int, int]]:
    """Return first step and end of each tone of a path."""
    edges = [0, *(np.flatnonzero(np.diff(path)) + 1).tolist(), len(path)]
    return [(first, end) for first, end in pairwise(edges) if path[first]]


def _apart(tempo: float | None) -> int:
    """Return the steps from the beginning of a tone to where it may be struck again.

    >>> _apart(None), _apart(120), _apart(240)
    (9, 12, 8)
    """
    return APART if tempo is None else max(LEAST_APART, round(SIXTEENTH * 60 / tempo / HOP))


def _cut(
    path: NDArray[np.int64],
    begins: NDArray[np.float32],
    level: NDArray[np.float64],
    apart: int,
) -> list[Row]:
    """Return the notes of a path as first step, end and number, cut where tones begin anew.

    >>> begins = np.zeros(60, np.float32)
    >>> begins[[9, 30]] = 0.9
    >>> level = np.array([-20.0] * 28 + [-26.0] * 2 + [-20.0] * 30)
    >>> _cut(np.array([0] * 10 + [60] * 50), begins, level, 9)
    [(9, 30, 60), (30, 60, 60)]
    """
    tops = _tops(begins)
    found: list[Row] = []
    for first, end in _runs(path):
        begun = _begun(first, end, tops, begins, found[-1][0] + FEWEST if found else 0)
        if found:
            start, over, midi = found[-1]
            begun = max(begun, min(start + FEWEST, first))
            found[-1] = (start, min(over, begun), midi)
        swells = _swells([top for top in tops if first < top < end], begins, level)
        for top in tops:
            there = begun + apart <= top <= end - BEFORE_END and top not in swells
            if there and _is_struck(float(begins[top]), _dip(level, top)):
                found.append((begun, top, int(path[first])))
                begun = top
        found.append((begun, end, int(path[first])))
    return found


def _tops(begins: NDArray[np.float32]) -> list[int]:
    """Return the steps at which a note likelier begins than around."""
    inner = begins[1:-1]
    grown = (inner >= begins[:-2]) & (inner > begins[2:]) & (inner > 0)
    return [int(top) + 1 for top in np.flatnonzero(grown)]


def _with_brief(
    rows: Sequence[Row],
    costs: NDArray[np.float64],
    begins: NDArray[np.float32],
    level: NDArray[np.float64],
) -> list[Row]:
    """Return the notes that are long enough, and between them brief ones that surely begin.

    Such a one is over before its pitch is clear: it has the one that costs least.

    >>> begins, costs = np.zeros(60, np.float32), np.full((60, COUNT + 1), 5.0)
    >>> begins[30], costs[30:34, 67 - LOWEST + 1] = 0.9, 3.0
    >>> level = np.array([-20.0] * 28 + [-30.0] * 2 + [-20.0] * 30)
    >>> _with_brief([(0, 28, 60), (40, 60, 62)], costs, begins, level)
    [(0, 28, 60), (30, 36, 67), (40, 60, 62)]
    """
    found = [row for row in rows if row[1] - row[0] >= SHORTEST]
    tops = [top for top in _tops(begins) if begins[top] > LIKELY]
    for (first, end, _), (after, *_) in tuple(pairwise(found)):
        low = max(first + BRIEF, end - BRIEF + 1, after - AROUND)
        for top in tops:
            if low <= top <= min(after - BRIEF, end + AROUND) and _rises(level, top, after):
                number = LOWEST + int(np.argmin(costs[top : top + BRIEF, 1:].sum(axis=0)))
                found.append((top, min(after, top + SHORTEST + 1), number))
    found.sort()
    nexts = [*(first for first, _, _ in found), len(begins)][1:]
    return [
        (first, min(end, after), number)
        for (first, end, number), after in zip(found, nexts, strict=True)
    ]


def _rises(level: NDArray[np.float64], top: int, after: int) -> bool:
    """Tell whether a level rises at a step, not far below that of the note after."""
    loud = level[top : top + SHORTEST + 1].max()
    least = level[max(top - SHORTEST, 0) : top + 1].min()
    return bool(loud - least > RISE and loud > level[after : after + AFTER].max() - SOFTER)


def _is_struck(begins: float, dip: float) -> bool:
    """Tell whether a held tone is struck again, by how likely it begins and the dip before it.

    >>> _is_struck(0.9, 1.0), _is_struck(0.7, 1.0), _is_struck(0.7, 5.0), _is_struck(0.9, 0.1)
    (True, False, True, False)
    """
    odds = np.log(begins / (1 - begins + 1e-6))
    dips = np.log(np.clip(dip, SHALLOWEST, DEEPEST))
    return begins >= HEARD and bool(ODDS * odds + DIPS * dips > NEEDED)


def _swells(
    tops: Sequence[int], begins: NDArray[np.float32], level: NDArray[np.float64]
) -> set[int]:
    """Return the beginnings in one tone that are its vibrato: broad dips at the pace of one.

    >>> level, begins = -20 + 2 * np.cos(np.arange(100) / 4), np.full(100, 0.9, np.float32)
    >>> sorted(_swells([20, 45, 70], begins, level))
    [20, 45, 70]
    >>> sorted(_swells([20, 60], begins, level)), _swells([20, 45], begins, level.round(-1))
    ([], set())
    """
    broad = {top: _breadth(level, top) for top in tops if begins[top] >= HEARD}
    pairs = [
        (one, other)
        for one in broad
        for other in broad
        if other - one in VIBRATO and abs(_dip(level, one) - _dip(level, other)) <= ALIKE
    ]
    found = {top for pair in pairs if min(broad[top] for top in pair) >= BROAD for top in pair}
    narrower = [pair for pair in pairs if min(broad[top] for top in pair) >= BROAD_OF_MANY]
    rows = [_even_row(pair, narrower) for pair in narrower]
    return found.union(*(row for row in rows if len(row) >= MANY))


def _even_row(pair: tuple[int, int], pairs: Sequence[tuple[int, int]]) -> list[int]:
    """Return a pair of steps and what follows it at the same pace.

    >>> _even_row((10, 30), [(10, 30), (30, 51), (51, 60), (51, 70), (70, 99)])
    [10, 30, 51, 70]
    """
    row = list(pair)
    while True:
        pace = row[-1] - row[-2]
        even = [b for a, b in pairs if a == row[-1] and abs(b - a - pace) <= EVEN]
        if not even:
            return row
        row.append(even[0])


def _breadth(level: NDArray[np.float64], top: int) -> int:
    """Return for how many steps a level stays near the least of a dip, on its steeper side."""
    low = max(top - BEFORE, 0)
    least = low + int(level[low : top + 3].argmin())
    around = [level[max(least - BEFORE, 0) : least + 1].max(), level[least : least + BEFORE].max()]
    deep = level < (level[least] + min(around)) / 2
    return int(min(np.argmin(deep[: least + 1][::-1]), np.argmin(deep[least:])))


def _dip(level: NDArray[np.float64], top: int) -> float:
    """Return by how many decibels a level falls before a step and rises after."""
    before = level[max(top - BEFORE, 0) : max(top - 1, 1)].max()
    least = level[max(top - DIP, 0) : top + 3].min()
    return float(min(before, level[top : top + AFTER].max()) - least)


def _begun(
    first: int, end: int, tops: Sequence[int], begins: NDArray[np.float32], least: int = 0
) -> int:
    """Return where the note begins whose pitch is heard from a step on.

    Not where the note before it began, so that a short one keeps its beginning: from the step
    ``least`` on, if anything begins there.
    """
    near = [
        top
        for top in tops
        if abs(top - first) <= REACH and top < end - 2 and begins[top] > POSSIBLE
    ]
    own = [top for top in near if top >= least] or near
    return max(own, key=lambda top: begins[top] - FURTHER * abs(top - first), default=first)
