"""Cadences of a chart: every ii-V-I, ii-V and V-I, and the dominants on its page."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from fractions import Fraction

from theorykit.errors import TheoryError, expect, shown
from theorykit.notes.chord import Chord
from theorykit.notes.degree import Degree
from theorykit.notes.key import Key
from theorykit.notes.values import Value
from theorykit.tunes.bars import bar_words
from theorykit.tunes.cadences.analysis import Analysis
from theorykit.tunes.cadences.goals import Goal, goal_of, is_told, length_of, spelled_key, why
from theorykit.tunes.charts import Chart
from theorykit.tunes.families import FULL, seventh_for, stands_on
from theorykit.tunes.home_key import key_of_state
from theorykit.tunes.progression import cadence_chords

KINDS = ("ii-V-I", "ii-V", "V-I")
_FALLS = (5, 11)  # half steps up from a V to the chord that it falls to
# The degrees of a tune's keys, by half steps above its tonic (common practice).
_DEGREES = tuple(map(Degree.parse, "1 b2 2 b3 3 4 #4 5 b6 6 b7 7".split()))


@dataclass(frozen=True, slots=True, repr=False)
class Cadence(Value):
    """One cadence of a chart.

    ``ii``, ``v`` and ``i`` are indices into ``Chart.played``, None where there is no such chord; a
    chord that is held or repeated counts by its first index. ``kind`` is one of ``KINDS``: a V-I
    whose ``i`` is None is a V that deceives. ``length`` is ``long`` (a bar each), ``short`` (half a
    bar each), ``split``, ``2 bars each`` and the like, or ``mixed``. ``mode`` is ``major``,
    ``minor`` or ``blues`` (the I is a dominant seventh). ``key`` is the key pointed to, and
    ``degree_of_key`` its degree in the tune. ``substitute`` is empty, ``tritone`` or ``backdoor``.

    ``target`` is the chord that the V leads to, as ``functions`` tells it: near, or after the ii of
    that chord. ``deceptive`` tells that what follows stands for the I, and is then the target.
    ``chain`` holds the indices of linked dominants, this one among them, each leading to the next.
    ``bars`` are the first and the last bar as played, from 1; the last is the smaller number where
    the form leads back to its top. ``why`` says in a sentence why it was taken for a cadence.

    >>> found = cadences(Chart.of("Db", "Ebm7", "Ab7", "Dbmaj7", "Cm7b5 F7", "Bbm6"))
    >>> [(one.kind, str(one.key), one.length, one.bars) for one in found]
    [('ii-V-I', 'Db major', 'long', (1, 3)), ('ii-V-I', 'Bb minor', 'short', (4, 5))]
    >>> print(found[1])
    short ii-V-I to Bb minor, bars 4 to 5
    """

    kind: str
    ii: int | None
    v: int
    i: int | None
    length: str
    mode: str
    key: Key
    degree_of_key: Degree
    substitute: str
    target: Chord | None
    deceptive: bool
    chain: tuple[int, ...]
    bars: tuple[int, int]
    why: str

    def __post_init__(self) -> None:
        """Refuse what is no cadence."""
        expect(self.key, Key, "a key", "a Key, or use cadences")
        if not isinstance(self.bars, tuple) or len(self.bars) != len(("first", "last")):
            raise TheoryError(f"not two bars: {shown(self.bars)} (want two, or use cadences)")

    @property
    def is_long(self) -> bool:
        """True for a bar of ii and a bar of V: the V bar can be heard as a short ii-V.

        >>> [one.is_long for one in cadences("| Ebm7 | Ab7 | Dbmaj7 | Cm7b5 F7 | Bbm6 |")]
        [True, False]
        """
        return self.length == "long" and self.ii is not None

    def __str__(self) -> str:
        first, last = self.bars
        way = f", {self.substitute}" if self.substitute else ""
        return f"{self.length} {self.kind} to {self.key}{way}, bars {first} to {last}"


@dataclass(frozen=True, slots=True)
class KeyRegion:
    """A stretch of a chart in one key: the first and last index among the played chords.

    ``degree`` is the degree of its tonic in the tune, ``bars`` the first and last bar from 1.
    """

    key: Key
    degree: Degree
    first: int
    last: int
    bars: tuple[int, int]


def cadences(chart: Chart | str) -> tuple[Cadence, ...]:
    """Return the cadences of a chart, or of a typed one, in the order of their V.

    >>> chart = Chart.of("C", "Em7b5", "A7", "Dm7", "G7", "Cmaj7", "Fm7 Bb7", "C6", "%")
    >>> for c in cadences(chart):
    ...     print(c.kind, c.key, c.length, c.substitute, (c.ii, c.v, c.i))
    ii-V D minor long  (0, 1, None)
    ii-V-I C major long  (2, 3, 4)
    ii-V-I C major short backdoor (5, 6, 7)
    """
    found = Analysis(chart if isinstance(chart, Chart) else Chart.parse(chart))
    told = ((v, goal_of(found, v)) for v in range(len(found.spans)) if is_told(found, v))
    return tuple(_cadence(found, v, goal) for v, goal in told)


def _cadence(found: Analysis, v: int, goal: Goal) -> Cadence:
    """Tell one cadence."""
    ii = found.moves.ii[v]
    i = goal.landing
    spans = found.spans
    chain = found.chains.get(v, ())
    last = i if i >= 0 else v
    return Cadence(
        kind=("ii-V-I" if i >= 0 else "ii-V") if ii >= 0 else "V-I",
        ii=found.first(ii),
        v=spans[v].first,
        i=found.first(i),
        length=length_of(found, ii, v),
        mode=goal.mode,
        key=goal.key,
        degree_of_key=_degree(found, goal.key),
        substitute=goal.way,
        target=spans[goal.target].chord if goal.target >= 0 else None,
        deceptive=goal.deceptive,
        chain=tuple(spans[place].first for place in chain),
        bars=(_bar(found, ii if ii >= 0 else v), _bar(found, last)),
        why=why(found, ii, v, goal),
    )


def _bar(found: Analysis, place: int) -> int:
    """Return the bar in which a span begins, from 1."""
    return found.chart.played[found.spans[place].first].bar + 1


def _degree(found: Analysis, key: Key) -> Degree:
    """Return the degree of a key in the tune."""
    return _DEGREES[(key.tonic.semitone - found.home) % 12]


def key_regions(chart: Chart) -> tuple[KeyRegion, ...]:
    """Return the keys of a chart as regions from the first chord to the last.

    They are found as the best path through all cadences and chords at once; a key that is only
    touched stays inside the region around it.

    >>> chart = Chart.of("C", "Dm7 G7", "C6", "Fm7", "Bb7", "Ebmaj7", "Eb6", "Dm7 G7", "C6")
    >>> [(str(r.key), str(r.degree), r.bars) for r in key_regions(chart)]
    [('C major', '1', (1, 2)), ('Eb major', 'b3', (3, 6)), ('C major', '1', (7, 8))]
    """
    found = Analysis(chart)
    return tuple(_regions(found))


def _regions(found: Analysis) -> Iterator[KeyRegion]:
    """Cut the path of keys where it changes."""
    played = found.chart.played
    if not found.path:  # nothing but N.C.
        bars = (1, played[-1].bar + 1)
        yield KeyRegion(found.chart.key, _DEGREES[0], 0, len(played) - 1, bars)
        return
    starts = [n for n, state in enumerate(found.path) if n == 0 or found.path[n - 1] != state]
    for start, end in zip(starts, [*starts[1:], len(found.path)], strict=True):
        first = found.spans[start].first if start else 0
        last = (found.spans[end].first if end < len(found.spans) else len(played)) - 1
        key = _region_key(found, start, end)
        bars = (played[first].bar + 1, played[last].bar + 1)
        yield KeyRegion(key, _degree(found, key), first, last, bars)


def _region_key(found: Analysis, start: int, end: int) -> Key:
    """Return the key of a region, spelled like the tune or like its own tonic chords."""
    state = found.path[start]
    if state == found.home:
        return found.chart.key
    plain = key_of_state(state)
    notes = [s.note for s in found.spans[start:end] if s.root == plain.tonic.semitone]
    return spelled_key(notes[0], plain.mode) if notes else plain


# === Dominants on the page ===


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
    target = _target(found, v, goal)
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


def _target(found: Analysis, v: int, goal: Goal) -> Chord:
    """Return the chord that a dominant aims at: what it falls to, or the I that does not come.

    A suspended V that is written over its bass, such as Dm7/G, is told as the dominant it is.
    """
    falls = goal.target >= 0 and found.up(v, goal.target) in _FALLS and not goal.deceptive
    if goal.landing < 0 and not falls:
        return cadence_chords(goal.key)[2]
    target = found.spans[goal.target]
    return (seventh_for(target.chord) if target.family in FULL else None) or target.chord
