"""The chart of a tune as a grid: four bars a row, every cadence bracketed with its key and kind."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from fractions import Fraction

from theorykit.tunes.chart import Chart
from theorykit.tunes.treatment import Treatment
from theorykit.views.tune_marks import Stretch, TuneMark, tune_marks
from theorykit.views.tune_rows import GridBar, grid_bars

__all__ = ["Bracket", "TuneGridView", "tune_grid"]


@dataclass(frozen=True, slots=True)
class Bracket:
    """One piece of a bracket in one row: from where to where, counted in bars from the left.

    ``mark`` is the number of its mark; ``opens`` and ``closes`` tell whether the ii begins and the
    V ends here; ``lands`` draws an arrow towards the I; ``leads`` is the part between a V and an I
    that comes later.
    """

    mark: int
    row: int
    start: Fraction
    end: Fraction
    label: str = ""
    opens: bool = False
    closes: bool = False
    lands: bool = False
    leads: bool = False


@dataclass(frozen=True, slots=True)
class TuneGridView:
    """A chart as a grid; ``chosen`` is the number of the mark that is looked at, 0 for none."""

    title: str
    heads: str
    bars: tuple[GridBar, ...]
    marks: tuple[TuneMark, ...]
    brackets: tuple[Bracket, ...]
    chosen: int
    alt: str

    @property
    def rows(self) -> int:
        """How many rows the grid has."""
        return self.bars[-1].row + 1


def tune_grid(chart: Chart, treatment: Treatment | None = None, *, chosen: int = 0) -> TuneGridView:
    """Return the grid of a chart, with the chords of a treatment where one is given.

    ``chosen`` is the number of a mark, from 1, that is to stand out. The cadences are those of the
    chart as it is written.

    >>> view = tune_grid(Chart.of("Eb", "Fm7", "Bb7", "Ebmaj7", "%", title="Two Chairs"))
    >>> [(b.label, str(b.start), str(b.end), b.lands) for b in view.brackets]
    [('1  ii-V-I E♭, long', '0', '2', True)]
    """
    shown = chart if treatment is None else treatment.applied(chart)
    bars = grid_bars(shown, chart)
    marks = tune_marks(chart)
    brackets = tuple(piece for mark in marks for piece in _pieces(mark, bars))
    alt = _alt(shown, bars, marks)
    return TuneGridView(chart.title, _heads(chart), bars, marks, brackets, chosen, alt)


def _heads(chart: Chart) -> str:
    """Say key, metre, tempo and feel."""
    parts = [chart.key.pretty, str(chart.metre)]
    parts += [f"{chart.tempo} beats a minute"] if chart.tempo else []
    parts += [chart.feel] if chart.feel else []
    parts += [chart.by] if chart.by else []
    return " · ".join(parts)


def _pieces(mark: TuneMark, bars: tuple[GridBar, ...]) -> Iterator[Bracket]:
    """Return the bracket of a mark, a piece for each row, and the same for each other way.

    Where ways begin together, the words stand there once.
    """
    labelled: set[tuple[int, Fraction]] = set()
    found = (piece for way in mark.ways for piece in _pieces_of(mark, way, bars))
    for piece in dict.fromkeys(found):
        place = piece.row, piece.start
        yield replace(piece, label="") if place in labelled else piece
        labelled.add(place)


def _pieces_of(
    mark: TuneMark, way: tuple[Stretch, ...], bars: tuple[GridBar, ...]
) -> Iterator[Bracket]:
    """Return the pieces of a bracket on one way, what stands side by side joined."""
    joined: list[Bracket] = []
    for stretch in way:
        piece = _piece(mark, stretch, bars[stretch.bar])
        last = joined[-1] if joined else None
        if last and (last.row, last.end, last.leads) == (piece.row, piece.start, piece.leads):
            joined[-1] = replace(last, end=piece.end)
        else:
            joined.append(piece)
    yield from _ended(mark, joined)


def _piece(mark: TuneMark, stretch: Stretch, bar: GridBar) -> Bracket:
    """Return the part of a bracket in one bar."""
    left = Fraction(bar.column)
    return Bracket(
        mark.number, bar.row, left + stretch.start, left + stretch.end, leads=stretch.leads
    )


def _ended(mark: TuneMark, pieces: list[Bracket]) -> Iterator[Bracket]:
    """Put the label on the first piece, and say which piece opens, closes and lands."""
    solid = [piece for piece in pieces if not piece.leads]
    for place, piece in enumerate(pieces):
        yield replace(
            piece,
            label=f"{mark.number}  {mark.label}" if place == 0 else str(mark.number),
            opens=piece is solid[0],
            closes=piece is solid[-1],
            lands=mark.lands and place == len(pieces) - 1,
        )


def _alt(chart: Chart, bars: tuple[GridBar, ...], marks: tuple[TuneMark, ...]) -> str:
    """Say in words what the grid shows."""
    title = f"Chart of {chart.title}" if chart.title else "Chart"
    parts = [
        f"{title}: {_heads(chart)}; {len(bars)} bars written, {len(chart.played_bars)} played."
    ]
    index = 0
    for section in chart.sections:
        mine = bars[index : index + len(section.bars)]
        index += len(section.bars)
        name = f"{section.name}: " if section.name else ""
        parts.append(name + " | ".join(map(_said, mine)) + ".")
    parts += [f"{mark.number}, bars {mark.bars}: {mark.name}." for mark in marks]
    return " ".join(parts)


def _said(bar: GridBar) -> str:
    """Say what stands in one bar."""
    heads = "".join(f"{word}, " for word in bar.heads)
    opens = "repeat from here, " * bar.opens
    ending = f"ending {' and '.join(map(str, bar.ending))}, " if bar.ending else ""
    closes = f", played {bar.closes} times" if bar.closes else ""
    ends = "".join(f", {word}" for word in bar.ends)
    return heads + opens + ending + " ".join(word.text for word in bar.words) + closes + ends
