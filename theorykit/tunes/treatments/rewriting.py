"""Writing a treatment into the bars of a chart, and out of them again."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace
from fractions import Fraction

from theorykit.errors import TheoryError, shown
from theorykit.harmony.substitution import substitute
from theorykit.notes.chord import Chord
from theorykit.notes.degree import Degree
from theorykit.notes.key import Key
from theorykit.notes.kinds import ChordKind
from theorykit.notes.spelling import above, plain_root
from theorykit.tunes.bars import ChartBar, Metre, bar_words, shares
from theorykit.tunes.cadences import Dominant
from theorykit.tunes.charts import Chart, read_cell
from theorykit.tunes.families import stands_on
from theorykit.tunes.progression import Bar
from theorykit.tunes.treatments.choice import Choice, coloured

_II_OF = {"major": ChordKind.of("1 b3 5 b7"), "minor": ChordKind.of("1 b3 b5 b7")}
_Timed = list[tuple[Chord, Fraction]]


def related_pair(dominant: Dominant, key: Key) -> tuple[Chord, Chord]:
    """Return the ii a fourth below a dominant, for its target, and the dominant beside it.

    They are Dm7 or Dm7b5 for G7. Where the ii would stand on an awkward root that the key of the
    page does not hold, both are written by their other name: Fm7b5 Bb7 for A#7 in B major.
    """
    v = dominant.chord
    is_minor = dominant.mode == "minor" and not dominant.substitute
    wish = above(v.root, Degree(5))
    ii = Chord(plain_root(wish), _II_OF["minor" if is_minor else "major"])
    ii = replace(ii, root=ii.readable_root(wish, key.chord_notes))
    if ii.root == wish:
        return ii, v
    return ii, v.transposed(v.root, plain_root(above(ii.root, Degree(4))))


def rewritten(chart: Chart, choices: Iterable[tuple[Choice, Dominant]]) -> Chart:
    """Return the chart with every choice written into its bars."""
    bars = list(chart.bars)
    for choice, dominant in sorted(choices, key=lambda pair: (-pair[0].bar, -pair[0].beat)):
        if not choice.is_plain:
            _write(bars, choice, dominant, chart.key)
    return chart.with_bars(bars)


def _write(bars: list[ChartBar], choice: Choice, dominant: Dominant, key: Key) -> None:
    """Write one choice into the bars that it touches; later beats first, so places stay."""
    first = choice.bar - 1
    last = first + len(choice.written) - 1
    for index in range(first, last + 1):
        begin = choice.beat if index == first else Fraction(1)
        bars[index] = _changed(bars[index], begin, choice, dominant, key, index == last)


def _changed(
    bar: ChartBar, begin: Fraction, choice: Choice, dominant: Dominant, key: Key, is_last: bool
) -> ChartBar:
    """Return one bar with a choice written into it."""
    pieces: _Timed = list(zip(bar.chords, bar.content.lengths, strict=True))
    starts = _starts(pieces)
    mine = [place for place, start in enumerate(starts) if start >= begin]
    mine = _held(pieces, mine, dominant.chord)
    if choice.split:
        held = pieces[mine[-1]][0]
        first, second = shares(bar.metre, 2)
        ii, v = related_pair(dominant, key)
        held = held.transposed(dominant.chord.root, v.root) if v != dominant.chord else held
        new: _Timed = [(ii, first)]
        voiced = _voiced(held, second, bar.metre, choice, dominant, True)
        return _refilled(bar, new + voiced)
    for place in reversed(mine):
        chord, beats = pieces[place]
        is_end = is_last and place == mine[-1]
        pieces[place : place + 1] = _voiced(chord, beats, bar.metre, choice, dominant, is_end)
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
    dominant: Dominant,
    is_end: bool,
) -> _Timed:
    """Return what stands in the place of one symbol of the dominant."""
    if not chord.kind.is_dominant:
        return [(chord, beats)]
    chords: tuple[Chord, ...] = (chord,)
    if choice.substitute and is_end:
        chords = substitute(choice.substitute, chord, dominant.target).chords
    resolves = is_end or chords[-1].kind.has("3")  # C7sus4 C7 becomes C7sus4 C7b9
    if choice.colour and resolves and chords[-1].kind.is_dominant:
        chords = (*chords[:-1], coloured(chords[-1], choice.colour))
    return list(zip(chords, _parts(beats, len(chords), metre, choice), strict=True))


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
