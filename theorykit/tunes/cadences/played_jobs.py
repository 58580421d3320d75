"""The jobs of a tune chord by chord as played: what a bass or an inner line adds to them."""

from __future__ import annotations

from typing import NamedTuple

from theorykit.notes.chord import Chord
from theorykit.tunes.cadences.analysis import Analysis
from theorykit.tunes.cadences.chord_jobs import (
    DOMINANT_ROLES,
    II_OF,
    LINE,
    OVER_PEDAL,
    SILENCE,
    TONIC,
    Job,
    jobs_of,
)
from theorykit.tunes.families import AUGMENTED, heard, stands_on

_NONE = -1
_LEADING = DOMINANT_ROLES | {II_OF}
SHORTEST_LINE = 3  # chords on one root, each another


class PlayedJob(NamedTuple):
    """The job of one chord as played, and its span; -1 for silence and for I over the fifth."""

    span: int
    job: Job


def played_jobs(found: Analysis) -> list[PlayedJob]:
    """Return the job of every chord as played."""
    plain = _by_span(found, jobs_of(found))
    told = [_over_pedal(found, plain, n) for n in range(len(plain))]
    for run in _runs(found):
        _tell_line(found, told, run)
    return told


def _by_span(found: Analysis, jobs: list[Job]) -> list[PlayedJob]:
    """Give each chord the job of the span that it belongs to."""
    told, span = [], _NONE
    firsts = {one.first: n for n, one in enumerate(found.spans)}
    for index, played in enumerate(found.chart.played):
        span = firsts.get(index, span)
        if played.chord.is_silent:
            told.append(PlayedJob(_NONE, Job(SILENCE)))
        elif span != _NONE and stands_on(played.chord, found.spans[span].root):
            told.append(PlayedJob(span, jobs[span]))
        else:  # I over the fifth, on its way to V
            told.append(PlayedJob(_NONE, Job(TONIC, found.after(span))))
    return told


def _bass(chord: Chord) -> int:
    """Return the lowest note of a chord as a number, -1 for silence."""
    return _NONE if chord.is_silent else (chord.bass or chord.root).semitone


def _over_pedal(found: Analysis, plain: list[PlayedJob], n: int) -> PlayedJob:
    """Return the job of a chord, ``pedal`` where its bass is held on I or V of the key around."""
    chord, one = found.chart.played[n].chord, plain[n]
    if chord.bass is None or one.job.role in (_LEADING | {OVER_PEDAL}):
        return one
    bass, ear = chord.bass.semitone, heard(chord)
    key = found.path[one.span] if one.span != _NONE else found.home
    if ear.root == bass or (bass - key) % 12 not in (0, 7):
        return one
    near = [m for m in (n - 1, n + 1) if 0 <= m < len(plain)]
    held = [m for m in near if _bass(found.chart.played[m].chord) == bass]
    is_tonic = (ear.root - key) % 12 == 0
    is_held = len(held) == 2 or (not is_tonic and any(_holds(found, plain, m) for m in held))
    return PlayedJob(one.span, Job(OVER_PEDAL)) if is_held else one


def _holds(found: Analysis, plain: list[PlayedJob], n: int) -> bool:
    """Tell whether a neighbour on the same bass is a tonic or stands over a pedal as well."""
    chord = found.chart.played[n].chord
    return plain[n].job.role == TONIC or (
        chord.bass is not None and heard(chord).root != _bass(chord)
    )


def _runs(found: Analysis) -> list[list[int]]:
    """Return stretches of chords on one root, each another, none over a foreign bass."""
    runs: list[list[int]] = []
    played = found.chart.played
    for n, one in enumerate(played):
        if one.chord.is_silent or one.chord.bass is not None:
            runs.append([])
        elif runs and runs[-1] and stands_on(one.chord, heard(played[runs[-1][-1]].chord).root):
            runs[-1].append(n)
        else:
            runs.append([n])
    return [run for run in runs if _is_line(found, run)]


def _is_line(found: Analysis, run: list[int]) -> bool:
    """Tell whether one voice moves through chords: 5 up to b7, or the octave down to 6."""
    if len(run) < SHORTEST_LINE:
        return False
    chords = [found.chart.played[n].chord for n in run]
    if len({chord.kind for chord in chords}) < SHORTEST_LINE:
        return False
    minor = any(chord.kind.has("b3") and chord.kind.has("7") for chord in chords)
    raised = any(heard(chord).family == AUGMENTED for chord in chords)
    moved = any(chord.kind.has("b3") and chord.kind.has("#5") for chord in chords)
    return minor or raised or moved


def _tell_line(found: Analysis, told: list[PlayedJob], run: list[int]) -> None:
    """Mark the chords of a line after the first, but for one that leads on as a ii or a V."""
    first = found.chart.played[run[0]].chord.kind
    for n in run[1:]:
        one = told[n]
        leads = one.job.role in _LEADING and one.job.target != _NONE
        if found.chart.played[n].chord.kind != first and not leads:
            told[n] = PlayedJob(one.span, Job(LINE))
