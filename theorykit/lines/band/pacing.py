"""Pacing: when each note sounds at any tempo, so that a band can change its tempo while it plays.

A moment is a straight line in two things that go with the tempo: where the second eighth of a beat
lies, and how late the soloist is on the beat. Both are looked up in ``swing.py``.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction

from theorykit.lines.band.swing import default_swing, lateness
from theorykit.lines.band.touch import on_beat
from theorykit.lines.parts import Part, Performance, Sounding


@dataclass(frozen=True, slots=True)
class Pace:
    """Where the second eighth lies within its beat, and the soloist's delay in milliseconds."""

    off_beat: float
    late: float


@dataclass(frozen=True, slots=True)
class Moment:
    """A moment that moves with the tempo.

    In beats it is ``beats`` and ``swings`` times the place of the second eighth; to that come
    ``late`` milliseconds, and ``lags`` times the soloist's delay.
    """

    beats: float
    swings: float = 0.0
    late: float = 0.0
    lags: float = 0.0

    def seconds(self, tempo: float, pace: Pace) -> float:
        """Return when it is, in seconds.

        >>> Moment(1.0, 1.0, late=10.0).seconds(120, Pace(0.75, 0.0))
        0.885
        """
        beat = self.beats + self.swings * pace.off_beat
        return beat * 60 / tempo + (self.late + self.lags * pace.late) / 1000


def pace(played: Performance, tempo: float, *, as_players_do: bool) -> Pace:
    """Return the pace at a tempo; ``as_players_do`` lets the swing follow it, else it is kept.

    >>> from theorykit.lines.parts import Performance
    >>> pace(Performance((), Fraction(4), swing=3.0), 60, as_players_do=False)
    Pace(off_beat=0.75, late=0.0)
    """
    ratio = default_swing(tempo) if as_players_do else played.swing
    return Pace(ratio / (ratio + 1), lateness(tempo) if as_players_do else 0.0)


def moments(
    played: Performance, part: Part, note: Sounding, *, as_players_do: bool
) -> tuple[Moment, Moment]:
    """Return when a note of a performance begins and when it is let go, at any tempo.

    >>> from theorykit.lines.parts import Part, Sounding
    >>> off = Sounding(Fraction(3, 2), Fraction(1, 2), 69, late=4.0, let_go=4.0)
    >>> begins, ends = moments(
    ...     Performance((), Fraction(4)), Part("line", (off,)), off, as_players_do=True
    ... )
    >>> begins, ends.beats
    (Moment(beats=1.0, swings=1.0, late=4.0, lags=0.0), 2.0)
    """
    end = note.start + note.beats
    sings = as_players_do and part.name == "line" and not note.counts_in
    first = on_beat(note.start) if sings else 0.0
    tied = note.let_go != note.late  # it is let go when the next one begins
    last = on_beat(end) if sings and tied else first
    delay = lateness(played.tempo)
    return (
        _moment(note.start, note.late - first * delay, first),
        _moment(end, note.let_go - last * delay, last),
    )


def paced(played: Performance, tempo: float, *, as_players_do: bool) -> Performance:
    """Return the same performance at another tempo, every player as late as he is there.

    >>> from theorykit.lines.band.accompaniment import performance
    >>> from theorykit.lines.demonstration import demonstration
    >>> line = demonstration("C")
    >>> slow = performance(line, line.progression, tempo=100)
    >>> fast = paced(slow, 300, as_players_do=True)
    >>> fast.tempo, fast.swing, round(fast.seconds, 1)
    (300, 1.0, 3.2)
    """
    here = pace(played, tempo, as_players_do=as_players_do)

    def moved(part: Part, note: Sounding) -> Sounding:
        begins, ends = moments(played, part, note, as_players_do=as_players_do)
        late, let_go = (one.late + one.lags * here.late for one in (begins, ends))
        return replace(note, late=round(late, 6), let_go=round(let_go, 6))

    parts = tuple(
        replace(part, notes=tuple(moved(part, note) for note in part.notes))
        for part in played.parts
    )
    swing = default_swing(tempo) if as_players_do else played.swing
    return replace(played, parts=parts, tempo=tempo, swing=swing)


def _moment(beat: Fraction, late: float, lags: float) -> Moment:
    """Return a written beat as a moment; what stands on the triplet grid does not swing."""
    if beat.denominator & (beat.denominator - 1):
        return Moment(float(beat), 0.0, late, lags)
    whole, within = divmod(beat, 1)
    if within <= Fraction(1, 2):
        return Moment(float(whole), float(2 * within), late, lags)
    return Moment(float(whole + 2 * within - 1), float(2 - 2 * within), late, lags)
