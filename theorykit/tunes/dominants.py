"""The dominants of a chart as they stand on the page: what a treatment may change."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from fractions import Fraction

from theorykit.notes.chord import Chord
from theorykit.notes.key import Key
from theorykit.tunes.analysis import Analysis
from theorykit.tunes.bars import bar_words
from theorykit.tunes.chart import Chart
from theorykit.tunes.families import DOMINANT, stands_on
from theorykit.tunes.goals import goal_of, is_told
from theorykit.tunes.lengths import length_of
from theorykit.tunes.pairs import SUBDOMINANT
from theorykit.tunes.progression import cadence_chords

__all__ = ["Dominant", "dominants"]


@dataclass(frozen=True, slots=True)
class Dominant:
    """One dominant on the page, as it is when it is first played.

    ``v`` is its index in ``Chart.played``; ``bar`` the written bar from 1 and ``beat`` the place in
    it from 1; ``written`` the text of that bar and of further bars that it is held through.
    ``chord`` is its last symbol, ``target`` what it aims at, ``mode`` that of the target;
    ``substitute`` is empty, ``tritone`` or ``backdoor``. ``cadences`` are the indices in
    ``cadences(chart)`` of the cadences whose V it is: none inside a chain, two or more where a
    repeat plays it again. ``is_long`` tells that ii and V have a bar each.
    """

    v: int
    bar: int
    beat: Fraction
    written: tuple[str, ...]
    chord: Chord
    target: Chord
    key: Key
    mode: str
    substitute: str
    cadences: tuple[int, ...]
    is_long: bool


def dominants(chart: Chart) -> tuple[Dominant, ...]:
    """Return the dominants that move, in the order of the page.

    Those are the V of every cadence and every dominant in a chain; a dominant seventh at rest, as
    on the I of a blues, is none, nor is a slash chord that is only heard as a dominant.

    >>> chart = Chart.of("F", "F6", "D7", "G7", "Gm7 C7", "F6", "%")
    >>> [(d.bar, str(d.chord), d.mode, d.cadences) for d in dominants(chart)]
    [(2, 'D7', 'major', ()), (3, 'G7', 'major', ()), (4, 'C7', 'major', (0,))]
    """
    found = Analysis(chart)
    on_page: dict[tuple[int, Fraction], Dominant] = {}
    for one in _as_played(found):
        place = (one.bar, one.beat)
        first = on_page.get(place)
        if first is not None:
            one = replace(first, cadences=first.cadences + one.cadences)
        on_page[place] = one
    return tuple(on_page[place] for place in sorted(on_page))


def _as_played(found: Analysis) -> Iterator[Dominant]:
    """Return each dominant each time it is played."""
    number = 0
    for v in range(len(found.spans)):
        told = is_told(found, v)
        last = found.chart.played[_symbols(found, v)[-1]].chord  # G7 where Dm7/G leads to it
        if (told or v in found.chains) and last.kind.is_dominant:
            yield _dominant(found, v, (number,) if told else ())
        number += told


def _dominant(found: Analysis, v: int, told: tuple[int, ...]) -> Dominant:
    """Return one dominant."""
    span = found.spans[v]
    place = found.chart.played[span.first]
    symbols = _symbols(found, v)
    goal = goal_of(found, v)
    target = _target(found, v, goal.key, goal.landing)
    mode = "minor" if target.kind.has("b3") else "major"
    ii = found.moves.ii[v]
    return Dominant(
        v=span.first,
        bar=place.written + 1,
        beat=place.beat,
        written=_written(found, span.first, symbols[-1]),
        chord=found.chart.played[symbols[-1]].chord,
        target=target,
        key=goal.key,
        mode=mode,
        substitute=goal.way,
        cadences=told,
        is_long=ii >= 0 and length_of(found, ii, v) == "long" and place.beat == 1,
    )


def _symbols(found: Analysis, v: int) -> range:
    """Return the indices of the played chords that make one dominant."""
    first = found.spans[v].first
    after = found.spans[v + 1].first if v + 1 < len(found.spans) else len(found.chart.played)
    root = found.spans[v].root
    last = first
    while last + 1 < after and stands_on(found.chart.played[last + 1].chord, root):
        last += 1
    return range(first, last + 1)


def _written(found: Analysis, first: int, last: int) -> tuple[str, ...]:
    """Return the bars of a dominant as they are written, while they follow one another."""
    played, bars = found.chart.played, found.bars
    start, end = played[first].written, played[last].written
    end = end if start <= end <= start + played[last].bar - played[first].bar else start
    return tuple(" ".join(bar_words(bar.content, bar.metre)) for bar in bars[start : end + 1])


def _target(found: Analysis, v: int, key: Key, landing: int) -> Chord:
    """Return the chord that a dominant aims at: what stands there, or the I that does not come."""
    if landing >= 0:
        return found.spans[landing].chord
    tonic, later = key.tonic.semitone, found.links[v]
    then = found.spans[found.after(v)]
    if then.root == tonic and then.family in (*SUBDOMINANT, DOMINANT):
        return then.chord
    if later >= 0 and found.spans[later].root == tonic:
        return found.spans[later].chord
    return cadence_chords(key)[2]
