"""Analysis: the spans of a chart, its moves, its path of keys, and the way of each V."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Protocol

from theorykit.errors import expect
from theorykit.tunes.charts import Chart
from theorykit.tunes.dominant_moves import BACKDOOR, PLAIN, TRITONE, Moves, moves_of
from theorykit.tunes.families import (
    DIMINISHED,
    DOMINANT,
    HALF,
    MAJOR,
    MINOR,
    MINOR_7,
    PEDAL,
    SUSPENDED,
    Span,
    spans_of,
)
from theorykit.tunes.home_key import STATES, blues_of, fits, state_of

# Weights of the path, in beats of a chord that fits. Ours, settled on tunes that we can sing.
LEAVING = 4.5  # what a change of key costs
NEXT_DOOR = 7.0  # what it costs to IV, or to iv of a minor tune: they are a step away, no journey
COMING_HOME = 3.5  # what it costs to the key of the tune
HOME = 0.2  # for each beat in the home key
LANDED = 0.5  # for each beat of a cadence that lands in the key
POINTED = 0.2  # for each beat of a ii-V that only points there
ARRIVAL = 2.0  # for the landing itself, with a ii; without one, half
LONGEST = 8.0  # beats of one chord that count


def key_path(
    spans: Sequence[Span], moves: Moves, home: int, rests: frozenset[int] = frozenset()
) -> list[int]:
    """Return for each span the number of the key (see ``fit``) that the best path gives it.

    ``home`` is the number of the home key, ``rests`` the roots whose dominants are at rest in it.
    """
    if not spans:
        return []
    tonic = home % 12  # the work is done as if the tonic were C: so no key is preferred in a tie
    path = _path_from_c(spans, moves, tonic, home - tonic, rests)
    return [(state + tonic) % 12 + state // 12 * 12 for state in path]


def _path_from_c(
    spans: Sequence[Span], moves: Moves, tonic: int, home: int, rests: frozenset[int]
) -> list[int]:
    """Return the best path, the keys counted from the tonic; home is then 0 or 12."""
    gains, costs = _gains(spans, moves, tonic, home, rests), _costs(home)
    scores = [gain - costs[state] * (state != home) for state, gain in enumerate(gains[0])]
    steps: list[bytes] = []  # small, for a tune of thousands of bars
    for gain in gains[1:]:
        top = max(scores)
        best, leaps = scores.index(top), [top - cost for cost in costs]
        steps.append(bytes([n if scores[n] >= leap else best for n, leap in enumerate(leaps)]))
        scores = [
            (score if score >= leap else leap) + more
            for score, leap, more in zip(scores, leaps, gain, strict=True)
        ]
    return _traced(scores, steps)


def _costs(home: int) -> list[float]:
    """Return what it costs to come into each key; home is 0 or 12."""
    costs = [LEAVING] * STATES
    costs[home], costs[home + 5] = COMING_HOME, NEXT_DOOR
    return costs


def _traced(scores: list[float], steps: list[bytes]) -> list[int]:
    """Walk the best path back from its end."""
    path = [max(range(STATES), key=scores.__getitem__)]
    for origins in reversed(steps):
        path.append(origins[path[-1]])
    return path[::-1]


def _gains(
    spans: Sequence[Span], moves: Moves, tonic: int, home: int, rests: frozenset[int]
) -> list[list[float]]:
    """Return what each span gains in each key."""
    gains = []
    for span in spans:
        beats = min(span.beats, LONGEST)
        gain = [beats * weight for weight in fits((span.root - tonic) % 12, span.family)]
        if span.family == MAJOR and span.chord.kind.has("7"):
            _rule_out_as_v(gain, (span.root - tonic) % 12)
        gain[home] += HOME * beats
        if span.family == DOMINANT and span.root in rests:
            gain[home] = beats
        gains.append(gain)
    for v, landing in enumerate(moves.landing):
        ii = moves.ii[v]
        if landing is not None:
            state = _state_of_target(spans[landing.span], tonic)
            _reward(gains, spans, (ii, v, landing.span), state, LANDED if ii >= 0 else LANDED / 2)
            gains[landing.span][state] += ARRIVAL if ii >= 0 else ARRIVAL / 2
        elif ii >= 0:
            root = (spans[v].root + 5 - tonic) % 12
            for state in (root, root + 12):
                _reward(gains, spans, (ii, v), state, POINTED)
    return gains


def _rule_out_as_v(gain: list[float], root: int) -> None:
    """Take away what a major seventh chord gained where it would be the V: it has no tritone."""
    for state in ((root + 5) % 12, (root + 5) % 12 + 12):
        gain[state] = 0.0


def _reward(
    gains: list[list[float]],
    spans: Sequence[Span],
    places: tuple[int, ...],
    state: int,
    each: float,
) -> None:
    """Let the chords of a cadence speak for its key."""
    for place in places:
        if place >= 0:
            gains[place][state] += each * min(spans[place].beats, LONGEST)


def _state_of_target(target: Span, tonic: int) -> int:
    """Return the key in which a landing chord is I, counted from the tonic."""
    return (target.root - tonic) % 12 + 12 * (target.family in (MINOR, MINOR_7))


_NONE = -1


class Found(Protocol):
    """The part of an analysis that is known before this question."""

    spans: list[Span]
    moves: Moves
    path: list[int]
    home: int
    links: list[int]
    chains: dict[int, tuple[int, ...]]

    def up(self, low: int, high: int) -> int:
        """Return the half steps from the root of one span up to that of another."""

    def after(self, place: int, steps: int = 1) -> int:
        """Return the span so many steps later."""

    def is_back_door(self, v: int) -> bool:
        """Tell whether a dominant stands on the flat VII of the major key around it."""

    def is_back_door_to_iii(self, v: int) -> bool:
        """Tell whether a backdoor dominant goes to iii."""


def ways_of(found: Found) -> list[str]:
    """Return the way of each span, had it landed; it means something for dominants only.

    Along a chain it is found from the end back. D7 that leads to Db7, where Db7 stands for G7, is
    the plain V of that G7; leading to a plain Db7, it would be the substitute.
    """
    ways = [_way_alone(found, v) for v in range(len(found.spans))]
    for chain in set(found.chains.values()):
        _follow_back(found, chain, ways)
    return ways


def _way_alone(found: Found, v: int) -> str:
    """Return the way of a V that leads to no other."""
    landing = found.moves.landing[v]
    if landing is not None:
        return landing.way
    is_backdoor = found.is_back_door(v) or found.is_back_door_to_iii(v)
    return BACKDOOR if is_backdoor else PLAIN


def _follow_back(found: Found, chain: Sequence[int], ways: list[str]) -> None:
    """Find the ways along one chain."""
    for v in reversed(chain):
        later = found.links[v]
        if later == _NONE or found.is_back_door_to_iii(v):
            continue
        ways[v] = TRITONE if _falls_a_half_step(found, v, ways[later]) else PLAIN


def _falls_a_half_step(found: Found, v: int, later_way: str) -> bool:
    """Tell whether a V leads as a substitute to the V it is linked with, or to the ii of that.

    The V of the home key is that, wherever it turns, but between two others in half steps; and no V
    substitutes for that of a half-diminished chord, which is no key's tonic.
    """
    later = found.links[v]
    if (found.spans[v].root + 5) % 12 == found.home % 12 and not _is_between_falls(found, v):
        return False
    between = found.moves.ii[later]
    steps = found.up(v, between) if between not in (_NONE, v) else _NONE
    if steps == 11:
        return found.spans[between].family != HALF
    return found.up(v, later) == 11 and steps != 5 and later_way != TRITONE


def _is_between_falls(found: Found, v: int) -> bool:
    """Tell whether a dominant stands between two, the three falling in half steps."""
    before, later = found.after(v, -1), found.links[v]
    return found.up(before, v) == 11 == found.up(v, later) and found.links[before] == v


class Analysis:
    """A chart with its spans, the moves of its dominants, their links, and its path of keys."""

    def __init__(self, chart: Chart) -> None:
        want = "a Chart such as Chart.parse('| Dm7 G7 | C6 |')"
        self.chart = expect(chart, Chart, "a chart", want)
        self.names: dict[int, str] = {}
        played = chart.played
        self.bars = chart.bars
        self.spans = spans_of([(p.chord, p.beats) for p in played])
        count = played[-1].bar + 1
        self.home = state_of(chart.key)
        self.blues = blues_of(self.spans, chart.key, count)
        self.moves = moves_of(self.spans, self.blues)
        self.v_of = {ii: v for v, ii in enumerate(self.moves.ii) if ii != _NONE}
        self.path = key_path(self.spans, self.moves, self.home, self.blues.rests)
        self.links = [self.link(v) for v in range(len(self.spans))]
        self.chains = self.find_chains()
        self.again = self.find_repetitions()
        self.ways = ways_of(self)

    def after(self, place: int, steps: int = 1) -> int:
        """Return the span so many steps later; the end leads back to the top."""
        return (place + steps) % len(self.spans)

    def up(self, low: int, high: int) -> int:
        """Return the half steps from the root of one span up to that of another."""
        return (self.spans[high].root - self.spans[low].root) % 12

    def is_v(self, place: int) -> bool:
        """Tell whether a span is a dominant, suspended or not."""
        return self.spans[place].family in (DOMINANT, SUSPENDED)

    def is_at_rest(self, place: int) -> bool:
        """Tell whether a span is a dominant on a degree where they rest in this tune."""
        span = self.spans[place]
        return span.family == DOMINANT and span.root in self.blues.rests

    def is_back_door(self, v: int) -> bool:
        """Tell whether a dominant stands on the flat VII of the major key around it."""
        is_dominant = self.spans[v].family == DOMINANT
        return is_dominant and self.path[v] == (self.spans[v].root + 2) % 12

    def is_back_door_to_iii(self, v: int) -> bool:
        """Tell whether a backdoor dominant goes to the iii of the key around it or of the tune."""
        then = self.after(v)
        is_iii = self.up(v, then) == 6 and self.spans[then].family in (MINOR_7, MINOR)
        is_home = self.home == (self.spans[v].root + 2) % 12
        is_home = is_home and self.spans[v].family == DOMINANT
        return is_iii and (is_home or self.is_back_door(v))

    def link(self, v: int) -> int:
        """Return the dominant that a V without a landing leads to, or -1.

        A V leads to the next one where it falls a fifth or a half step to it or to its ii, and
        where it turns into that ii.
        """
        if not self.is_v(v) or self.moves.landing[v] is not None or len(self.spans) < 3:
            return _NONE
        if self.is_at_rest(v) and self.moves.ii[v] == _NONE:
            return _NONE
        then = self.after(v)
        if self.spans[then].family in (DIMINISHED, PEDAL):
            then = self.after(then)
        if self.is_v(then):
            return then if self.up(v, then) in (5, 11) and then != v else _NONE
        later = self.v_of.get(then, _NONE)
        if later in (v, _NONE):
            return _NONE
        falls = self.up(v, then) in (0, 5, 11) or self.up(v, later) in (5, 11)
        return later if falls else _NONE

    def find_repetitions(self) -> list[int]:
        """Return for each V the last V of the same ii-V said again and again."""
        last = list(range(len(self.spans)))
        for v in range(len(self.spans) - 3, -1, -1):
            if self.moves.ii[v + 2] == v + 1 and self.up(v, v + 2) == 0:
                last[v] = last[v + 2]
        return last

    def find_chains(self) -> dict[int, tuple[int, ...]]:
        """Return for each linked dominant the spans of the whole chain."""
        led_to = {after for after in self.links if after != _NONE}
        chains: dict[int, tuple[int, ...]] = {}
        starts = [v for v, after in enumerate(self.links) if after != _NONE and v not in led_to]
        for start in starts + [v for v, after in enumerate(self.links) if after != _NONE]:
            if start not in chains:
                chain = self.follow(start)
                chains.update((v, chain) for v in chain if v not in chains)
        return chains

    def follow(self, start: int) -> tuple[int, ...]:
        """Return a chain from its first dominant to its last."""
        chain = [start]
        seen = {start}
        while self.links[chain[-1]] != _NONE and self.links[chain[-1]] not in seen:
            chain.append(self.links[chain[-1]])
            seen.add(chain[-1])
        return tuple(chain)

    def name(self, place: int) -> str:
        """Return the symbol of a span as the eye wants it; tunes say the same chords often."""
        chord = self.spans[place].chord
        found = self.names.get(id(chord))
        if found is None:
            found = self.names[id(chord)] = chord.pretty
        return found

    def first(self, place: int) -> int | None:
        """Return the index of a span's first chord in ``Chart.played``, or None for none."""
        return None if place == _NONE else self.spans[place].first
