"""Cells of a chapter about a tune: its grid, the staff of a chorus, players."""

from __future__ import annotations

from theorykit.errors import TheoryError
from theorykit.lines.chorus import Chorus, muted, perform_chorus
from theorykit.notes.key import reader_words
from theorykit.show.cell_sound import heard
from theorykit.show.cells import Shown, at_concert, noted, pictured
from theorykit.show.engraving import staff_svg
from theorykit.show.own_reader import reader_or_own
from theorykit.tunes.charts import Chart
from theorykit.tunes.treatments import Treatment
from theorykit.views.staves import cadence_staff, chorus_staff
from theorykit.views.tune_page import tune_grid

__all__ = ["hear_chorus", "see_cadence", "see_chorus", "see_tune"]

WIDTH, SCALE, CLOSE_SCALE, BARS_A_LINE = 900, 32, 45, 4


def see_tune(
    chart: Chart,
    treatment: Treatment | None = None,
    *,
    mark: int = 0,
    jobs: bool = False,
    written_for: str | None = None,
) -> Shown:
    """Return the grid of a tune, with the chords of a treatment where one is given.

    ``mark`` is the number of a cadence that is to stand out, counted from 1; with ``jobs`` every
    chord has under it what it does; ``written_for`` is a reader such as ``"B flat"``, by default
    what the reader plays.

    >>> see_tune(Chart.of("C", "Dm7", "G7", "C6", "%", title="Wet Gloves")).words[-30:]
    '1, bars 1-3: long ii-V-I to C.'
    """
    who = reader_or_own(written_for)
    page = chart.written_for(who)
    laid = treatment.over(page) if treatment else None
    view = tune_grid(page, laid, chosen=mark, jobs=jobs)
    return noted(pictured(view, view.alt), reader_words(who, chart.key))


def see_chorus(chorus: Chorus, number: int = 1, *, written_for: str | None = None) -> Shown:
    """Return the staff of one chorus, counted from 1, with degrees under the notes over V.

    ``written_for`` is a reader such as ``"B flat"``, by default what the reader plays.
    """
    who = reader_or_own(written_for)
    view = chorus_staff(chorus, number, reader=who)
    staff = staff_svg(view, scale=SCALE, width=WIDTH, bars_per_line=BARS_A_LINE)
    return noted(pictured(staff, view.alt), reader_words(who, chorus.chart.key))


def see_cadence(chorus: Chorus, number: int, *, written_for: str | None = None) -> Shown:
    """Return the staff of one phrase of a chorus, counted from 1, with a degree under every note.

    >>> from theorykit.lines.chorus import write_chorus
    >>> chart = Chart.of("C", "C6", "Dm7", "G7", "C6")
    >>> see_cadence(write_chorus(chart), 1).words[:38]
    '3 bars in C major, chords Dm7, G7, C6;'
    """
    if not 1 <= number <= len(chorus.phrases):
        raise TheoryError(f"no phrase {number} (want 1 to {len(chorus.phrases)})")
    phrase = chorus.phrases[number - 1]
    line = phrase.line_over(chorus.line.progression)
    who = reader_or_own(written_for)
    view = cadence_staff(line, phrase.window.colour, reader=who, metre=chorus.chart.metre)
    staff = pictured(staff_svg(view, scale=CLOSE_SCALE), view.alt)
    return noted(staff, reader_words(who, chorus.chart.key))


def hear_chorus(
    chorus: Chorus,
    *,
    bars: tuple[int, int] | None = None,
    tempo: float | None = None,
    silent: tuple[str, ...] | str = (),
    loops: bool = False,
    melody: str = "tenor saxophone",
) -> Shown:
    """Return a player of a chorus with the rhythm section, after one bar of count-in.

    ``bars`` are the first and the last bar to be heard, counted from 1; ``tempo`` in beats a
    minute, by default that of the chart; ``silent`` names parts that rest: line, piano, bass,
    drums. With ``loops`` it goes round and round, without a count-in.
    """
    count_in = 0 if loops else 1
    played = perform_chorus(chorus, bars=bars, tempo=tempo, count_in=count_in, loops=loops)
    resting = (silent,) if isinstance(silent, str) else silent
    without = f" without {' and '.join(resting)}" if resting else ""
    where = f", bars {bars[0]}-{bars[1]}" if bars else ""
    label = f"{chorus.chart.title or 'the tune'}{where}{without}"
    html, sound = heard({label: muted(played, resting)}, melody=melody, loops=loops)
    return at_concert(Shown(html, f"Player: {label}", heard=sound))
