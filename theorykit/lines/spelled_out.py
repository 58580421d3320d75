"""Chords spelled out: the notes of each in eighths over its last two beats, found by search.

A chord of two beats gives its four notes. A longer one holds guide tones first, falling from its
7th to its 3rd, a half note each. Of all orders and octaves the cheapest is taken; the costs count
what a player would rather avoid.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import pairwise

from theorykit.errors import TheoryError
from theorykit.lines.line import Line, TimedNote
from theorykit.notes.chord import Chord
from theorykit.notes.degree import Degree
from theorykit.notes.note import Note
from theorykit.notes.pitch import Pitch
from theorykit.tunes.progression import PlacedChord, Progression

__all__ = ["spelled_out"]

EIGHTHS, EIGHTH, HALF = 4, Fraction(1, 2), Fraction(2)
LOWEST, HIGHEST, MIDDLE = 60, 82, 73  # MIDI: C4 to B flat 5, where every melody sound is at home
HELD = (7, 5, 3)  # what a long chord holds; of a chord without a 3rd the 4th
LOWEST_OPENING = 64  # MIDI: the 7th of an opening chord lies in the octave that begins at E4
WEAK = frozenset((Degree(1), Degree(7)))  # where a landing says little
WIDEST = 9  # half steps between two eighths

# What a line costs.
COSTS = {
    "leap": 2.0,  # for each half step beyond a major third, inside a chord
    "turn": 2.0,  # for each change of direction inside a chord
    "rise": 0.5,  # for each move upwards: a line over V falls by preference
    "join": 1.0,  # for each half step beyond a whole step, where the chord changes
    "repeated": 8.0,  # for a note that is struck again
    "landing": 4.0,  # for each half step of the step into the last chord beyond the first
    "weak landing": 3.0,
    "strayed": 0.05,  # for each half step of a note from the middle of the range
}

_Order = tuple[float, tuple[int, ...]]  # what it costs, and its MIDI numbers


@dataclass(frozen=True, slots=True)
class _Cell:
    """Notes of one length over one chord: every order and octave that they may have."""

    chord: Chord
    start: Fraction
    beats: Fraction
    orders: tuple[_Order, ...]
    is_landing: bool = False

    def way_in(self, before: int, first: int) -> float:
        """Weigh the way from the note before to the first note of an order."""
        far = abs(first - before)
        if far == 0:
            return COSTS["repeated"]
        steps = COSTS["landing"] * (far - 1) if self.is_landing else COSTS["join"] * max(0, far - 2)
        return steps + COSTS["rise"] * (first > before)

    def notes(self, midis: Iterable[int]) -> Iterator[TimedNote]:
        """Yield one order as notes, spelled as the chord spells them."""
        names = {note.semitone: note for note in self.chord.notes}
        for place, midi in enumerate(midis):
            pitch = Pitch.numbered(names[midi % 12], midi)
            yield TimedNote(pitch, self.start + place * self.beats, self.beats)


def spelled_out(progression: Progression, first: int = 0) -> Line:
    """Return a line that spells the chords from place ``first`` on, and lands on the last one.

    Chords before ``first`` hold their 3rd and their 7th, in the same octave whatever comes after.
    Every chord needs a 7th and a 3rd or 4th, and two beats of time.

    >>> from theorykit.tunes.substituted import with_substitute
    >>> spelled_out(with_substitute("C", "tritone substitute"), 1).text
    'half F5 C5 | F5 8th Db5 Cb5 Ab4 F4 | whole E4'
    """
    *chords, last = progression.chords
    cells = [cell for placed in chords[:first] for cell in _opening(placed)]
    cells += [cell for placed in _stretches(chords[first:]) for cell in _spelled(placed)]
    cells.append(_landing(last))
    found = zip(cells, _cheapest(cells), strict=True)
    return Line(progression, tuple(note for cell, midis in found for note in cell.notes(midis)))


def _opening(placed: PlacedChord) -> Iterator[_Cell]:
    """Yield the 3rd and the 7th of a chord that only leads to the others."""
    chord, half = placed.chord, placed.beats / 2
    seventh = Pitch.at_or_above(_member(chord, 7), LOWEST_OPENING).midi
    third = Pitch.at_or_above(_member(chord, 3), seventh).midi
    yield _Cell(chord, placed.start, half, ((0.0, (third,)),))
    yield _Cell(chord, placed.start + half, half, ((0.0, (seventh,)),))


def _stretches(chords: Iterable[PlacedChord]) -> list[PlacedChord]:
    """Take a chord that comes twice in a row as one."""
    found: list[PlacedChord] = []
    for placed in chords:
        if found and found[-1].chord == placed.chord:
            before = found.pop()
            placed = replace(before, beats=before.beats + placed.beats)
        found.append(placed)
    return found


def _spelled(placed: PlacedChord) -> Iterator[_Cell]:
    """Yield the guide tones of a chord while there is time, then its notes in eighths."""
    eighths = placed.end - EIGHTHS * EIGHTH
    count = int((eighths - placed.start) / HALF)
    for place, number in enumerate(HELD[len(HELD) - count :]):
        yield _one(placed.chord, number, placed.start + place * HALF, HALF)
    notes = placed.chord.notes[-EIGHTHS:]  # of five notes the root is left to the bass
    orders = _orders((), frozenset(note.semitone for note in notes))
    yield _Cell(placed.chord, eighths, EIGHTH, tuple(orders))


def _one(chord: Chord, number: int, start: Fraction, beats: Fraction) -> _Cell:
    """Return one held note in every octave."""
    wanted = frozenset((_member(chord, number).semitone,))
    return _Cell(chord, start, beats, tuple(_orders((), wanted)))


def _member(chord: Chord, number: int) -> Note:
    """Return a member of a chord by its number, the 4th where it has no 3rd."""
    for degree, note in zip(chord.degrees, chord.notes, strict=True):
        if degree.number == number or (number == 3 and degree.number == 4):
            return note
    raise TheoryError(f"no {number} in {chord} to hold (want a seventh chord)")


def _landing(placed: PlacedChord) -> _Cell:
    """Return the last note: any tone of the chord."""
    orders = [
        (cost + COSTS["weak landing"] * (degree in WEAK), midis)
        for degree, note in zip(placed.chord.degrees, placed.chord.notes, strict=True)
        for cost, midis in _orders((), frozenset((note.semitone,)))
    ]
    return _Cell(placed.chord, placed.start, placed.beats, tuple(orders), is_landing=True)


def _orders(begun: tuple[int, ...], left: frozenset[int]) -> Iterator[_Order]:
    """Yield every way to go on with the pitch classes that are left, each once."""
    if not left:
        yield _weighed(begun), begun
    for midi in range(LOWEST, HIGHEST + 1):
        if midi % 12 in left and (not begun or abs(midi - begun[-1]) <= WIDEST):
            yield from _orders((*begun, midi), left - {midi % 12})


def _weighed(midis: tuple[int, ...]) -> float:
    """Return what an order costs in itself."""
    moves = [after - before for before, after in pairwise(midis)]
    leaps = sum(max(0, abs(move) - 4) for move in moves)
    turns = sum((one > 0) != (other > 0) for one, other in pairwise(moves))
    rises = sum(move > 0 for move in moves)
    strayed = sum(abs(midi - MIDDLE) for midi in midis)
    counted = {"leap": leaps, "turn": turns, "rise": rises, "strayed": strayed}
    return sum(COSTS[name] * count for name, count in counted.items())


def _cheapest(cells: list[_Cell]) -> tuple[tuple[int, ...], ...]:
    """Return one order for each cell, the cheapest of all together."""
    ways: dict[int, tuple[float, tuple[tuple[int, ...], ...]]] = {}
    for cell in cells:
        reached: dict[int, tuple[float, tuple[tuple[int, ...], ...]]] = {}
        entries = {
            first: min(
                ((cost + cell.way_in(last, first), way) for last, (cost, way) in ways.items()),
                default=(0.0, ()),
            )
            for first in {midis[0] for _, midis in cell.orders}
        }
        for own, midis in cell.orders:
            cost, way = entries[midis[0]]
            found = (cost + own, (*way, midis))
            reached[midis[-1]] = min(reached.get(midis[-1], found), found)
        ways = reached
    return min(ways.values())[1]
