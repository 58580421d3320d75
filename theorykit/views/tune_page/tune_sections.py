"""Sections of a tune as its player counts them: from which bar to which bar."""

from __future__ import annotations

from theorykit.tunes.charts import Chart


def heard_sections(
    chart: Chart, *, choruses: int = 1, first: int = 1, last: int | None = None
) -> tuple[tuple[str, int, int], ...]:
    """Return the sections of what is heard with their names and bars; one alone is none.

    ``first`` and ``last`` are the bars that are heard, counted from 1 over all choruses. The bars
    that are returned count from 0 where the hearing begins.

    >>> tune = Chart.parse("A: | Dm7 | G7 |\\nB: | Cmaj7 | % |")
    >>> heard_sections(tune)
    (('A, bars 1 to 2', 0, 1), ('B, bars 3 to 4', 2, 3))
    >>> heard_sections(tune, first=2, last=3)
    (('A, bar 2', 0, 0), ('B, bar 3', 1, 1))
    """
    start = first - 1
    end = len(chart.played_bars) * choruses if last is None else last
    found, begins = [], 0
    for section in chart.unrolled.sections * choruses:
        ends = begins + len(section.bars) - 1
        low, high = max(begins, start), min(ends, end - 1)
        if low <= high:
            where = f"bars {low + 1} to {high + 1}" if high > low else f"bar {low + 1}"
            name = f"{section.name}, {where}" if section.name else where
            found.append((name, low - start, high - start))
        begins = ends + 1
    return tuple(found) if len(found) > 1 else ()
