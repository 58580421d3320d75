"""How the bars of a chart stand on a page: four a row, each section on a row of its own."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from theorykit.tunes.bars import ChartBar, bar_words
from theorykit.tunes.chart import Chart
from theorykit.tunes.jumps import jump_mark
from theorykit.tunes.metre import Metre
from theorykit.tunes.passes import names_coda

__all__ = ["BARS_A_ROW", "GridBar", "GridWord", "grid_bars"]

BARS_A_ROW = 4
MOST_NUMBERS = 3  # of one bar that is played again and again
AGAIN = "%"  # a bar like the one before


@dataclass(frozen=True, slots=True)
class GridWord:
    """A chord, a slash or the sign of a repeated bar: where it stands, as a share of the bar.

    ``changed`` is true for a chord that a treatment has put there.
    """

    text: str
    at: Fraction
    changed: bool = False


@dataclass(frozen=True, slots=True)
class GridBar:
    """A written bar on the page: row and column from 0, what stands in it and at its lines.

    ``numbers`` are those of the bar as played; ``section`` and ``metre`` are empty where nothing
    new begins; ``opens``, ``closes`` and ``ending`` as in ``ChartBar``; ``heads`` and ``ends`` are
    the words for segno, coda, fine and the jumps at its head and its end.
    """

    row: int
    column: int
    words: tuple[GridWord, ...]
    numbers: str
    section: str = ""
    metre: str = ""
    opens: bool = False
    closes: int = 0
    ending: tuple[int, ...] = ()
    heads: tuple[str, ...] = ()
    ends: tuple[str, ...] = ()


def grid_bars(chart: Chart, written: Chart | None = None) -> tuple[GridBar, ...]:
    """Return the bars of a chart on the page; ``written`` is the chart before a treatment.

    >>> bars = grid_bars(Chart.parse("|: C | F | 1. G :| 2. C |"))
    >>> [(bar.row, bar.column, bar.words[0].text, bar.numbers) for bar in bars]
    [(0, 0, 'C', '1, 4'), (0, 1, 'F', '2, 5'), (0, 2, 'G', '3'), (1, 2, 'C', '6')]
    """
    played: dict[int, list[int]] = {}
    for number, index in enumerate(chart.played_bars, 1):
        played.setdefault(index, []).append(number)
    before = chart.bars if written is None else written.bars
    places = list(_places(chart))
    found: list[GridBar] = []
    metre: Metre | None = None
    for index, (bar, (row, column, section)) in enumerate(zip(chart.bars, places, strict=True)):
        enters = "segno" in bar.marks or "coda" in bar.marks
        beside = column > 0 and not section and not enters and places[index - 1][0] == row
        held = chart.bars[index - 1] if index and beside else None
        found.append(
            GridBar(
                row,
                column,
                tuple(_words(bar, held, before[index])),
                _numbers(played.get(index, [])),
                section,
                str(bar.metre) if bar.metre != metre else "",
                bar.opens,
                bar.closes,
                bar.ending,
                *_marks(bar, section),
            )
        )
        metre = bar.metre
    return tuple(found)


def _places(chart: Chart) -> Iterator[tuple[int, int, str]]:
    """Return row, column and new section of each bar.

    A section, a coda or an opening repeat begins a row, and so does what follows a closing one; a
    second ending stands under the first.
    """
    row, column, under = -1, BARS_A_ROW, 0
    for section in chart.sections:
        closed = True
        for place, bar in enumerate(section.bars):
            again = bool(bar.ending) and closed and place > 0
            begins = bar.opens or "coda" in bar.marks
            if place == 0 or begins or closed or column == BARS_A_ROW:
                row, column = row + 1, under if again else 0
            if bar.ending and not again:
                under = column
            yield row, column, section.name if place == 0 else ""
            column, closed = column + 1, bool(bar.closes)


def _marks(bar: ChartBar, section: str) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Return the words for the marks at the head and at the end of a bar.

    The name of a section may say already that the coda begins.
    """
    marks = [jump_mark(name) for name in bar.marks]
    heads = (m.page for m in marks if m.at_head and not (m.name == "coda" and names_coda(section)))
    return tuple(heads), tuple(mark.page for mark in marks if not mark.at_head)


def _words(bar: ChartBar, held: ChartBar | None, before: ChartBar) -> Iterator[GridWord]:
    """Return what is printed in a bar; ``held`` is the bar beside it."""
    if held is not None and (held.content, held.metre) == (bar.content, bar.metre):
        yield GridWord(AGAIN, Fraction(0))
        return
    words = bar_words(bar.content, bar.metre)
    chords = iter(bar.chords)
    shares = _shares(bar, len(words) > len(bar.chords))
    for word, at in zip(words, shares, strict=True):
        if word == "/":
            yield GridWord(word, at)
        else:
            chord = next(chords)
            yield GridWord(chord.pretty, at, chord not in before.chords)


def _shares(bar: ChartBar, slashed: bool) -> list[Fraction]:
    """Return where each word of a bar stands."""
    if slashed:
        count = len(bar_words(bar.content, bar.metre))
        return [Fraction(place, count) for place in range(count)]
    shares = [Fraction(0)]
    for length in bar.content.lengths:
        shares.append(shares[-1] + length / bar.metre.beats)
    return shares[:-1]


def _numbers(numbers: list[int]) -> str:
    """Write the numbers of a bar as played."""
    more = ", ..." if len(numbers) > MOST_NUMBERS else ""
    return ", ".join(map(str, numbers[:MOST_NUMBERS])) + more
