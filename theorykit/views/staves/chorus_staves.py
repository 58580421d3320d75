"""The staff of a chorus: sections, bar numbers, colours under V, names for the eye.

A line is spelled where it sounds, phrase by phrase; a page is spelled as a whole, in the key of its
reader.
"""

from __future__ import annotations

from bisect import bisect_right
from dataclasses import replace
from fractions import Fraction
from itertools import accumulate

from theorykit.errors import TheoryError, shown
from theorykit.harmony.colours import Colour, colour
from theorykit.harmony.tensions import LANDING, degrees_over, role_over
from theorykit.lines.chorus import Chorus
from theorykit.lines.excerpts import excerpt
from theorykit.lines.text import Line, Sound, TimedNote, legible_names
from theorykit.notes.note import Pitch
from theorykit.notes.reader import READERS, Reader
from theorykit.tunes.bars import Metre
from theorykit.tunes.progression import Progression
from theorykit.views.staves.bar_line_marks import PLAIN_BAR, BarMark
from theorykit.views.staves.staff import (
    StaffView,
    labelled_as_written,
    staff_of_line,
    with_pitches,
)


def legible_staff(view: StaffView) -> StaffView:
    """Return a staff by names for the eye, as ``lines.text.legible_names`` finds them.

    >>> from theorykit.lines.text import Line
    >>> from theorykit.tunes.progression import two_five_one
    >>> from theorykit.views.staves.staff import staff_of_line
    >>> line = Line.parse("8th E5 C#5 C5 A4 half rest", two_five_one("C", "short"))
    >>> [str(note.pitch) for note in legible_staff(staff_of_line(line)).notes]
    ['E5', 'Db5', 'C5', 'A4']
    """
    if not view.notes:
        return view
    starts = [*accumulate(view.bars, initial=view.bars[0] * 0)]
    sounds = [
        Sound(
            note.pitch.midi,
            (),
            start=note.start,
            end=note.start + note.beats,
            bar=bisect_right(starts, note.start),
        )
        for note in view.notes
    ]
    given = [note.pitch.note for note in view.notes]
    names = legible_names(given, sounds, view.chords, view.key.notes)
    pitches = [Pitch.numbered(n, s.midi) for n, s in zip(names, sounds, strict=True)]
    return with_pitches(view, pitches)


# === The staff of a chorus ===


def chorus_staff(
    chorus: Chorus, number: int = 0, *, reader: Reader = READERS[0], labels: bool = True
) -> StaffView:
    """Return the staff of one chorus, counted from 1, or of all of them for 0.

    Bars are numbered from 1 in each chorus as in the plan, and through where all are shown. With
    ``labels`` the notes over V have their degree under them, those of the colour marked, and so
    have the notes on which the phrases land.

    >>> from theorykit.lines.chorus import write_chorus
    >>> from theorykit.tunes.charts import Chart
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
    rows = [_colour_at(chorus, note.start + begin) for note in line.notes]
    return labelled_as_written(
        legible_staff(replace(view, marks=marks, time=marks[0].time or view.time)), rows
    )


def cadence_staff(
    line: Line,
    row: Colour | str = "",
    *,
    reader: Reader = READERS[0],
    over: Progression | None = None,
    metre: Metre | None = None,
) -> StaffView:
    """Return the staff of a line over one cadence: every degree, the colour of V, the landing.

    ``over`` are its chords as the reader has them, where a tune has them in another key than that
    of the cadence. ``metre`` is that of the tune: a cadence that begins or ends inside a bar shows
    the part of the bar, and no time signature that the tune has not.

    >>> from theorykit.tunes.progression import two_five_one
    >>> line = Line.parse("8th D5 C5 A4 F4 Ab4 F4 E4 D4 | whole C4", two_five_one("C", "short"))
    >>> [note.mark for note in cadence_staff(line, "b9 13").notes][4:]
    ['colour', '', 'colour', '', 'landing']
    """
    tensions = _tensions(row)
    landing = line.progression.chords[-1].start
    found = [_said(line.progression, note, tensions, landing) for note in line.notes]
    labels = tuple((text,) if text else () for text, _ in found)
    page = line.onto(over, reader.semitones) if over is not None else None
    marks = tuple(mark for _, mark in found)
    view = staff_of_line(line, labels=labels, marks=marks, reader=reader, page=page)
    on_v = [line.progression.chord_at(n.start).chord.kind.is_dominant for n in line.notes]
    chosen = colour(row) if row else None
    labelled = labelled_as_written(view, [chosen if over else None for over in on_v])
    return labelled if metre is None else _in_metre(labelled, metre)


def _in_metre(view: StaffView, metre: Metre) -> StaffView:
    """Return a close-up with the time signature of its tune; a longer bar has one of its own."""
    marks = (_mark(metre) if beats <= metre.beats else PLAIN_BAR for beats in view.bars)
    return replace(view, marks=tuple(marks), time=(metre.count, metre.unit))


def _tensions(row: Colour | str) -> frozenset[int]:
    """Return the tensions of a colour as half steps; none for the empty text."""
    return frozenset(degree.semitone for degree in colour(row).tensions) if row else frozenset()


def _colour_at(chorus: Chorus, beat: Fraction) -> Colour | None:
    """Return the colour over a beat of a chorus: that of the dominant of its phrase."""
    for phrase in chorus.phrases:
        if phrase.window.start <= beat < phrase.window.landing and phrase.window.colour:
            return colour(phrase.window.colour)
    return None


def _labels(chorus: Chorus) -> dict[Fraction, tuple[str, str]]:
    """Return the degree and the mark of the notes over V and of the landings, by their start."""
    over = chorus.line.progression
    landings = {phrase.window.landing for phrase in chorus.phrases}
    found: dict[Fraction, tuple[str, str]] = {}
    for phrase in chorus.phrases:
        end, tensions = phrase.window.landing, _tensions(phrase.window.colour)
        for note in phrase.notes:
            inside = phrase.window.start <= note.start < end  # a pickup has no degree of V
            on_v = inside and over.chord_at(note.start).chord.kind.is_dominant
            if on_v or note.start in landings:
                landing = note.start if note.start in landings else end
                found[note.start] = _said(over, note, tensions, landing)
    return found


def _said(
    over: Progression, note: TimedNote, tensions: frozenset[int], landing: Fraction
) -> tuple[str, str]:
    """Return the degree of a note over its chord, and its mark: over V, or as the landing."""
    chord = over.chord_at(note.start).chord
    if chord.is_silent:
        return "", ""
    degree = degrees_over(chord, [note.pitch.note])[0]
    if note.start == landing:
        return degree.pretty, LANDING
    if not chord.kind.is_dominant or note.start > landing:
        return degree.pretty, ""
    if degree.semitone in tensions:
        return degree.pretty, "colour"
    rubs = role_over(chord, degree, over.chord_at(landing).chord) == "outside"
    return degree.pretty, "outside" * rubs


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
