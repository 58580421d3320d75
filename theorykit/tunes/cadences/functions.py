"""Functions: the job of every chord of a tune, in a role, a target and a sentence."""

from __future__ import annotations

from dataclasses import dataclass

from theorykit.notes.chord import Chord
from theorykit.tunes.cadences.analysis import Analysis
from theorykit.tunes.cadences.job_words import JobWords
from theorykit.tunes.cadences.played_jobs import played_jobs
from theorykit.tunes.charts import Chart, PlayedChord


@dataclass(frozen=True, slots=True)
class Function:
    """The job of one chord as played.

    ``index`` is its place in ``Chart.played`` and ``chord`` its symbol. ``role`` is one of
    ``ROLES``. ``target`` is the played chord that it leads to, None where it leads to none, and
    ``leads_to`` the index of that; a chord that is held counts by its first index. ``words`` is a
    sentence with the signs ♭ and ♯.
    """

    index: int
    chord: Chord
    role: str
    target: PlayedChord | None
    leads_to: int | None
    words: str


def functions(chart: Chart | str) -> tuple[Function, ...]:
    """Return the job of every chord of a chart as it is played, or of a typed one.

    >>> for f in functions(Chart.of("C", "C6", "Am7 D7", "Dm7 G7", "C6", "Bb7")):
    ...     print(f.chord, "-", f.role, f.target.chord if f.target else "-")
    C6 - tonic -
    Am7 - the ii of D7
    D7 - the V of G7
    Dm7 - the ii of G7
    G7 - the V of C6
    C6 - tonic -
    Bb7 - backdoor C6
    """
    found = Analysis(chart if isinstance(chart, Chart) else Chart.parse(chart))
    words = JobWords(found)
    told = []
    for index, one in enumerate(played_jobs(found)):
        place = found.first(one.job.target)
        target = None if place is None else found.chart.played[place]
        chord = found.chart.played[index].chord
        told.append(Function(index, chord, one.job.role, target, place, words.sentence(index, one)))
    return tuple(told)
