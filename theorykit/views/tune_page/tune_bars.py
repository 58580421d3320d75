"""The grid of a tune: four bars a row, every cadence bracketed with its key and kind."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from fractions import Fraction

from theorykit.tunes.bars import ChartBar, Metre, bar_words, jump_mark, names_coda
from theorykit.tunes.cadences import functions
from theorykit.tunes.charts import Chart
from theorykit.tunes.treatments import Treatment
from theorykit.views.tune_page.job_labels import job_words
from theorykit.views.tune_page.tune_marks import Stretch, TuneMark, tune_marks

BARS_A_ROW = 4
MOST_NUMBERS = 3  # of one bar that is played again and again
AGAIN = "%"  # a bar like the one before


@dataclass(frozen=True, slots=True)
class GridWord:
    """A chord, a slash or the sign of a repeated bar: where it stands, as a share of the bar.

    ``changed`` is true for a chord that a treatment has put there; ``job`` is what it does in few
    words, where that is asked for: more than one where a repeat brings it back for another.
    """

    text: str
    at: Fraction
    changed: bool = False
    job: str = ""


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


def grid_bars(
    chart: Chart, written: Chart | None = None, *, columns: int = BARS_A_ROW
) -> tuple[GridBar, ...]:
    """Return the bars of a chart on the page; ``written`` is the chart before a treatment.

    >>> bars = grid_bars(Chart.parse("|: C | F | 1. G :| 2. C |"))
    >>> [(bar.row, bar.column, bar.words[0].text, bar.numbers) for bar in bars]
    [(0, 0, 'C', '1, 4'), (0, 1, 'F', '2, 5'), (0, 2, 'G', '3'), (1, 2, 'C', '6')]
    """
    played: dict[int, list[int]] = {}
    for number, index in enumerate(chart.played_bars, 1):
        played.setdefault(index, []).append(number)
    before = chart.bars if written is None else written.bars
    places = list(_places(chart, columns))
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


def _places(chart: Chart, columns: int) -> Iterator[tuple[int, int, str]]:
    """Return row, column and new section of each bar.

    A section, a coda or an opening repeat begins a row, and so does what follows a closing one; a
    second ending stands under the first.
    """
    row, column, under = -1, columns, 0
    for section in chart.sections:
        closed = True
        for place, bar in enumerate(section.bars):
            again = bool(bar.ending) and closed and place > 0
            begins = bar.opens or "coda" in bar.marks
            if place == 0 or begins or closed or column == columns:
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


# === The grid ===


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
    """A chart as a grid; ``chosen`` is the number of the mark that is looked at, 0 for none.

    ``columns`` is how many bars a row has room for.
    """

    title: str
    heads: str
    bars: tuple[GridBar, ...]
    marks: tuple[TuneMark, ...]
    brackets: tuple[Bracket, ...]
    chosen: int
    alt: str
    columns: int = BARS_A_ROW

    @property
    def rows(self) -> int:
        """How many rows the grid has."""
        return self.bars[-1].row + 1


def tune_grid(
    chart: Chart,
    treatment: Treatment | None = None,
    *,
    chosen: int = 0,
    jobs: bool = False,
    brackets: bool = True,
    columns: int = BARS_A_ROW,
) -> TuneGridView:
    """Return the grid of a chart, with the chords of a treatment where one is given.

    ``chosen`` is the number of a mark, from 1, that is to stand out; with ``jobs`` every chord says
    what it does, without ``brackets`` no cadence is shown. The cadences are those of the chart as
    it is written. ``columns`` is how many bars stand in a row.

    >>> view = tune_grid(Chart.of("Eb", "Fm7", "Bb7", "Ebmaj7", "%", title="Wet Gloves"))
    >>> [(b.label, str(b.start), str(b.end), b.lands) for b in view.brackets]
    [('1  ii-V-I E♭, long', '0', '2', True)]
    """
    shown = chart if treatment is None else treatment.applied(chart)
    bars = grid_bars(shown, chart, columns=columns)
    bars = _with_jobs(bars, shown) if jobs else bars
    marks = tune_marks(chart) if brackets else ()
    pieces = tuple(piece for mark in marks for piece in _pieces(mark, bars))
    alt = _alt(shown, bars, marks)
    return TuneGridView(chart.title, _heads(chart), bars, marks, pieces, chosen, alt, columns)


def _with_jobs(bars: tuple[GridBar, ...], chart: Chart) -> tuple[GridBar, ...]:
    """Return the bars, each chord with its job, or its jobs one after the other."""
    found: dict[tuple[int, Fraction], dict[str, None]] = {}
    for placed, one in zip(chart.played, functions(chart), strict=True):
        beats = chart.bars[placed.written].metre.beats
        at = placed.written, (placed.beat - 1) / beats
        found.setdefault(at, {})[job_words(one)] = None
    return tuple(
        replace(
            bar, words=tuple(_with_job(word, found.get((number, word.at))) for word in bar.words)
        )
        for number, bar in enumerate(bars)
    )


def _with_job(word: GridWord, jobs: Iterable[str] | None) -> GridWord:
    """Return a chord with its jobs; what is no chord has none."""
    none = jobs is None or word.text in (AGAIN, "/")
    return word if none else replace(word, job=", then ".join(jobs or ()))


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
    words = " ".join(w.text + (f" ({w.job})" if w.job else "") for w in bar.words)
    return heads + opens + ending + words + closes + ends
