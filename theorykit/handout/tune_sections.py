"""What a block with a tune puts on a page."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from theorykit.handout.desk import Desk
from theorykit.handout.pieces import Para, Piece, Section, StaffLabel, Table
from theorykit.handout.texts import capital
from theorykit.handout.tune_block import TuneBlock
from theorykit.handout.tune_music import chorus_of, guides_of
from theorykit.tunes.charts import Chart
from theorykit.tunes.treatments import Treatment
from theorykit.views.staves import StaffView, chorus_staff, phrase_staff
from theorykit.views.tune_page import GridBar, TuneGridView, tune_grid

__all__ = ["tune_section"]

CHORUS = "A chorus, with degrees over each V: the colour underlined, the landing slanted"
GUIDES = ("Guide tones, from the 3rd", "Guide tones, from the 7th")


def tune_section(block: TuneBlock, desk: Desk) -> Section:
    """Return a tune: the grid with its brackets, the plan, the lines."""
    tune, laid = block.music()
    chart = tune.written_for(desk.reader)
    treatment = moved_treatment(laid, chart)
    heading = block.heading or chart.title or "A tune"
    grid = tune_grid(chart, treatment)
    untitled = replace(grid, title="" if heading == chart.title else grid.title)
    pieces: list[Piece] = [desk.tune(untitled) if desk.has_room else _chart_table(grid)]
    plan = treatment.plan(chart)
    if plan:
        pieces.append(_plan(plan))
    scores = []
    for name, view in _staves(block, tune, desk):
        pieces += [StaffLabel(name), *desk.staff(view)]
        scores.append((f"{heading}: {name.partition(',')[0].lower()}", view))
    if not plan:
        pieces.append(Para("No dominant in this tune moves."))
    margin = (block.margin,) if block.margin.strip() else ()
    return Section(heading, tuple(pieces), margin, scores=tuple(scores))


def moved_treatment(treatment: Treatment, chart: Chart) -> Treatment:
    """Return a treatment for the same tune in another key.

    >>> chart = Chart.of("Eb", "Fm7", "Bb7", "Ebmaj7", "%")
    >>> print(moved_treatment(Treatment.proposed(chart), chart.transposed("C")), end="")
    bar 2 of | G7 |, cadence 1: split, colour b9 13
    """
    made = {(one.bar, one.beat): one for one in treatment.choices}
    choices = []
    for plain in Treatment.plain(chart).choices:
        one = made.get((plain.bar, plain.beat))
        choices.append(plain if one is None else plain.with_(one.split, one.colour, one.substitute))
    return replace(treatment, choices=tuple(choices))


def _chart_table(grid: TuneGridView) -> Table:
    """Return the chart as rows of two bars, for print that is too large for four.

    >>> chart = Chart.of("Eb", "Fm7", "Bb7", "Ebmaj7", "%")
    >>> _chart_table(tune_grid(chart)).rows
    (('', '1–2', 'Fm7', 'B♭7', '1 ii-V-I E♭, long'), ('', '3–4', 'E♭maj7', '%', ''))
    """
    pairs: dict[tuple[int, int], list[GridBar]] = {}
    for bar in grid.bars:
        pairs.setdefault((bar.row, bar.column // 2), []).append(bar)
    rows = []
    for (row, half), bars in pairs.items():
        numbers = "–".join(bar.numbers for bar in bars)
        texts = [*map(_bar_text, bars), ""][:2]
        found = [b.label for b in grid.brackets if b.row == row and int(b.start) // 2 == half]
        labels = ", ".join(" ".join(label.split()) for label in found if " " in label)
        rows.append((bars[0].section, numbers, *texts, labels))
    heads = ("", "bars", "", "", "what it is")
    return Table("the chart, two bars in a row", heads, tuple(rows), (0, 0, 1, 1, 1), marks=(2, 3))


def _bar_text(bar: GridBar) -> str:
    """Return what stands in a bar, with its repeats and endings, segno, coda, fine and jumps.

    >>> view = tune_grid(Chart.parse("|: segno C | F fine :| G D.S. al fine |"))
    >>> [_bar_text(bar) for bar in view.bars]
    ['(Segno) |: C', 'F :| (Fine)', 'G (D.S. al Fine)']
    """
    parts = [f"({word})" for word in bar.heads] + ["|:"] * bar.opens
    parts += [f"{'. '.join(map(str, bar.ending))}."] if bar.ending else []
    parts += [word.text for word in bar.words]
    parts += [":|"] * bool(bar.closes) + [f"({word})" for word in bar.ends]
    return " ".join(parts)


def _plan(sentences: tuple[str, ...]) -> Table:
    """Return the plan as rows: which bars, what they are, what to think of."""
    return Table(
        "the plan for the chorus",
        ("bars", "what they are", "what to do"),
        tuple(_plan_row(sentence) for sentence in sentences),
        (0, 0.6, 1),
        marks=(0,),
    )


def _plan_row(sentence: str) -> tuple[str, str, str]:
    """Take a sentence of the plan apart.

    >>> _plan_row("bars 1-3: the long ii-V to E♭; over B♭7 play ♭9: the D major triad.")
    ('1–3', 'The long ii-V to E♭', 'Over B♭7 play ♭9: the D major triad.')
    """
    where, _, rest = sentence.partition(": ")
    what, _, done = rest.partition("; ")
    bars = where.removeprefix("bars ").removeprefix("bar ").replace("-", "–")
    return bars, capital(what), capital(done)


def _staves(block: TuneBlock, tune: Chart, desk: Desk) -> Iterator[tuple[str, StaffView]]:
    """Yield the staves of the lines through a tune, with their names."""
    if block.lines == "chorus":
        yield CHORUS, chorus_staff(chorus_of(block), 1, reader=desk.reader)
    elif block.lines == "guide tones":
        time = (tune.metre.count, tune.metre.unit)
        for name, line in zip(GUIDES, guides_of(block), strict=True):
            yield name, replace(phrase_staff(line, reader=desk.reader), time=time)
