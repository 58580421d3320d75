"""Rhythm search: how late a take is, how it swings and how evenly, with the grid of each beat.

All is found at once. What is sought is the least cost: the misfit of the notes, taken as errors
that are spread normally with long tails, and the costs of the rhythms of all beats. For one
lateness and one swing the beats are found by dynamic programming; then both are set anew from what
was found. A note so near the edge of two beats that it may belong to either is tried in both.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cached_property
from itertools import pairwise, product
from math import floor, log, pi

from theorykit.lines.taking.beat_rhythms import (
    GRIDS,
    HALF,
    MOST_NOTES,
    THIRD,
    WIDE,
    WIDE_COST,
    BeatRhythm,
    rhythms_of,
    sounding_place,
)

EARLY, LATE = 0.3, 0.2  # beats around an edge in which a note may belong to either side
FARTHEST = 0.3  # beats that a note may be moved
COLLISION = 6.0  # nats: that two notes fall on one place
SURE, TAIL = 3.0, 2.0  # spreads after which an error costs no longer by its square, but this much
USUAL, BELIEF = 0.025, 6.0  # beats: the spread of a take before it is heard; notes it counts for
CLOSEST, WIDEST = 0.008, 0.11  # beats: the spreads that are believed
FIRST_SPREAD = 0.045
STRAIGHT, SWUNG = (0.46, 0.55), (0.55, 0.77)  # where the second of two eighths may come
SECONDS = (0.5, 0.58, 0.63, 2 / 3, 0.73)  # where it is tried
SWING_COST = 3.0  # nats: that a take swings at all
FEW, FEW_COST = 3, 2.5  # second eighths to tell a swing by; nats for each that is missing
GLANCE, ENOUGH = 48, 160  # notes on which manners are tried, and from which the best are learned
ROUNDS, TRIED_ON = 4, 3


@dataclass(frozen=True, slots=True)
class Manner:
    """How a take is played: beats late throughout, place of the second eighth, spread of errors."""

    late: float
    second: float
    spread: float

    @property
    def swung(self) -> bool:
        """Whether its eighths are swung."""
        return self.second >= SWUNG[0]


@dataclass(frozen=True, slots=True)
class Placed:
    """A note on the grid: its place, where that sounds, and the grid of its beat."""

    start: Fraction
    sounds: float
    grid: Fraction


@dataclass(frozen=True, slots=True)
class Found:
    """Places of all notes, the manner of the take, and the cost of believing both, in nats."""

    places: tuple[Placed, ...]
    manner: Manner
    cost: float


@dataclass(frozen=True, slots=True)
class _Step:
    """The end of a path: its last beat, the grid and place of each note in it, the way there."""

    before: _Step | None
    beat: int
    places: tuple[tuple[Fraction, Fraction], ...]


_Paths = dict[int, tuple[float, _Step | None]]


@dataclass(frozen=True)
class Clock:
    """What is known of the beat: a tempo, the shifts to try and how far off they may be."""

    tempo: float | None = None
    shifts: tuple[float, ...] = (-0.12, -0.06, 0.0, 0.06, 0.12)
    sureness: float = 0.05  # beats: the spread of lateness before a take is heard

    @cached_property
    def rhythms(self) -> tuple[tuple[BeatRhythm, ...], ...]:
        """The rhythms of a beat by how many notes they have."""
        return tuple(rhythms_of(count, self.tempo) for count in range(MOST_NOTES + 1))


def search(starts: Sequence[float], clock: Clock | None = None) -> Found:
    """Return the likeliest places of notes, given their starts in beats, in order.

    >>> found = search([0.03, 0.66, 1.05, 1.68, 2.04, 2.64, 3.02, 3.69, 4.05])
    >>> [str(place.start) for place in found.places]
    ['0', '1/2', '1', '3/2', '2', '5/2', '3', '7/2', '4']
    >>> found.manner.swung, round(found.manner.late, 2)
    (True, 0.04)
    """
    clock = clock or Clock()
    learned, glanced = starts[:ENOUGH], starts[:GLANCE]
    tries = [
        Manner(shift, second, FIRST_SPREAD) for shift, second in product(clock.shifts, SECONDS)
    ]
    ranked = sorted((_decoded(glanced, one, clock) for one in tries), key=lambda one: one.cost)
    refined = [_refined(learned, one.manner, clock) for one in _apart(ranked)]
    best = min(refined, key=lambda one: one.cost)
    return best if len(learned) == len(starts) else _decoded(starts, best.manner, clock)


def fit_of(found: Found) -> float:
    """Return by how many nats a note suits its grid better than chance would have it.

    Notes at any time, or at another tempo, come to about 0; 30 milliseconds of error at 120 to 1.

    >>> at_eighths = [n * 0.5 for n in range(9)]
    >>> fit_of(search(at_eighths)) > 2 > 0.3 > fit_of(search([n * 1.18 for n in at_eighths]))
    True
    """
    known = BELIEF * (log(USUAL) + 0.5)  # what the spread costs before a note is heard
    return (known - found.cost) / max(1, len(found.places)) - log(2 * pi) / 2


def _apart(ranked: Sequence[Found]) -> list[Found]:
    """Return the best few, of each swing the best one."""
    kept: list[Found] = []
    for one in ranked:
        if all(one.manner.second != other.manner.second for other in kept):
            kept.append(one)
    return kept[:TRIED_ON]


def _refined(starts: Sequence[float], tried: Manner, clock: Clock) -> Found:
    """Return what is found when manner and places are set by turns, the best of all rounds."""
    best = found = _decoded(starts, tried, clock)
    for _ in range(ROUNDS):
        manner = _manner(starts, found, clock)
        if manner == found.manner:
            break
        found = _decoded(starts, manner, clock)
        best = min(best, found, key=lambda one: one.cost)
    return best


def _manner(starts: Sequence[float], found: Found, clock: Clock) -> Manner:
    """Return the manner that suits the places best."""
    old = found.manner
    weight = (old.spread / clock.sureness) ** 2
    errors = [_bounded(t - p.sounds - old.late) for t, p in zip(starts, found.places, strict=True)]
    late = (sum(errors) + old.late * len(errors)) / (len(errors) + weight)
    seconds = [
        t - late - floor(p.start)
        for t, p in zip(starts, found.places, strict=True)
        if p.grid == HALF and p.start % 1 == HALF
    ]
    low, high = SWUNG if old.swung else STRAIGHT
    middle, pull = (old.second, 2.0) if old.swung else (0.5, 6.0)
    second = (sum(seconds) + pull * middle) / (len(seconds) + pull)
    squares = sum(_bounded(error) ** 2 for error in errors)
    spread = ((squares + BELIEF * USUAL**2) / (len(errors) + BELIEF)) ** 0.5
    return Manner(
        round(late, 4),
        round(min(max(second, low), high - 1e-4), 4),
        round(min(max(spread, CLOSEST), WIDEST), 4),
    )


def _bounded(error: float) -> float:
    """Return an error, cut so that no single note moves a take."""
    return min(max(error, -0.15), 0.15)


# === One manner ===


def _decoded(starts: Sequence[float], manner: Manner, clock: Clock) -> Found:
    """Return the places of the least cost for one manner."""
    if not starts:
        return Found((), manner, 0.0)
    times = [start - manner.late for start in starts]
    beats = _Beats(times, manner, clock)
    first, last = floor(times[0] + EARLY), floor(times[-1] + EARLY)
    # For each note that may be the first of a beat: the least cost before it, and the way there.
    paths: _Paths = {0: (0.0, None)}
    ahead: dict[int, _Paths] = {}  # what goes over two beats, by the beat after
    for beat in _busy_beats(times, first, last):
        for arrived in sorted(one for one in ahead if one <= beat):
            _merge(paths, ahead.pop(arrived))
        if beat < last:
            _merge(ahead.setdefault(beat + 2, {}), beats.wide(paths, beat, last))
        paths = _onward(paths, beat, beats, last)
    for others in ahead.values():
        _merge(paths, others)
    cost, way = paths[len(times)]
    places = _places(way, manner)
    return Found(places, manner, cost + _cost_of(manner, places, clock))


def _merge(paths: _Paths, others: _Paths) -> None:
    """Take other paths among these, where they cost less."""
    for end, row in others.items():
        if end not in paths or row[0] < paths[end][0]:
            paths[end] = row


def _busy_beats(times: Sequence[float], first: int, last: int) -> list[int]:
    """Return the beats that may hold a note."""
    near = {floor(time + off) for time in times for off in (EARLY, -LATE)}
    return sorted(beat for beat in near if first - 1 <= beat <= last)


def _onward(paths: _Paths, beat: int, beats: _Beats, last: int) -> _Paths:
    """Return the paths one beat further on."""
    found: _Paths = {}
    for place, (cost, way) in paths.items():
        for end in beats.ends(beat, place, last):
            dearer, places = beats.best(beat, place, end)
            total = cost + dearer
            if end not in found or total < found[end][0]:
                found[end] = (total, _Step(way, beat, places) if places else way)
    return found


def _places(way: _Step | None, manner: Manner) -> tuple[Placed, ...]:
    """Return the places along a path, which is kept from its end backwards."""
    found: list[Placed] = []
    while way is not None:
        for grid, place in reversed(way.places):
            sounds = way.beat + sounding_place(grid, place, manner.second)
            found.append(Placed(way.beat + place, sounds, grid))
        way = way.before
    return tuple(reversed(found))


def _cost_of(manner: Manner, places: Sequence[Placed], clock: Clock) -> float:
    """Return what the manner itself costs; few second eighths are little to tell a swing by."""
    spread = (len(places) + BELIEF) * log(manner.spread) + BELIEF * (USUAL / manner.spread) ** 2 / 2
    shift = (manner.late / clock.sureness) ** 2 / 2
    if not manner.swung:
        return spread + shift
    seconds = sum(place.grid == HALF and place.start % 1 == HALF for place in places)
    return spread + shift + SWING_COST + FEW_COST * max(0, FEW - seconds)


class _Beats:
    """The costs of beats in one manner; each stretch of notes is judged once."""

    def __init__(self, times: Sequence[float], manner: Manner, clock: Clock) -> None:
        self._times, self._spread = times, manner.spread
        self._second = manner.second
        self._rhythms = [
            [(one, one.sounding(manner.second)) for one in rows] for rows in clock.rhythms
        ]

    def ends(self, beat: int, place: int, last: int) -> range:
        """Return where the notes of a beat may end that begin with one note."""
        if beat == last:
            return range(len(self._times), len(self._times) + 1)
        low = bisect_left(self._times, beat + 1 - EARLY, place)
        return range(low, bisect_right(self._times, beat + 1 + LATE, low) + 1)

    def wide(self, paths: _Paths, beat: int, last: int) -> _Paths:
        """Return the paths that go on by three quarters in the time of two, over two beats."""
        found: _Paths = {}
        for place, (cost, way) in paths.items():
            end = place + len(WIDE)
            if end not in self.ends(beat + 1, place, last):
                continue
            inside = zip(WIDE, self._times[place:end], strict=True)
            total = cost + WIDE_COST
            total += sum(self._misfit(time - beat - float(spot)) for spot, time in inside)
            found[end] = (total, _Step(way, beat, tuple((THIRD, spot) for spot in WIDE)))
        return found

    def best(
        self, beat: int, first: int, end: int
    ) -> tuple[float, tuple[tuple[Fraction, Fraction], ...]]:
        """Return the least cost of notes in a beat, and their grid and place each."""
        if first == end:
            return 0.0, ()
        inside = [time - beat for time in self._times[first:end]]
        cost, rhythm = self._plain(inside)
        if rhythm is not None and cost < COLLISION + 2:
            return cost, tuple((rhythm.grid, place) for place in rhythm.places)
        crowded = min((self._crowded(inside, grid) for grid in GRIDS), key=lambda row: row[0])
        if rhythm is not None and cost <= crowded[0]:
            return cost, tuple((rhythm.grid, place) for place in rhythm.places)
        return crowded

    def _plain(self, inside: Sequence[float]) -> tuple[float, BeatRhythm | None]:
        """Return the best rhythm with a place for each note."""
        best, found = float("inf"), None
        if len(inside) <= MOST_NOTES:
            for rhythm, sounding in self._rhythms[len(inside)]:
                cost = rhythm.cost
                for place, time in zip(sounding, inside, strict=True):
                    cost += self._misfit(time - place)
                    if cost >= best:
                        break
                if cost < best:
                    best, found = cost, rhythm
        return best, found

    def _crowded(
        self, inside: Sequence[float], grid: Fraction
    ) -> tuple[float, tuple[tuple[Fraction, Fraction], ...]]:
        """Return the cost of notes each on the nearest place, where several may share one."""
        places = [grid * number for number in range(int(1 / grid))]
        sounding = [sounding_place(grid, place, self._second) for place in places]
        taken = [min(range(len(places)), key=lambda p: abs(sounding[p] - time)) for time in inside]
        apart = sum(self._misfit(time - sounding[p]) for time, p in zip(inside, taken, strict=True))
        shared = sum(one == other for one, other in pairwise(taken))
        cost = apart + COLLISION * shared + 3.0 + 1.0 / float(grid)
        return cost, tuple((grid, places[p]) for p in taken)

    def _misfit(self, error: float) -> float:
        """Return the cost of an error."""
        if abs(error) > FARTHEST:
            return 1_000.0 * abs(error)
        away = abs(error) / self._spread
        return away * away / 2 if away < SURE else SURE * SURE / 2 + TAIL * (away - SURE)
