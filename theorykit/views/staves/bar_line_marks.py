"""Marks at the lines of a bar: section letters, repeats, endings, jumps."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from theorykit.errors import TheoryError, shown
from theorykit.tunes.bars import ChartBar
from theorykit.tunes.charts import Chart

ENDING_ENDS = ("", "stop", "discontinue")  # the last is a bracket that stays open


@dataclass(frozen=True, slots=True)
class BarMark:
    """The marks of one bar.

    ``section`` is the letter or name of a section that begins; ``opens`` a repeat sign before the
    bar, ``closes`` how often the repeat that ends with it is played, 0 for none; ``ending`` the
    numbers over an ending that begins, ``ending_ends`` one of ``ENDING_ENDS``, for the ending whose
    numbers are in ``ending_under``. ``time`` is the time signature that measures the bar, where
    that of the staff does not or where its length alone would not tell. ``marks`` are the names of
    segno, coda, fine and jumps, as in ``ChartBar``.
    """

    section: str = ""
    opens: bool = False
    closes: int = 0
    ending: tuple[int, ...] = ()
    ending_under: tuple[int, ...] = ()
    ending_ends: str = ""
    time: tuple[int, int] | None = None
    marks: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        """Refuse an end that no bracket has."""
        if self.ending_ends not in ENDING_ENDS:
            raise TheoryError(
                f"not the end of an ending: {shown(self.ending_ends)} (want stop or discontinue)"
            )


PLAIN_BAR = BarMark()


def bar_marks(chart: Chart) -> tuple[BarMark, ...]:
    """Return the marks of the written bars of a chart.

    >>> marks = bar_marks(Chart.parse("A: |: C | F | 1. G :| 2. C |"))
    >>> [(m.section, m.opens, m.closes, m.ending, m.ending_ends) for m in marks][0]
    ('A', True, 0, (), '')
    >>> [(m.closes, m.ending, m.ending_ends) for m in marks][2:]
    [(2, (1,), 'stop'), (0, (2,), 'discontinue')]
    """
    names = {0: chart.sections[0].name}
    index = 0
    for section in chart.sections:
        names[index] = section.name
        index += len(section.bars)
    bars = chart.bars
    under = _endings(bars)
    return tuple(
        BarMark(
            names.get(place, ""),
            bar.opens,
            bar.closes,
            bar.ending,
            *_end(bars, under, place),
            (bar.metre.count, bar.metre.unit),
            bar.marks,
        )
        for place, bar in enumerate(bars)
    )


def _endings(bars: Sequence[ChartBar]) -> list[tuple[int, ...]]:
    """Return for each bar the numbers of the ending that it stands under.

    An ending goes up to the repeat sign that closes it; the last one, that none closes, is one bar.
    """
    under: list[tuple[int, ...]] = []
    held: tuple[int, ...] = ()
    for place, bar in enumerate(bars):
        held = bar.ending or held
        under.append(held)
        follows = bars[place + 1 :]
        closed = next((b for b in follows if b.closes or b.opens or b.ending), None)
        goes_on = closed is not None and bool(closed.closes) and not (closed.opens or closed.ending)
        if bar.closes or not goes_on:
            held = ()
    return under


def _end(
    bars: Sequence[ChartBar], under: Sequence[tuple[int, ...]], place: int
) -> tuple[tuple[int, ...], str]:
    """Return the ending that ends with a bar, and how."""
    mine = under[place]
    goes_on = place + 1 < len(bars) and under[place + 1] == mine and not bars[place + 1].ending
    if not mine or (goes_on and not bars[place].closes):
        return (), ""
    return mine, "stop" if bars[place].closes else "discontinue"
