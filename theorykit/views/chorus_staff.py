"""The staff of a chorus: its sections, the numbers of its bars, the colour under the notes of V."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

from theorykit.errors import TheoryError, shown
from theorykit.harmony.colours import colour
from theorykit.harmony.tensions import degrees_over
from theorykit.lines.chorus import Chorus
from theorykit.lines.excerpts import excerpt
from theorykit.notes.instruments import READERS, Reader
from theorykit.views.bar_marks import BarMark
from theorykit.views.staff import StaffView, staff_of_line

__all__ = ["chorus_staff"]


def chorus_staff(
    chorus: Chorus, number: int = 0, *, reader: Reader = READERS[0], labels: bool = True
) -> StaffView:
    """Return the staff of one chorus, counted from 1, or of all of them for 0.

    Bars are numbered from 1 in each chorus as in the plan, and through where all are shown. With
    ``labels`` the notes over V have their degree under them, those of the colour marked, and so
    have the notes on which the phrases land.

    >>> from theorykit.lines.chorus import write_chorus
    >>> from theorykit.tunes.chart import Chart
    >>> chart = Chart.parse("A: | Dm7 | G7 | C6 | % |")
    >>> view = chorus_staff(write_chorus(chart, choruses=2), 2)
    >>> view.first, len(view.bars), view.marks[0].section
    (1, 4, 'A')
    """
    if not isinstance(number, int) or not 0 <= number <= chorus.choruses:
        raise TheoryError(f"no such chorus: {shown(number)} (want 1 to {chorus.choruses}, or 0)")
    first, last = 1, chorus.bars
    if number:
        first = 1 + (number - 1) * chorus.bars_each
        last = chorus.bars if number == chorus.choruses else number * chorus.bars_each
    line = excerpt(chorus.line, first, last)
    begin = chorus.line.progression.bar_starts[first - 1]
    said = _labels(chorus) if labels else {}
    found = [said.get(note.start + begin, ("", "")) for note in line.notes]
    view = staff_of_line(
        line,
        labels=tuple((text,) if text else () for text, _ in found),
        marks=tuple(mark for _, mark in found),
        reader=reader,
    )
    marks = tuple(_mark(chorus, bar) for bar in range(first - 1, last))
    return replace(view, marks=marks, time=marks[0].time or view.time)


def _labels(chorus: Chorus) -> dict[Fraction, tuple[str, str]]:
    """Return the degree and the mark of the notes over V and of the landings, by their start."""
    found: dict[Fraction, tuple[str, str]] = {}
    landings = {phrase.window.landing for phrase in chorus.phrases}
    for phrase in chorus.phrases:
        row = colour(phrase.window.colour) if phrase.window.colour else None
        tensions = {degree.semitone for degree in row.tensions} if row else set()
        for note in phrase.notes:
            placed = chorus.line.progression.chord_at(note.start)
            if placed.chord.is_silent:
                continue
            degree = degrees_over(placed.chord, [note.pitch.note])[0]
            if note.start in landings:
                found[note.start] = degree.pretty, "landing"
            elif note.start < phrase.window.landing and placed.chord.kind.is_dominant:
                found[note.start] = degree.pretty, "colour" * (degree.semitone in tensions)
    return found


def _mark(chorus: Chorus, bar: int) -> BarMark:
    """Return what stands at the lines of a bar, counted from 0 over all choruses."""
    chart = chorus.chart
    each = chorus.bars_each
    if bar >= each * chorus.choruses:
        metre = chart.metre
        return BarMark(time=(metre.count, metre.unit))
    order = chart.played_bars
    written = order[bar % each]
    metre = chart.bars[written].metre
    return BarMark(_section(chorus, bar % each), time=(metre.count, metre.unit))


def _section(chorus: Chorus, bar: int) -> str:
    """Return the name of a section that begins with a bar as played, else nothing."""
    index = 0
    for section in chorus.chart.unrolled.sections:
        if index == bar:
            return section.name
        index += len(section.bars)
    return ""
