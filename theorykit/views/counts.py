"""Counts as bars: notes played, how often, and of how many."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from theorykit.errors import TheoryError
from theorykit.harmony.counts import LICENCE, SOLOS, SOURCE, Evidence, Tally
from theorykit.notes.note import pretty_accidentals

__all__ = ["CountRow", "CountsView", "counts_of", "tally_counts"]


@dataclass(frozen=True, slots=True)
class CountRow:
    """One bar: its name, the count, of how many, and the ends of the 95 % interval if known."""

    name: str
    count: int
    total: int
    interval: tuple[float, float] | None = None

    @property
    def share(self) -> float:
        """The share of all, 0 to 1."""
        return self.count / self.total

    @property
    def words(self) -> str:
        """The count in view, with its share.

        >>> CountRow("♭9", 852, 15387).words
        '852 of 15,387, 5.5 %'
        """
        return f"{self.count:,} of {self.total:,}, {100 * self.share:.1f} %"

    @property
    def reach(self) -> float:
        """How far to the right the bar or its interval goes, as a share."""
        return max(self.share, *(self.interval or (0.0,)))


@dataclass(frozen=True, slots=True)
class CountsView:
    """Bars under a title; ``notes`` are the lines below them: what was counted, and where."""

    title: str
    rows: tuple[CountRow, ...]
    notes: tuple[str, ...]

    def __post_init__(self) -> None:
        """Refuse a picture of nothing."""
        if not self.rows:
            raise TheoryError("no bars (want at least one count)")

    @property
    def alt(self) -> str:
        """What the picture shows, in words."""
        said = "; ".join(f"{row.name}: {row.words}" for row in self.rows)
        return f"Bars. {self.title}. {said}. {' '.join(self.notes)}"


_SOURCE_NOTES = (
    f"Counted in transcribed solos: {SOURCE}, {SOLOS} solos in all.",
    f"Made available under the {LICENCE.replace('License', 'License (ODbL)')}.",
    "A count says what was played, not what may be.",
)
_THIN = (
    "The thin line: how far the share could be off by chance (95 %, a bootstrap over the solos)."
)
_FROM_V = "From the last note over V to the first over"
_TITLES = {
    "first notes on a major I": "First notes over a major I after V, by degree of I",
    "last notes on a major I": "Last notes of phrases that cross V and end on a major I",
    "last notes on a minor I": "Last notes of phrases that cross V and end on a minor tonic",
    "moves into a major I": f"{_FROM_V} a major I, the commonest: degree of V to degree of I",
    "last steps, major": f"{_FROM_V} a major I, in half steps up or down",
    "last steps, minor": f"{_FROM_V} a minor tonic, in half steps up or down",
    "last steps, down a half step": f"{_FROM_V} a chord a half step below, in half steps",
    "last steps, any other chord change": "Over any other change of chord, in half steps",
}


def counts_of(found: Iterable[Evidence]) -> CountsView:
    """Return bars for degrees over dominants; rows say where the dominant goes if that differs.

    >>> from theorykit.harmony.counts import evidence
    >>> view = counts_of([evidence("b9", "major"), evidence("b9", "minor")])
    >>> view.title
    'Notes over a dominant, by degree'
    >>> [(row.name, row.words) for row in view.rows][1]
    ('♭9, going to a minor tonic', '208 of 2,605, 8.0 %')
    """
    rows = tuple(found)
    overs = tuple(dict.fromkeys(row.over for row in rows))
    shared = "a dominant" if len(overs) > 1 else "".join(overs)
    bars = tuple(
        CountRow(_name(row, len(overs) > 1), row.count, row.notes, (row.low, row.high))
        for row in rows
    )
    return CountsView(f"Notes over {shared}, by degree", bars, (_THIN, *_SOURCE_NOTES))


def _name(row: Evidence, several: bool) -> str:
    """Return what a bar is called."""
    return f"{row.name}, {_going(row.over)}" if several else row.name


def _going(over: str) -> str:
    """Return where a dominant goes, without the dominant.

    >>> _going("a dominant going down a half step"), _going("the V of a ii-V-I in major")
    ('going down a half step', 'the V of a ii-V-I in major')
    """
    return over.removeprefix("a dominant ")


def tally_counts(tally: Tally, labels: Iterable[str] = ()) -> CountsView:
    """Return bars for a tally: all its labels, or only those named.

    >>> from theorykit.harmony.counts import tally
    >>> view = tally_counts(tally("first notes on a major I"), ["1", "3", "5"])
    >>> view.title, [(row.name, row.words) for row in view.rows][2]
    ('First notes over a major I after V, by degree of I', ('5', '539 of 2,440, 22.1 %'))
    """
    wanted = tuple(labels) or tally.labels
    bars = tuple(CountRow(pretty_accidentals(one), tally.count(one), tally.total) for one in wanted)
    title = _TITLES.get(tally.name, f"{tally.name[0].upper()}{tally.name[1:]}, in half steps")
    return CountsView(title, bars, _SOURCE_NOTES)
