"""The staff of a chorus: its sections, the numbers of its bars, the colour under the notes of V."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from itertools import accumulate

from theorykit.errors import TheoryError, shown
from theorykit.harmony.colours import Colour, colour
from theorykit.harmony.tensions import degrees_over
from theorykit.lines.chorus import Chorus
from theorykit.lines.excerpts import excerpt
from theorykit.lines.line import Line
from theorykit.lines.timed import TimedNote
from theorykit.notes.instruments import READERS, Reader
from theorykit.tunes.metre import Metre
from theorykit.tunes.progression import Progression
from theorykit.views.bar_marks import BarMark
from theorykit.views.falling import falling_flats
from theorykit.views.staff import StaffView, staff_of_line

__all__ = ["cadence_staff", "chorus_staff"]


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
    marks = _marks(chorus, first, last)
    return falling_flats(replace(view, marks=marks, time=marks[0].time or view.time))


def cadence_staff(line: Line, row: Colour | str = "", *, reader: Reader = READERS[0]) -> StaffView:
    """Return the staff of a line over one cadence: every degree, the colour of V, the landing.

    >>> from theorykit.tunes.progression import two_five_one
    >>> line = Line.parse("8th D5 C5 A4 F4 Ab4 F4 E4 D4 | whole C4", two_five_one("C", "short"))
    >>> [note.mark for note in cadence_staff(line, "b9 13").notes][4:]
    ['colour', '', 'colour', '', 'landing']
    """
    tensions = _tensions(row)
    landing = line.progression.chords[-1].start
    found = [_said(line.progression, note, tensions, landing) for note in line.notes]
    labels = tuple((text,) if text else () for text, _ in found)
    return staff_of_line(line, labels=labels, marks=tuple(mark for _, mark in found), reader=reader)


def _tensions(row: Colour | str) -> frozenset[int]:
    """Return the tensions of a colour as half steps; none for the empty text."""
    return frozenset(degree.semitone for degree in colour(row).tensions) if row else frozenset()


def _labels(chorus: Chorus) -> dict[Fraction, tuple[str, str]]:
    """Return the degree and the mark of the notes over V and of the landings, by their start."""
    over = chorus.line.progression
    landings = {phrase.window.landing for phrase in chorus.phrases}
    found: dict[Fraction, tuple[str, str]] = {}
    for phrase in chorus.phrases:
        end, tensions = phrase.window.landing, _tensions(phrase.window.colour)
        for note in phrase.notes:
            on_v = note.start < end and over.chord_at(note.start).chord.kind.is_dominant
            if on_v or note.start in landings:
                landing = note.start if note.start in landings else end
                found[note.start] = _said(over, note, tensions, landing)
    return found


def _said(
    over: Progression, note: TimedNote, tensions: frozenset[int], landing: Fraction
) -> tuple[str, str]:
    """Return the degree of a note over its chord, and its mark: colour over V, or landing."""
    chord = over.chord_at(note.start).chord
    if chord.is_silent:
        return "", ""
    degree = degrees_over(chord, [note.pitch.note])[0]
    if note.start == landing:
        return degree.pretty, "landing"
    coloured = chord.kind.is_dominant and note.start < landing and degree.semitone in tensions
    return degree.pretty, "colour" * coloured


def _marks(chorus: Chorus, first: int, last: int) -> tuple[BarMark, ...]:
    """Return what stands at the lines of some bars, counted from 1 over all choruses."""
    chart, each = chorus.chart, chorus.bars_each
    sections, written = chart.unrolled.sections, chart.bars
    starts = accumulate((len(section.bars) for section in sections), initial=0)
    names = {start: section.name for start, section in zip(starts, sections, strict=False)}
    metres = [written[index].metre for index in chart.played_bars]
    whole = each * chorus.choruses
    return tuple(
        _mark(metres[bar % each], names.get(bar % each, "")) if bar < whole else _mark(chart.metre)
        for bar in range(first - 1, last)
    )


def _mark(metre: Metre, section: str = "") -> BarMark:
    """Return what stands at the lines of a bar."""
    return BarMark(section, time=(metre.count, metre.unit))
