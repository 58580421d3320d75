"""Writing a treatment into the bars of a chart, and out of them again."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from fractions import Fraction

from theorykit.errors import TheoryError, shown
from theorykit.harmony.agreement import agrees
from theorykit.harmony.substitution import substitute
from theorykit.notes.chord import Chord
from theorykit.notes.key import Key
from theorykit.tunes.bars import ChartBar, Metre, bar_words, shares
from theorykit.tunes.charts import Chart, read_cell
from theorykit.tunes.families import stands_on
from theorykit.tunes.progression import Bar
from theorykit.tunes.treatments.choice import Choice, coloured
from theorykit.tunes.treatments.written import Written, related_pair

_Timed = list[tuple[Chord, Fraction]]


def stand_ins(choice: Choice, v: Chord, written: Written) -> tuple[Chord, ...]:
    """Return the chords of the substitute that is chosen, the ii as it is written among them."""
    chords = substitute(choice.substitute, v, written.dominant.target).chords
    return written.with_own_ii(chords)


def rewritten(chart: Chart, choices: Iterable[tuple[Choice, Written]]) -> Chart:
    """Return the chart with every choice written into its bars."""
    bars = list(chart.bars)
    for choice, written in sorted(choices, key=lambda pair: (-pair[0].bar, -pair[0].beat)):
        if not choice.is_plain:
            _write(bars, choice, written, chart.key)
    return chart.with_bars(bars)


def _write(bars: list[ChartBar], choice: Choice, written: Written, key: Key) -> None:
    """Write one choice into the bars that it touches; later beats first, so places stay."""
    first = choice.bar - 1
    last = first + len(choice.written) - 1
    for index in range(first, last + 1):
        begin = choice.beat if index == first else Fraction(1)
        bars[index] = _changed(bars[index], begin, choice, written, key, index == last)


def _changed(
    bar: ChartBar, begin: Fraction, choice: Choice, written: Written, key: Key, is_last: bool
) -> ChartBar:
    """Return one bar with a choice written into it."""
    pieces: _Timed = list(zip(bar.chords, bar.content.lengths, strict=True))
    dominant = written.dominant
    starts = _starts(pieces)
    mine = [place for place, start in enumerate(starts) if start >= begin]
    mine = _held(pieces, mine, dominant.chord)
    if choice.split:
        held = pieces[mine[-1]][0]
        first, second = shares(bar.metre, 2)
        ii, v = related_pair(written, key)
        held = held.transposed(dominant.chord.root, v.root) if v != dominant.chord else held
        new: _Timed = [(ii, first)]
        voiced = _voiced(held, second, bar.metre, choice, written, True)
        return _refilled(bar, new + voiced)
    for place in reversed(mine):
        chord, beats = pieces[place]
        is_end = is_last and place == mine[-1]
        pieces[place : place + 1] = _voiced(chord, beats, bar.metre, choice, written, is_end)
    return _refilled(bar, pieces)


def _starts(pieces: _Timed) -> list[Fraction]:
    """Return the beat on which each chord of a bar begins, from 1."""
    starts = [Fraction(1)]
    for _, beats in pieces:
        starts.append(starts[-1] + beats)
    return starts[:-1]


def _held(pieces: _Timed, places: Sequence[int], chord: Chord) -> list[int]:
    """Return the places that still belong to the dominant: the chords on its root."""
    held = []
    for place in places:
        if not stands_on(pieces[place][0], chord.root.semitone):
            break
        held.append(place)
    return held


def _voiced(
    chord: Chord,
    beats: Fraction,
    metre: Metre,
    choice: Choice,
    written: Written,
    is_end: bool,
) -> _Timed:
    """Return what stands in the place of one symbol of the dominant."""
    if not chord.kind.is_dominant:
        return [(chord, beats)]
    chords: tuple[Chord, ...] = (chord,)
    if choice.substitute and is_end:
        chords = stand_ins(choice, chord, written)
    if choice.colour and _is_meant(chords[-1], choice, written):
        chords = (*chords[:-1], coloured(chords[-1], choice.colour))
    return list(zip(chords, _parts(beats, len(chords), metre, choice), strict=True))


def _is_meant(chord: Chord, choice: Choice, written: Written) -> bool:
    """Tell whether a colour is for a symbol: C7sus4 C7 becomes C7sus4 C7b9, the suspension stays.

    It is chosen for the last symbol of the dominant, or for its substitute, and is laid over other
    symbols where it agrees with them.
    """
    if not chord.kind.is_dominant:
        return False
    own = bool(choice.substitute) or chord.kind == written.dominant.chord.kind
    return own or agrees(choice.colour, chord)


def _parts(beats: Fraction, count: int, metre: Metre, choice: Choice) -> tuple[Fraction, ...]:
    """Share beats among chords: whole beats where that can be, the earlier chords longer."""
    for grid in metre.grids:
        unit = Fraction(metre.beats, grid)
        if beats >= count * unit and not beats % unit:
            each, more = divmod(int(beats / unit), count)
            return tuple((each + (place < more)) * unit for place in range(count))
    raise TheoryError(
        f"bar {choice.bar}: no room for {count} chords in {beats} beats "
        f"(want a longer dominant for {shown(choice.substitute)})"
    )


def _refilled(bar: ChartBar, pieces: _Timed) -> ChartBar:
    """Return a bar with other chords."""
    chords, lengths = zip(*pieces, strict=True)
    return replace(bar, content=Bar(chords, lengths))


def restored(chart: Chart, choices: Iterable[Choice]) -> Chart:
    """Return the chart with the bars of all choices as they were written before."""
    bars = list(chart.bars)
    for choice in choices:
        for index, text in enumerate(choice.written, choice.bar - 1):
            if index >= len(bars):
                raise TheoryError(f"no bar {index + 1} (the chart has {len(bars)} bars)")
            bars[index] = _written_again(bars[index], text)
    return chart.with_bars(bars)


def _written_again(bar: ChartBar, text: str) -> ChartBar:
    """Return a bar with the chords of a text."""
    content, faults = read_cell([(word, 1) for word in text.split()], bar.metre, None)
    if content is None:
        raise TheoryError(f"not a bar: {shown(text)} ({faults[0][1]})")
    return replace(bar, content=content)


def text_of(bar: ChartBar) -> str:
    """Return the text of a bar as choices keep it."""
    return " ".join(bar_words(bar.content, bar.metre))
