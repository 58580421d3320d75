"""The lattice of all lines over a rhythm, from which lines are drawn note by note.

Every place of the rhythm holds the pitches that may stand there; between them lie the moves with
their costs. Going backwards, each place learns the summed odds e^-cost of all ways to the end that
keep the rules and bring the colour's hallmark notes; going forwards, notes are drawn by these odds
(dynamic programming; forward filtering and backward sampling in the words of the textbooks).
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise
from math import exp
from operator import mul
from random import Random
from typing import TypeVar

from theorykit.lines.chord_palette import CHROMATIC
from theorykit.lines.writing.candidates import Place, moves_between
from theorykit.lines.writing.step_costs import CHROMATIC_TURNS, MOVES, TURNS

START = len(MOVES)  # the state before the first note; after it the state is the last move
OWES = frozenset(place for place, name in enumerate(MOVES) if name.startswith("leap"))
_STATES = (*MOVES, "start")
_TURN_ODDS = tuple(tuple(exp(-cost) for cost in TURNS[state]) for state in _STATES)
_CHROMATIC_ODDS = tuple(
    tuple(
        exp(-cost) if name == f"step {way}" else 0.0
        for name in MOVES
        for way, cost in zip(("up", "down"), CHROMATIC_TURNS[state], strict=True)
        if name.endswith(way) or (name == "again" and way == "up")
    )
    for state in _STATES
)

T = TypeVar("T")
Table = list[list[float]]  # by state and pitch: the odds of all ways from there to the end

Ways = tuple[list[tuple[int, int, int]], list[float]]  # pitch, move and hallmarks of each; odds
Heard = dict[int, tuple[int, Table | None]]  # by hallmark: those heard then, and their table


class Lattice:
    """The places of a rhythm with the odds of every way through them.

    ``is_empty`` tells that no way keeps the rules; ``draw`` returns the MIDI numbers of a line.
    """

    def __init__(self, places: Sequence[Place]) -> None:
        self.places = places
        self.moves = [moves_between(a, b) for a, b in pairwise(places)]
        self.masks = _masks(places)
        self.heard: dict[tuple[int, int], Heard] = {}  # these two are filled as they are asked for
        self.ways: dict[tuple[int, int, int, int], Ways] = {}
        self.tables: list[dict[int, Table]] = [{} for _ in places]
        self.tables[-1] = {mask: _closing(places[-1]) for mask in self.masks[-1]}
        for at in range(len(places) - 2, -1, -1):
            self.tables[at] = self._before(at)

    @property
    def is_empty(self) -> bool:
        """True where no line keeps the rules."""
        return not any(self._starts()[1])

    def draw(self, rng: Random) -> tuple[int, ...]:
        """Return one line, drawn by the odds."""
        starts, odds = self._starts()
        pitch = _drawn(starts, odds, rng)
        mask, state = self.places[0].hallmarks[pitch], START
        found = [self.places[0].pitches[pitch]]
        for at in range(len(self.moves)):
            pitch, state, mask = _drawn(*self._ways(at, mask, state, pitch), rng)
            found.append(self.places[at + 1].pitches[pitch])
        return tuple(found)

    def _starts(self) -> tuple[Sequence[int], list[float]]:
        """Return the first notes and the odds of each with all that can follow."""
        first, tables = self.places[0], self.tables[0]
        return range(len(first.pitches)), [
            odds * tables[mask][START][pitch] if mask in tables else 0.0
            for pitch, (odds, mask) in enumerate(zip(first.odds, first.hallmarks, strict=True))
        ]

    def _ways(self, at: int, mask: int, state: int, pitch: int) -> Ways:
        """Return where one note may go, and the odds of each with all that can follow."""
        known = self.ways.get((at, mask, state, pitch))
        if known is not None:
            return known
        turns, heard = self._turns(at, pitch)[state], self._after(at, mask)
        goals, odds = [], []
        for goal, chance, move, bit in self.moves[at][pitch]:
            later, table = heard[bit]
            if table is not None:
                goals.append((goal, move, later))
                odds.append(chance * turns[move] * table[move][goal])
        self.ways[at, mask, state, pitch] = goals, odds
        return goals, odds

    def _after(self, at: int, mask: int) -> Heard:
        """Return for each hallmark that the next note may be what is heard then, and its table."""
        known = self.heard.get((at, mask))
        if known is None:
            later = self.tables[at + 1]
            masks = {bit: self._heard(at, mask, bit) for bit in (0, *self.places[at + 1].hallmarks)}
            known = {bit: (heard, later.get(heard)) for bit, heard in masks.items()}
            self.heard[at, mask] = known
        return known

    def _turns(self, at: int, pitch: int) -> tuple[tuple[float, ...], ...]:
        """Return the odds of each move after each, out of one note."""
        return _CHROMATIC_ODDS if self.places[at].kinds[pitch] == CHROMATIC else _TURN_ODDS

    def _heard(self, at: int, mask: int, bit: int) -> int:
        """Return the hallmarks heard after the next note; -1 where one is missing for good."""
        before, here = self.places[at], self.places[at + 1]
        if before.chord == here.chord:
            return mask | bit
        return bit if mask == before.wanted else -1

    def _before(self, at: int) -> dict[int, Table]:
        """Return the tables of one place from those of the next, scaled to stay in range."""
        found = {mask: self._table(at, mask) for mask in self.masks[at]}
        top = max((max(row, default=0) for table in found.values() for row in table), default=0)
        if not top:
            return {}
        return {mask: [[v / top for v in row] for row in table] for mask, table in found.items()}

    def _table(self, at: int, mask: int) -> Table:
        """Return the table of one place for the hallmarks heard so far."""
        tables = {bit: table for bit, (_, table) in self._after(at, mask).items()}
        columns = []
        for start, moves in enumerate(self.moves[at]):
            sums = [0.0] * len(MOVES)
            for pitch, odds, move, bit in moves:
                table = tables[bit]
                if table is not None:
                    sums[move] += odds * table[move][pitch]
            odds_of_turns = self._turns(at, start)
            columns.append([sum(map(mul, turns, sums)) for turns in odds_of_turns])
        return [list(row) for row in zip(*columns, strict=True)]


def _closing(last: Place) -> Table:
    """Return the table of the last place: a leap that no step answers is no end."""
    return [[0.0 if state in OWES else 1.0] * len(last.pitches) for state in range(START + 1)]


def _masks(places: Sequence[Place]) -> list[list[int]]:
    """Return for each place the sets of hallmarks that can have been heard there.

    No more than there were notes, and no fewer than leave room for the rest.
    """
    found = []
    for at, place in enumerate(places):
        since = sum(other.chord == place.chord for other in places[: at + 1])
        left = sum(other.chord == place.chord for other in places[at + 1 :])
        count = place.wanted.bit_count()
        sets = range(place.wanted + 1)
        found.append([m for m in sets if count - left <= m.bit_count() <= since])
    return found


def _drawn(choices: Sequence[T], odds: Sequence[float], rng: Random) -> T:
    """Draw one of some choices by their odds."""
    point = rng.random() * sum(odds)
    for choice, chance in zip(choices, odds, strict=True):
        point -= chance
        if point < 0:
            return choice
    return choices[odds.index(max(odds))]
