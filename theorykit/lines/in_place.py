"""Substitutes in their place: the plain bars, then the substitute over the old bass and its own.

A chord of two beats gives its four notes. A longer one holds guide tones first, falling from its
7th to its 3rd, a half note each. Of all orders and octaves the cheapest is taken; the costs count
what a player would rather avoid.

One thing changes at a time. The plain bars and the first try share their bass; the two tries share
their line and their piano.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import lru_cache
from itertools import pairwise
from math import inf
from typing import Any

from theorykit.errors import TheoryError
from theorykit.harmony.substitution import substitute
from theorykit.lines.band import performance
from theorykit.lines.parts import Performance
from theorykit.lines.text import Line, TimedNote
from theorykit.notes.chord import Chord
from theorykit.notes.degree import Degree
from theorykit.notes.key import Key
from theorykit.notes.kinds import ChordKind
from theorykit.notes.note import Note, Pitch
from theorykit.tunes.progression import Bar, PlacedChord, Progression, cadence_chords, two_five_one

__all__ = ["InPlace", "Version", "in_place", "spelled_out", "with_substitute"]

EIGHTHS, EIGHTH, HALF = 4, Fraction(1, 2), Fraction(2)
LOWEST, HIGHEST, MIDDLE = 60, 82, 73  # MIDI: C4 to B flat 5, where every melody sound is at home
HELD = (7, 5, 3)  # what a long chord holds; of a chord without a 3rd the 4th
LOWEST_OPENING = 64  # MIDI: the 7th of an opening chord lies in the octave that begins at E4
WEAK = frozenset((Degree(1), Degree(7)))  # where a landing says little
WIDEST = 9  # half steps between two eighths
NATURAL_SEVENTH = 11  # half steps above the root
# The related ii of the tritone substitute and the same without its root, above the root of V.
RELATED = {(1, ChordKind.of("1 b3 5 b7")), (4, ChordKind.of("1 3 5 7"))}

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
    leans: int | None = None  # the pitch class that leaves it by a half step

    def way_in(self, before: int, first: int, leaning: int | None) -> float:
        """Weigh the way from the note before to the first note of an order.

        ``leaning`` is the pitch class that leaves the cell before by a half step, or None.
        """
        far = abs(first - before)
        if before % 12 == leaning and far != 1:
            return inf
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


def spelled_out(progression: Progression, first: int = 0, instead_of: Chord | None = None) -> Line:
    """Return a line that spells the chords from place ``first`` on, and lands on the last one.

    Chords before ``first`` hold their 3rd and their 7th, in the same octave whatever comes after.
    Every chord needs a 7th and a 3rd or 4th, and two beats of time. ``instead_of`` is the V in
    whose place they stand: its natural 7 moves by a half step out of the related ii of its tritone
    substitute, whole or without its root.

    >>> from theorykit.lines.in_place import with_substitute
    >>> spelled_out(with_substitute("C", "tritone substitute"), 1).text
    'half F5 C5 | F5 8th Db5 Cb5 Ab4 F4 | whole E4'
    """
    *chords, last = progression.chords
    cells = [cell for placed in chords[:first] for cell in _opening(placed)]
    for placed in _stretches(chords[first:]):
        cells += _spelled(placed, _leaning(placed.chord, instead_of))
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


def _leaning(chord: Chord, dominant: Chord | None) -> int | None:
    """Return the natural 7 of a V as a pitch class, where a chord is the related ii with it.

    >>> g7 = Chord.parse("G7")
    >>> [_leaning(Chord.parse(symbol), g7) for symbol in ("Abm7", "Bmaj7", "Db7")]
    [6, 6, None]
    """
    if dominant is None:
        return None
    place = (chord.root.semitone - dominant.root.semitone) % 12
    is_related = (place, chord.kind) in RELATED
    return (dominant.root.semitone + NATURAL_SEVENTH) % 12 if is_related else None


def _spelled(placed: PlacedChord, leans: int | None) -> Iterator[_Cell]:
    """Yield the guide tones of a chord while there is time, then its notes in eighths."""
    eighths = placed.end - EIGHTHS * EIGHTH
    count = int((eighths - placed.start) / HALF)
    for place, number in enumerate(HELD[len(HELD) - count :]):
        yield _one(placed.chord, number, placed.start + place * HALF, HALF)
    notes = placed.chord.notes[-EIGHTHS:]  # of five notes the root is left to the bass
    orders = _orders((), frozenset(note.semitone for note in notes))
    kept = tuple(order for order in orders if _passes(order[1], leans))
    yield _Cell(placed.chord, eighths, EIGHTH, kept, leans=leans)


def _passes(midis: tuple[int, ...], leans: int | None) -> bool:
    """Tell whether a pitch class moves on by a half step inside an order, or comes last."""
    return all(abs(b - a) == 1 for a, b in pairwise(midis) if a % 12 == leans)


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
    leaning: int | None = None
    for cell in cells:
        reached: dict[int, tuple[float, tuple[tuple[int, ...], ...]]] = {}
        entries = {
            first: min(
                (
                    (cost + cell.way_in(last, first, leaning), way)
                    for last, (cost, way) in ways.items()
                ),
                default=(0.0, ()),
            )
            for first in {midis[0] for _, midis in cell.orders}
        }
        for own, midis in cell.orders:
            cost, way = entries[midis[0]]
            found = (cost + own, (*way, midis))
            reached[midis[-1]] = min(reached.get(midis[-1], found), found)
        ways, leaning = reached, cell.leans
    return min(ways.values())[1]


# === A substitute in a ii-V-I ===

MOST_IN_A_BAR = 2


def with_substitute(key: Key | str, name: str) -> Progression:
    """Return the long ii-V-I of a key, a substitute in the place of its V.

    One chord or two take the bar of V; four take the bars of ii and V, two to a bar. ``name`` is a
    name of the table of substitutes.

    >>> str(with_substitute("C", "tritone substitute"))
    'Dm7 | Db7 | Cmaj7'
    >>> str(with_substitute("C minor", "backdoor dominant"))
    'Dm7b5 | Fm7 Bb7 | Cm6'
    >>> str(with_substitute("C", "side step"))
    'Ebm7 Ab7 | Dm7 G7 | Cmaj7'
    """
    home = key if isinstance(key, Key) else Key.parse(key)
    ii, v, i = cadence_chords(home)
    chords = substitute(name, v, i).chords
    if len(chords) <= MOST_IN_A_BAR:
        bars = [(ii,), chords]
    else:
        bars = [chords[at : at + MOST_IN_A_BAR] for at in range(0, len(chords), MOST_IN_A_BAR)]
    return Progression(home, tuple(Bar.even(*bar) for bar in (*bars, (i,))))


# === Versions to hear ===

FIGURE = "half notes"  # of the piano: every chord is held, also where two share a bar


@dataclass(frozen=True, slots=True)
class Version:
    """One way to hear it: a name, the chords as they are written, the line, the bass's chords.

    ``chords`` names a foreign bass behind a stroke; the line is spelled over the same chords
    without it.
    """

    name: str
    chords: Progression
    line: Line
    bass: Progression

    def performance(self, **wishes: Any) -> Performance:
        """Return it ready to be played; the wishes are those of ``accompaniment.performance``.

        The piano holds each chord and adds no note to it, so that what is heard is what is
        explained. The bass goes in two.

        >>> played = in_place("C", "tritone substitute").over_bass.performance(tempo=120)
        >>> [part.name for part in played.parts], str(played.beats)
        (['line', 'piano', 'bass', 'drums'], '16')
        """
        wanted = {"feel": "two", "figure": FIGURE, **wishes}
        over = self.line.progression
        above = performance(self.line, over, colours=_own(over), **wanted)
        below = performance(None, self.bass, colours=_own(self.bass), **wanted)
        bass = next(part for part in below.parts if part.name == "bass")
        parts = tuple(bass if part.name == "bass" else part for part in above.parts)
        return replace(above, parts=parts)


def _own(progression: Progression) -> dict[int, tuple[Degree, ...]]:
    """Return for each chord its own degrees as what is played over it."""
    return {place: placed.chord.degrees for place, placed in enumerate(progression.chords)}


@dataclass(frozen=True, slots=True)
class InPlace:
    """The three versions of a substitute, all of one length.

    ``first`` and ``end`` are the places of the substitute's chords among the chords of its
    versions, ``end`` excluded.
    """

    original: Version
    over_bass: Version
    own_bass: Version
    first: int
    end: int

    @property
    def versions(self) -> tuple[Version, Version, Version]:
        """The three in the order in which they are compared."""
        return self.original, self.over_bass, self.own_bass


def in_place(key: Key | str, name: str) -> InPlace:
    """Return what is heard of a substitute in a key; ``name`` is one of the table of substitutes.

    One chord or two stand in the V bar of a long ii-V-I; four stand in two bars of V.

    >>> for version in in_place("C", "tritone substitute").versions:
    ...     print(f"{version.name}: {version.chords}")
    original: Dm7 | G7 | Cmaj7
    substitute over the original bass: Dm7 | Db7/G | Cmaj7
    substitute over its own bass: Dm7 | Db7 | Cmaj7
    >>> [str(one.chords) for one in in_place("C", "side step").versions][:2]
    ['G7 | G7 | Cmaj7', 'Ebm7/G Ab7/G | Dm7/G G7 | Cmaj7']
    """
    return _in_place(key if isinstance(key, Key) else Key.parse(key), name)


@lru_cache(maxsize=64)
def _in_place(home: Key, name: str) -> InPlace:
    """Return the versions, worked out once while a reader listens."""
    own = with_substitute(home, name)
    end = len(own.chords) - 1
    first = 1 if end - 1 <= MOST_IN_A_BAR else 0
    plain = two_five_one(home) if first else _long_dominant(home)
    v = cadence_chords(home)[1]
    line = spelled_out(own, first, v)
    over = _with_bass(own, first, v)
    return InPlace(
        Version("original", plain, spelled_out(plain, first), plain),
        Version("substitute over the original bass", over, line, plain),
        Version("substitute over its own bass", own, line, own),
        first,
        end,
    )


def _long_dominant(home: Key) -> Progression:
    """Return two bars of V, then I."""
    _, v, i = cadence_chords(home)
    return Progression(home, (Bar.even(v), Bar.even(v), Bar.even(i)))


def _with_bass(own: Progression, first: int, dominant: Chord) -> Progression:
    """Return the chords that stand in for V with its root in the bass."""
    bars, place = [], 0
    for bar in own.bars[:-1]:
        places = range(place, place + len(bar.chords))
        chords = (
            replace(chord, bass=dominant.root) if at >= first else chord
            for at, chord in zip(places, bar.chords, strict=True)
        )
        bars.append(replace(bar, chords=tuple(chords)))
        place += len(bar.chords)
    return Progression(own.key, (*bars, own.bars[-1]))
