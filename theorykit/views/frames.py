"""Where the bars of a staff lie: their first beat, length, time signature and grid."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from theorykit.views.bar_marks import PLAIN_BAR, BarMark
from theorykit.views.staff import StaffView
from theorykit.views.triplets import is_odd
from theorykit.views.values import Grid, bar_grid

__all__ = ["Frame", "bar_frames"]

ZERO = Fraction(0)
BEAT, DOTTED_BEAT = Fraction(1), Fraction(3, 2)


@dataclass(frozen=True, slots=True)
class Frame:
    """One bar: its number (0 for a pickup), its first beat in the music, its length in beats.

    ``lead`` is the part of a whole bar that a pickup leaves out in front; the grid counts it.
    ``mark`` is what stands at the lines of the bar.
    """

    number: int
    start: Fraction
    beats: Fraction
    time: tuple[int, int]
    lead: Fraction = ZERO
    mark: BarMark = PLAIN_BAR

    @property
    def end(self) -> Fraction:
        """The beat of the music on which the bar ends."""
        return self.start + self.beats

    @property
    def full(self) -> Fraction:
        """The length that the grid counts: the bar and what a pickup leaves out."""
        return self.lead + self.beats

    @property
    def grid(self) -> Grid:
        """The boundaries inside the bar."""
        return bar_grid(self.full, self.pulse == DOTTED_BEAT)

    @property
    def pulse(self) -> Fraction:
        """The length of one beat as it is felt: a dotted quarter in 6/8, 9/8 and 12/8."""
        compound = self.time[1] == 8 and self.time[0] % 3 == 0
        return DOTTED_BEAT if compound else BEAT

    @property
    def pair(self) -> Fraction:
        """The stretch in which plain eighths are joined: two beats where the bar has pairs."""
        in_pairs = self.pulse == BEAT and self.full % 2 == 0
        return 2 * BEAT if in_pairs else self.pulse


def bar_frames(view: StaffView) -> list[Frame]:
    """Return the bars of a staff one after the other, the pickup before beat 0.

    A bar of another length than the time signature says gets a signature of its own.
    """
    usual = Fraction(4 * view.time[0], view.time[1])
    frames = _pickups(view, usual)
    start = ZERO
    for place, beats in enumerate(view.bars):
        mark = view.mark(place)
        time = mark.time or (view.time if beats == usual else _time_of(beats))
        frames.append(Frame(view.first + place, start, beats, time, mark=mark))
        start += beats
    return frames


def _pickups(view: StaffView, usual: Fraction) -> list[Frame]:
    """Return the bars before beat 0; the first holds no more than it needs."""
    needed = -min((note.start for note in view.notes), default=ZERO)
    if needed <= 0:
        return []
    if is_odd(needed):  # a triplet is written whole
        needed = Fraction(-(-needed.numerator // needed.denominator))
    count, rest = divmod(needed, usual)
    frames = [Frame(0, -usual * place, usual, view.time) for place in range(int(count), 0, -1)]
    return [Frame(0, -needed, rest, view.time, usual - rest), *frames] if rest else frames


def _time_of(beats: Fraction) -> tuple[int, int]:
    """Return a time signature for a bar of this length."""
    unit = 4 * beats.denominator
    return int(beats * unit / 4), unit
