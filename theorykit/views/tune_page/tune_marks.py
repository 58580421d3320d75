"""Cadences marked on the page of a tune: one mark for each dominant that moves."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from fractions import Fraction

from theorykit.tunes.cadences import Cadence, Dominant, cadences, dominants
from theorykit.tunes.charts import Chart, PlayedChord

# Which way a V goes where it is not the plain one; the first word also names the style of the line.
WAYS = {"": "", "tritone": "by tritone", "backdoor": "back door"}
NAMED_LENGTHS = ("long", "short", "split")

_Place = tuple[int, Fraction]  # written bar from 0, and beat from 1


@dataclass(frozen=True, slots=True)
class Stretch:
    """A stretch of one written bar, counted from 0: its start and end as shares of the bar.

    ``leads`` is true for what only leads from the V to an I that comes later.
    """

    bar: int
    start: Fraction
    end: Fraction
    leads: bool = False


@dataclass(frozen=True, slots=True)
class TuneMark:
    """A cadence, or a dominant in a chain, where it stands on the page.

    ``number`` counts from 1 in the order of the page; ``cadences`` are indices in
    ``cadences(chart)``, more than one where a repeat plays it again, none inside a chain.
    ``dominant`` is what a treatment may change, None where the V is no plain dominant. ``label`` is
    short, ``name`` says it in words; ``bars`` are bars as played, from 1; ``ways`` are where the ii
    and the V stand, one for each way on which a repeat reaches them; ``lands`` tells whether an I
    follows; ``place`` is the written bar of the V, from 0, and its beat, from 1.
    """

    number: int
    label: str
    name: str
    bars: str
    why: str
    cadences: tuple[int, ...]
    dominant: Dominant | None
    is_long: bool
    substitute: str
    lands: bool
    ways: tuple[tuple[Stretch, ...], ...]
    place: tuple[int, Fraction]


def tune_marks(chart: Chart) -> tuple[TuneMark, ...]:
    """Return the marks of a chart in the order of the page.

    >>> for mark in tune_marks(Chart.of("C", "Em7b5", "A7", "Dm7", "G7", "Cmaj7", "E7", "A7")):
    ...     print(mark.number, mark.bars, mark.label)
    1 1-2 ii-V D minor, long
    2 3-5 ii-V-I C, long
    3 6 E7 to A7
    4 7 A7 to Dm7
    """
    told: dict[_Place, list[int]] = {}
    every = cadences(chart)
    for number, cadence in enumerate(every):
        told.setdefault(_place(chart.played[cadence.v]), []).append(number)
    found = {(one.bar - 1, one.beat): one for one in dominants(chart)}
    marks = {
        place: _mark(chart, {number: every[number] for number in numbers}, found.get(place))
        for place, numbers in told.items()
    }
    marks |= {
        place: _inside_chain(chart, dominant)
        for place, dominant in found.items()
        if place not in told
    }
    places = sorted(marks)
    return tuple(replace(marks[place], number=number) for number, place in enumerate(places, 1))


def _place(placed: PlayedChord) -> _Place:
    """Return where a played chord is written."""
    return placed.written, placed.beat


def _mark(chart: Chart, told: dict[int, Cadence], dominant: Dominant | None) -> TuneMark:
    """Return the mark of a cadence, met once or on every pass of a repeat."""
    first = next(iter(told.values()))
    ways = (tuple(_stretches(chart, cadence)) for cadence in told.values())
    return TuneMark(
        0,
        _label(first),
        _name(first),
        ", ".join(map(_bars, told.values())),
        first.why,
        tuple(told),
        dominant,
        first.is_long,
        first.substitute,
        any(cadence.i is not None for cadence in told.values()),
        tuple(dict.fromkeys(ways)),
        _place(chart.played[first.v]),
    )


def _inside_chain(chart: Chart, dominant: Dominant) -> TuneMark:
    """Return the mark of a dominant that only leads to the next one."""
    words = f"{dominant.chord.pretty} to {dominant.target.pretty}"
    end = _end_of(chart, dominant.v)
    return TuneMark(
        0,
        words,
        f"{words}, in a chain",
        str(chart.played[dominant.v].bar + 1),
        f"{dominant.chord.pretty} leads to {dominant.target.pretty}, a dominant in its turn.",
        (),
        dominant,
        False,
        dominant.substitute,
        False,
        (tuple(_on_page(chart, range(dominant.v, end))),),
        _place(chart.played[dominant.v]),
    )


def _label(cadence: Cadence) -> str:
    """Say a cadence in few words: kind, key, length, way."""
    mode = {"minor": " minor", "blues": "7"}.get(cadence.mode, "")
    parts = [f"{cadence.kind} {cadence.key.tonic.pretty}{mode}"]
    parts += [cadence.length] if cadence.length in NAMED_LENGTHS else []
    parts += [WAYS[cadence.substitute]] if cadence.substitute else []
    parts += ["deceptive"] if cadence.deceptive else []
    parts += ["to the top"] if cadence.i is not None and cadence.i < cadence.v else []
    return ", ".join(parts)


def _name(cadence: Cadence) -> str:
    """Say a cadence as one speaks of it."""
    length = f"{cadence.length} " if cadence.length in NAMED_LENGTHS else ""
    mode = {"minor": " minor", "blues": " as in a blues"}.get(cadence.mode, "")
    name = f"{length}{cadence.kind} to {cadence.key.tonic.pretty}{mode}"
    way = {"": "", "tritone": ", by the tritone substitute", "backdoor": ", by the back door"}
    instead = cadence.target.pretty if cadence.deceptive and cadence.target else ""
    return name + way[cadence.substitute] + (f", which goes to {instead} instead" * bool(instead))


def _bars(cadence: Cadence) -> str:
    """Say the bars of a cadence as played."""
    first, last = cadence.bars
    return str(first) if first == last else f"{first}-{last}"


def _stretches(chart: Chart, cadence: Cadence) -> Iterator[Stretch]:
    """Return where ii and V are written, and what lies between V and an I that comes later."""
    first = cadence.v if cadence.ii is None else cadence.ii
    end = _end_of(chart, cadence.v)
    if first > cadence.v:  # the ii stands at the end of the form, the V at its top
        yield from _on_page(chart, range(first, len(chart.played)))
        first = 0
    yield from _on_page(chart, range(first, end))
    if cadence.i is not None and cadence.i > end:
        yield from _on_page(chart, range(end, cadence.i), leads=True)


def _end_of(chart: Chart, v: int) -> int:
    """Return the index after the last chord on the root of a V."""
    played = chart.played
    root = played[v].chord.root
    end = v + 1
    while end < len(played) and played[end].chord.root == root:
        end += 1
    return end


def _on_page(chart: Chart, places: Iterable[int], *, leads: bool = False) -> Iterator[Stretch]:
    """Return played chords as stretches of written bars, those of one bar joined."""
    held: Stretch | None = None
    for place in places:
        one = chart.played[place]
        beats = chart.bars[one.written].metre.beats
        start, end = (one.beat - 1) / beats, (one.beat - 1 + one.beats) / beats
        if held is not None and held.bar == one.written and held.end == start:
            held = Stretch(held.bar, held.start, end, leads)
            continue
        if held is not None:
            yield held
        held = Stretch(one.written, start, end, leads)
    if held is not None:
        yield held
