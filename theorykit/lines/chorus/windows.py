"""Windows: the stretches of a chorus over each cadence or dominant, and the phrases in them."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from fractions import Fraction

from theorykit.lines.excerpts import between
from theorykit.lines.text import Line, TimedNote
from theorykit.notes.key import Key
from theorykit.tunes.cadences import cadences, dominants
from theorykit.tunes.charts import Chart
from theorykit.tunes.families import stands_on
from theorykit.tunes.progression import PlacedChord, Progression
from theorykit.tunes.treatments import Treatment


@dataclass(frozen=True, slots=True)
class Window:
    """A place for a phrase: the beats on which ii begins, V ends, and what V goes to ends.

    ``key`` is the key that the cadence points to, ``colour`` the colour of its V, empty for none;
    ``v`` is the index of the V in ``Chart.played``; ``chorus`` counts from 1. What V goes to counts
    for a bar at most. Beats are quarter notes from the top of the first chorus.
    """

    start: Fraction
    landing: Fraction
    end: Fraction
    key: Key
    colour: str
    v: int
    chorus: int = 1


@dataclass(frozen=True, slots=True)
class Phrase:
    """What sounds in a window: notes counted from the top of the first chorus.

    ``problem`` says why it is without its colour, or why there is no phrase, where that is so.
    """

    window: Window
    notes: tuple[TimedNote, ...]
    problem: str = ""

    def line_over(self, progression: Progression) -> Line:
        """Return the phrase alone, over what stands in its window, in the key it points to."""
        window = self.window
        stretch = between(progression, window.start, window.end, key=window.key)
        notes = (replace(n, start=n.start - window.start) for n in self.notes)
        return Line(stretch, tuple(n for n in notes if n.end <= stretch.beats))


def windows_of(chart: Chart, treatment: Treatment, choruses: int = 1) -> tuple[Window, ...]:
    """Return the windows of so many choruses in order; none begins before the last one has landed.

    A V at the end of the last chorus lands on one more bar: the top, on which the music ends.

    >>> chart = Chart.of("C", "Dm7 G7", "C6 A7")
    >>> for w in windows_of(chart, Treatment.plain(chart)):
    ...     print(w.start, w.landing, w.end, w.key)
    0 4 6 C major
    6 8 10 D minor
    """
    once = list(_once(chart, treatment))
    length = chart.progression.beats
    starts = [placed.start for placed in chart.progression.chords]
    found: list[Window] = []
    for chorus in range(choruses):
        for one in once:
            moved = _later(one, chorus * length, chorus + 1)
            if moved.start < 0:  # the ii stands at the end of the form: at first there is none
                moved = replace(moved, start=starts[one.v])
            if not found or found[-1].landing <= moved.start:
                found.append(moved)
    return tuple(found)


def _once(chart: Chart, treatment: Treatment) -> list[Window]:
    """Return the windows of one chorus."""
    placed = chart.progression.chords
    choices = {(choice.bar, choice.beat): choice.colour for choice in treatment.choices}
    found = []
    for first, v, key in _cadences(chart):
        end = _end_of(chart, v)
        here = chart.played[v]
        colour = choices.get((here.written + 1, here.beat), "")
        silent = (n + 1 for n in range(first, v) if placed[n].chord.is_silent)
        first = max(silent, default=first)  # a phrase begins after a silence
        before = chart.progression.beats if first > v else 0
        start, landing = placed[first].start - before, placed[end - 1].end
        after = _after(chart, placed, end)
        if after > 0:
            found.append(Window(start, landing, landing + after, key, colour, v))
    return sorted(found, key=lambda window: window.start)


def _cadences(chart: Chart) -> Iterator[tuple[int, int, Key]]:
    """Return the first chord, the V and the key of every cadence and every chained dominant."""
    told = cadences(chart)
    for cadence in told:
        yield (cadence.v if cadence.ii is None else cadence.ii), cadence.v, cadence.key
    known = {cadence.v for cadence in told}
    for one in dominants(chart):
        for v, here in enumerate(chart.played):
            if v not in known and (here.written + 1, here.beat) == (one.bar, one.beat):
                yield v, v, one.key


def _end_of(chart: Chart, v: int) -> int:
    """Return the index after the last chord on the root of a V."""
    played, end = chart.played, v + 1
    while end < len(played) and stands_on(played[end].chord, played[v].chord.root.semitone):
        end += 1
    return end


def _after(chart: Chart, placed: tuple[PlacedChord, ...], end: int) -> Fraction:
    """Return how long what follows a V counts: a bar at most, nothing over N.C."""
    following = placed[end % len(placed)]
    if following.chord.is_silent:
        return Fraction(0)
    return min(following.beats, chart.progression.bars[following.bar].beats)


def _later(window: Window, beats: Fraction, chorus: int) -> Window:
    """Return a window of a later chorus."""
    return replace(
        window,
        start=window.start + beats,
        landing=window.landing + beats,
        end=window.end + beats,
        chorus=chorus,
    )
