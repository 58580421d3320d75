"""Written notes: their values, triplets and beams, and how a stretch of time in a bar is split.

The rules are those of engraving handbooks for simple and compound metres, restated: a note may
stand across a boundary of the bar only where both its ends lie on the next finer boundaries, so
that the middle of a 4/4 bar can always be seen; a rest never stands across one (common practice).
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import lru_cache

from theorykit.errors import TheoryError
from theorykit.notes.chord import Chord
from theorykit.notes.note import Pitch
from theorykit.views.staves import PLAIN_BAR, BarMark

Span = tuple[Fraction, Fraction]

FINEST = Fraction(1, 16)  # of a beat, outside triplets
FINEST_THIRD = Fraction(1, 24)  # of a beat, inside them

# Length of the triplet and the grid of its notes, in beats, in the order in which they are tried:
# sixteenths, eighths, then quarters and halves, and only then the same with shorter notes inside.
_SHAPES = tuple(
    (Fraction(length), Fraction(grid))
    for length, grid in (
        ("1/2", "1/6"), ("1", "1/3"), ("1", "1/6"), ("2", "2/3"), ("1/2", "1/12"),
        ("1", "1/12"), ("4", "4/3"),
    )
)  # fmt: skip
_DEFAULT = Fraction(1)


def is_odd(place: Fraction) -> bool:
    """Tell whether a place in a bar can only be reached by a triplet.

    >>> is_odd(Fraction(2, 3)), is_odd(Fraction(3, 4))
    (True, False)
    """
    return place.denominator & (place.denominator - 1) != 0


def triplet_windows(events: Sequence[Span], beats: Fraction) -> list[Span]:
    """Return the stretches of a bar to be written as triplets, in order.

    ``events`` are notes and rests that fill the bar, which lasts ``beats``. A note that runs out
    of its triplet at one end is cut there and tied; notes that run over both ends ask for a longer
    triplet.

    >>> edges = [Fraction(place, 3) for place in (0, 2, 4, 6)]
    >>> triplet_windows(list(zip(edges, edges[1:])), Fraction(2))
    [(Fraction(0, 1), Fraction(2, 1))]
    """
    places = sorted({place for event in events for place in event})
    for place in places:
        _check(place)
    windows: list[Span] = []
    for place in filter(is_odd, places):
        if not windows or place >= windows[-1][1]:
            windows.append(_window(place, places, events, beats))
    return windows


def _check(place: Fraction) -> None:
    """Refuse a place that no note value reaches."""
    finest = FINEST_THIRD if is_odd(place) else FINEST
    if finest.denominator % place.denominator:
        raise TheoryError(
            f"no note value reaches beat {place} of a bar "
            "(want halves of the beat down to 1/16, or triplets down to 1/24)"
        )


def _window(
    place: Fraction, places: Sequence[Fraction], events: Sequence[Span], beats: Fraction
) -> Span:
    """Return the triplet around one place."""
    for length, grid in _SHAPES:
        start = place // length * length
        end = start + length
        fits = all((p - start) % grid == 0 for p in places if start < p < end)
        if fits and end <= beats and not _overrun(start, end, events):
            return start, end
    start = place // _DEFAULT * _DEFAULT
    return start, start + _DEFAULT


def _overrun(start: Fraction, end: Fraction, events: Sequence[Span]) -> bool:
    """Tell whether an event off the grid reaches into or out of the stretch."""
    return any(
        first < edge < last and (is_odd(first) or is_odd(last))
        for first, last in events
        for edge in (start, end)
    )


# === Values ===

NAMES = ("whole", "half", "quarter", "eighth", "16th", "32nd", "64th")
SHORTEST = Fraction(1, 16)  # of a beat: a 64th
WHOLE = Fraction(4)  # beats


@dataclass(frozen=True, slots=True)
class NoteValue:
    """A note value by name, with its dots."""

    name: str
    dots: int = 0

    @property
    def flags(self) -> int:
        """The number of flags or beams: one for an eighth, two for a 16th.

        >>> NoteValue("16th").flags, NoteValue("half").flags
        (2, 0)
        """
        return max(0, NAMES.index(self.name) - 2)


_SINGLE = {
    WHOLE / 2**place * (2 - Fraction(1, 2**dots)): NoteValue(name, dots)
    for place, name in enumerate(NAMES)
    for dots in (0, 1)
}


def value_of(beats: Fraction) -> NoteValue:
    """Return the plain or dotted value that lasts ``beats``.

    >>> value_of(Fraction(3, 2))
    NoteValue(name='quarter', dots=1)
    >>> value_of(Fraction(5, 4))
    Traceback (most recent call last):
    theorykit.errors.TheoryError: no single note value lasts 5/4 beats (want ties)
    """
    value = _SINGLE.get(beats)
    if value is None:
        raise TheoryError(f"no single note value lasts {beats} beats (want ties)")
    return value


@dataclass(frozen=True, slots=True)
class Grid:
    """The boundaries inside a bar, from the strongest to the weakest.

    ``levels`` holds for each strength the boundaries of that strength and all stronger ones, both
    ends of the bar among them; ``halved`` tells for each whether the next level cuts in two.
    """

    levels: tuple[frozenset[Fraction], ...]
    halved: tuple[bool, ...]

    def strongest(self, start: Fraction, end: Fraction) -> tuple[int, list[Fraction]]:
        """Return the strongest level with boundaries inside a stretch, and these boundaries."""
        for level, places in enumerate(self.levels):
            inside = sorted(place for place in places if start < place < end)
            if inside:
                return level, inside
        return len(self.levels), []


# How many beats of a bar stand together, where that is not told by halving.
_GROUPS = {3: (1, 1, 1), 5: (3, 2), 6: (3, 3), 7: (4, 3), 9: (3, 3, 3)}


@lru_cache(maxsize=64)
def bar_grid(beats: Fraction, compound: bool) -> Grid:
    """Return the grid of a bar that lasts ``beats``; a compound beat is a dotted quarter.

    >>> [sorted(map(str, level)) for level in bar_grid(Fraction(4), False).levels[1:3]]
    [['0', '2', '4'], ['0', '1', '2', '3', '4']]
    """
    unit = Fraction(3, 2) if compound else Fraction(1)
    levels, halved = [frozenset((Fraction(0), beats))], [True]
    for size, duple in _steps(beats / unit):
        places = frozenset(place * unit for place in size if place * unit < beats)
        levels.append(levels[-1] | places)
        halved.append(duple)
    if compound:
        halved[-1] = False
    return _refined(levels, halved, unit / (3 if compound else 2), beats)


def _steps(count: Fraction) -> list[tuple[list[int], bool]]:
    """Return the boundaries between groups of beats, then between beats."""
    whole = int(count)
    groups = _GROUPS.get(whole, (2,) * (whole // 2) if whole % 2 == 0 else (1,) * whole)
    ends = [sum(groups[:place]) for place in range(1, len(groups))]
    steps = [(ends, max(groups) < 3)] if 1 < len(groups) < whole else []
    return [*steps, (list(range(1, int(count) + 1)), True)]


def _refined(
    levels: list[frozenset[Fraction]], halved: list[bool], step: Fraction, beats: Fraction
) -> Grid:
    """Add the finer levels, each half as long as the one before."""
    while step >= SHORTEST:
        count = int(beats / step)
        levels.append(levels[-1] | {step * place for place in range(1, count + 1)})
        halved.append(True)
        step /= 2
    return Grid(tuple(levels), tuple(halved))


@lru_cache(maxsize=8)
def thirds_grid(third: Fraction) -> Grid:
    """Return the grid of three equal written values: the inside of a triplet."""
    ends = frozenset((Fraction(0), 3 * third))
    return _refined([ends], [False], third, 3 * third)


def split_note(start: Fraction, end: Fraction, grid: Grid) -> list[Span]:
    """Return the stretches that a note is written in, to be tied together.

    >>> common = bar_grid(Fraction(4), False)
    >>> [str(last - first) for first, last in split_note(Fraction(3, 2), Fraction(5, 2), common)]
    ['1/2', '1/2']
    """
    return list(_note_pieces(start, end, grid))


@lru_cache(maxsize=4096)  # the same few stretches fill most bars
def _note_pieces(start: Fraction, end: Fraction, grid: Grid) -> tuple[Span, ...]:
    """Return the stretches of a note."""
    level, inside = grid.strongest(start, end)
    if not inside or (end - start in _SINGLE and _may_cross(start, end, level, inside, grid)):
        return ((start, end),)
    cut = inside[-1] if start in grid.levels[level] else inside[0]
    return _note_pieces(start, cut, grid) + _note_pieces(cut, end, grid)


def _may_cross(
    start: Fraction, end: Fraction, level: int, inside: list[Fraction], grid: Grid
) -> bool:
    """Tell whether a note may hide the boundaries inside it."""
    finer = level + 1 if len(inside) == 1 and grid.halved[level] else level
    places = grid.levels[min(finer, len(grid.levels) - 1)]
    return start in places and end in places


def split_rest(start: Fraction, end: Fraction, grid: Grid) -> list[Span]:
    """Return the stretches that a rest is written in: none across a stronger boundary.

    >>> common = bar_grid(Fraction(4), False)
    >>> [str(last - first) for first, last in split_rest(Fraction(1), Fraction(4), common)]
    ['1', '2']
    """
    return list(_rest_pieces(start, end, grid))


@lru_cache(maxsize=4096)
def _rest_pieces(start: Fraction, end: Fraction, grid: Grid) -> tuple[Span, ...]:
    """Return the stretches of a rest."""
    level, inside = grid.strongest(start, end)
    if not inside:
        return ((start, end),)
    stronger = grid.levels[level - 1]
    if start in stronger and end in stronger and end - start in _SINGLE:
        return ((start, end),)
    cut = inside[-1] if start in grid.levels[level] else inside[0]
    return _rest_pieces(start, cut, grid) + _rest_pieces(cut, end, grid)


# === Written notes ===

TIES = ("", "start", "continue", "stop")
# Whether an accidental stands before the note: no, yes, or as a courtesy in brackets.
ACCIDENTALS = ("", "shown", "courtesy")
# What one beam does at a note; the hooks are short ends of beams.
BEAMS = ("start", "continue", "stop", "hook right", "hook left")


@dataclass(frozen=True, slots=True)
class Triplet:
    """A note's place in a triplet: the value of which three stand for two, and where it is."""

    normal: str
    opens: bool = False
    closes: bool = False
    bracket: bool = False


@dataclass(frozen=True, slots=True)
class Written:
    """One written note, or a rest where ``pitch`` is None.

    ``start`` is counted in beats from the beginning of its bar; ``beams`` says for the first,
    second and further beams what each does here, as one of ``BEAMS``.
    """

    pitch: Pitch | None
    start: Fraction
    beats: Fraction
    value: NoteValue
    triplet: Triplet | None = None
    tie: str = ""
    accidental: str = ""
    beams: tuple[str, ...] = ()
    labels: tuple[str, ...] = ()
    mark: str = ""
    fills_bar: bool = False

    @property
    def end(self) -> Fraction:
        """The beat of the bar on which the note ends."""
        return self.start + self.beats


@dataclass(frozen=True, slots=True)
class WrittenBar:
    """One written bar; ``number`` is 0 for a pickup.

    ``time`` is the time signature that measures the bar, ``chords`` the symbols with their beats
    from the beginning of the bar, ``mark`` what stands at its lines.
    """

    number: int
    beats: Fraction
    time: tuple[int, int]
    notes: tuple[Written, ...]
    chords: tuple[tuple[Fraction, Chord], ...] = ()
    mark: BarMark = PLAIN_BAR


# === Beams ===


def with_beams(notes: Sequence[Written], pulse: Fraction, pair: Fraction) -> list[Written]:
    """Return the notes of a bar with their beams.

    ``pulse`` is the length of a beat and ``pair`` that of the stretch in which plain eighths are
    joined: two beats in 4/4, so that the middle of the bar stays visible (common practice). Rests
    and longer notes end a beam.
    """
    joined: list[Written] = []
    for stretch in _runs(notes, pair):
        if any(note.value.flags > 1 or _is_short_triplet(note, pulse) for note in stretch):
            for run in _runs(stretch, pulse):
                joined += _beamed(run)
        else:
            joined += _beamed(stretch)
    return joined


def _is_short_triplet(note: Written, pulse: Fraction) -> bool:
    """Tell whether a note belongs to a triplet inside one beat."""
    return note.triplet is not None and note.triplet.normal not in ("quarter", "half")


def _runs(notes: Sequence[Written], length: Fraction) -> Iterator[list[Written]]:
    """Cut notes into stretches that can be joined, and those that stand alone."""
    run: list[Written] = []
    for note in notes:
        can_join = note.pitch is not None and note.value.flags > 0
        if run and not (can_join and _joins(run[-1], note, length)):
            yield run
            run = []
        run.append(note)
    if run:
        yield run


def _joins(before: Written, note: Written, length: Fraction) -> bool:
    """Tell whether a note stands in the same stretch as the beamed note before it."""
    same = before.start // length == note.start // length
    return same and before.pitch is not None and before.value.flags > 0


def _beamed(run: list[Written]) -> list[Written]:
    """Join the notes of one stretch."""
    if len(run) < 2:
        return run
    flags = [note.value.flags for note in run]
    return [
        replace(note, beams=tuple(_beam(flags, place, level + 1) for level in range(flags[place])))
        for place, note in enumerate(run)
    ]


def _beam(flags: list[int], place: int, level: int) -> str:
    """Return what the beam of one level does at one note."""
    left = place > 0 and flags[place - 1] >= level
    right = place + 1 < len(flags) and flags[place + 1] >= level
    if left:
        return "continue" if right else "stop"
    if right:
        return "start"
    return "hook right" if place == 0 else "hook left"
