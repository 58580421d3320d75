"""All that is found out about a chart before its cadences are told one by one."""

from __future__ import annotations

from theorykit.tunes.chart import Chart
from theorykit.tunes.families import DIMINISHED, DOMINANT, SUSPENDED
from theorykit.tunes.fit import state_of
from theorykit.tunes.home import blues_of
from theorykit.tunes.moves import moves_of
from theorykit.tunes.regions import key_path
from theorykit.tunes.spans import spans_of
from theorykit.tunes.ways import ways_of

__all__ = ["Analysis"]

_NONE = -1


class Analysis:
    """A chart with its spans, the moves of its dominants, their links, and its path of keys."""

    def __init__(self, chart: Chart) -> None:
        self.chart = chart
        self.names: dict[int, str] = {}
        played = chart.played
        self.bars = chart.bars
        self.spans = spans_of([(p.chord, p.beats) for p in played])
        count = played[-1].bar + 1
        self.home = state_of(chart.key)
        self.blues = blues_of(self.spans, chart.key, count)
        self.moves = moves_of(self.spans, self.blues)
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
        if self.spans[then].family == DIMINISHED:
            then = self.after(then)
        if self.is_v(then):
            return then if self.up(v, then) in (5, 11) and then != v else _NONE
        later = self.after(then)
        if later == v or self.moves.ii[later] != then:
            return _NONE
        falls = self.up(v, then) in (0, 5, 11) or self.up(v, later) == 11
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
