"""Printing a chart: four bars a row, the bar lines of all rows one under the other."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from theorykit.tunes.bars import ChartBar, Section, bar_words
from theorykit.tunes.jumps import jump_mark
from theorykit.tunes.metre import Metre
from theorykit.tunes.passes import names_coda

if TYPE_CHECKING:
    from theorykit.tunes.chart import Chart

__all__ = ["print_chart"]

BARS_A_ROW = 4
_Row = list[tuple[ChartBar, str]]  # the bars of a row, each with its text


def print_chart(chart: Chart) -> str:
    """Return the typed form of a chart; ``Chart.parse`` reads it back."""
    blocks = []
    metre = chart.metre
    codas = [section for section in chart.sections if names_coda(section.name)]
    for section in chart.sections:
        rows = _rows(section, metre, said="coda" if codas and section is codas[0] else "")
        blocks.append((section.name, rows))
        metre = section.bars[-1].metre
    texts = _aligned([row for _, rows in blocks for row in rows])
    parts = [_heads(chart)]
    for name, rows in blocks:
        lines = [f"[{name}]"] if name else []
        parts.append("\n".join(lines + [next(texts) for _ in rows]))
    return "\n\n".join(parts) + "\n"


def _heads(chart: Chart) -> str:
    """Print the head lines that say something."""
    heads = {
        "title": chart.title,
        "by": chart.by,
        "key": str(chart.key),
        "metre": str(chart.metre),
        "tempo": "" if chart.tempo is None else str(chart.tempo),
        "feel": chart.feel,
    }
    return "\n".join(f"{name}: {value}" for name, value in heads.items() if value)


def _rows(section: Section, metre: Metre, *, said: str) -> list[_Row]:
    """Cut a section into rows; repeats open and endings begin a row, repeats close one.

    So does a coda. A bar where players come in from elsewhere is never a sign for the bar before.
    ``said`` is a mark of the first bar that the name of the section says already.
    """
    rows: list[_Row] = []
    held: ChartBar | None = None  # the bar before, if it stands in the same row
    for place, bar in enumerate(section.bars):
        full = not rows or len(rows[-1]) == BARS_A_ROW or bar.opens or bool(bar.ending)
        if full or "coda" in bar.marks or (held is not None and held.closes):
            rows.append([])
            held = None
        held = None if "segno" in bar.marks else held
        names = [name for name in bar.marks if place or name != said]
        rows[-1].append((bar, _cell(bar, metre, held, names)))
        held, metre = bar, bar.metre
    return rows


def _cell(bar: ChartBar, metre: Metre, held: ChartBar | None, names: list[str]) -> str:
    """Print what stands between two bar lines; ``names`` are the marks of the bar."""
    words = ["".join(f"{number}." for number in bar.ending)] if bar.ending else []
    if bar.metre != metre:
        words.append(str(bar.metre))
    words += [name for name in names if jump_mark(name).at_head]
    again = held is not None and bar.metre == metre and held.content == bar.content
    words += ["%"] if again else bar_words(bar.content, bar.metre)
    return " ".join(words + [name for name in names if not jump_mark(name).at_head])


def _aligned(rows: list[_Row]) -> Iterator[str]:
    """Print the rows with their bar lines one under the other."""
    widths = [0] * BARS_A_ROW
    for row in rows:
        for column, (_, text) in enumerate(row):
            widths[column] = max(widths[column], len(text))
    repeats = any(bar.opens for row in rows for bar, _ in row)
    for row in rows:
        cells = (text.ljust(width + repeats) for (_, text), width in zip(row, widths, strict=False))
        lead = "|: " if row[0][0].opens else "|  " if repeats else "| "
        closes = row[-1][0].closes
        times = f" x{closes}" if closes > 2 else ""
        yield lead + " | ".join(cells) + (":|" if closes else " |") + times
