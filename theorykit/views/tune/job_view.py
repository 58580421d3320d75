"""The jobs of the chords of a tune, row by row, as a reader has them on the page."""

from __future__ import annotations

from dataclasses import dataclass

from theorykit.lines.reading import beat_words
from theorykit.notes.reader import READERS, Reader, reader
from theorykit.tunes.cadences import Function, functions
from theorykit.tunes.charts import Chart, PlayedChord
from theorykit.views.tune_page import job_words

JOB_HEADS = ("bar", "chord", "job", "in words")


@dataclass(frozen=True, slots=True)
class JobRow:
    """One chord with its job: the bars and the beat where it is played, its symbol, short words.

    ``bars`` are those as played, from 1, with the beat where it does not begin the bar; ``words``
    is a sentence. All names are those on the page of the reader.
    """

    bars: str
    chord: str
    job: str
    words: str

    @property
    def cells(self) -> tuple[str, str, str, str]:
        """The row as the cells of a table, under ``JOB_HEADS``."""
        return self.bars, self.chord, self.job, self.words


def job_rows(chart: Chart, who: Reader | str = READERS[0]) -> tuple[JobRow, ...]:
    """Return the jobs of a chart as a reader has it on the page, a chord that is held once.

    >>> for row in job_rows(Chart.of("C", "Am7 D7", "Dm7 G7", "C6", "%"), "B flat"):
    ...     print(row.bars, row.chord, "-", row.job)
    1 Bm7 - ii of E7
    1, beat 3 E7 - V of A7
    2 Em7 - ii of A7
    2, beat 3 A7 - V of D6
    3-4 D6 - tonic
    """
    one = reader(who) if isinstance(who, str) else who
    page = chart if one.written_key(chart.key) == chart.key else chart.written_for(one)
    told = functions(page)
    starts = [n for n, one in enumerate(told) if n == 0 or not _is_held(told[n - 1], one)]
    ends = [*starts[1:], len(told)]
    return tuple(
        _row(page, page.played[start], page.played[end - 1], told[start])
        for start, end in zip(starts, ends, strict=True)
    )


def _is_held(before: Function, one: Function) -> bool:
    """Tell whether a chord is only the one before, said again."""
    return (before.chord, before.role, before.leads_to) == (one.chord, one.role, one.leads_to)


def _row(page: Chart, first: PlayedChord, last: PlayedChord, one: Function) -> JobRow:
    """Return the row of one chord."""
    return JobRow(_bars(page, first, last), one.chord.pretty, job_words(one), one.words)


def _bars(page: Chart, first: PlayedChord, last: PlayedChord) -> str:
    """Say where a chord is played."""
    if last.bar != first.bar:
        return f"{first.bar + 1}-{last.bar + 1}"
    if first.beat == 1:
        return f"{first.bar + 1}"
    compound = page.bars[first.written].metre.quarters != 1
    return f"{first.bar + 1}, {beat_words(first.beat, compound=compound)}"


def job_caption(who: Reader) -> str:
    """Return what stands over the table: for whom it is written."""
    page = "at concert pitch" if who == READERS[0] else f"as written for {who.name}"
    return f"The job of every chord, in the order played, {page}"
