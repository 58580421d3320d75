"""Evidence: how often improvisers played what the theory names.

Counts stand beside the theory and are no rule. They tell what was played in the solos that were
written down, over the chords that were written over them.
"""

from __future__ import annotations

from dataclasses import dataclass

from theorykit.errors import TheoryError, expect, shown
from theorykit.harmony.counts.solo_counts import (
    DEGREE_COUNTS,
    LICENCE,
    SOLOS,
    SOURCE,
    DegreeCounts,
)
from theorykit.harmony.tensions import TENSION_NAMES, as_chord, as_target
from theorykit.notes.chord import Chord
from theorykit.notes.degree import Degree
from theorykit.notes.key import Key
from theorykit.notes.values import Value

GOINGS = tuple(row.going for row in DEGREE_COUNTS)
_BY_NAME = {name.lower(): row for row in DEGREE_COUNTS for name in row.aliases} | {
    row.going.lower(): row for row in DEGREE_COUNTS
}
THIRD, MINOR_THIRD, MINOR_SEVENTH = Degree(3), Degree(3, -1), Degree(7, -1)


@dataclass(frozen=True, slots=True, repr=False)
class Evidence(Value):
    """How often a degree was played over dominants that go one way.

    ``count`` of ``notes`` notes over ``chords`` chords; ``low`` and ``high`` are the ends of the
    95 % interval of the share, a bootstrap over the solos.

    >>> found = evidence("b9", "major")
    >>> found.count, found.notes, round(found.share, 3), found.low, found.high
    (852, 15387, 0.055, 0.0492, 0.0615)
    """

    degree: Degree
    going: str
    over: str
    count: int
    notes: int
    chords: int
    low: float
    high: float

    def __post_init__(self) -> None:
        """Refuse counts of no degree."""
        expect(self.degree, Degree, "a degree", "a Degree, or use evidence")

    @property
    def share(self) -> float:
        """The share of all notes, 0 to 1.

        >>> round(100 * evidence("13", "major").share, 1)
        10.1
        """
        return self.count / self.notes

    @property
    def name(self) -> str:
        """The degree for the eye; one that is spelled on another letter says what it counts as.

        >>> evidence("b9").name, evidence("6").name, evidence("b10").name
        ('♭9', '6', '♭10 (counted as ♯9)')
        """
        counted = TENSION_NAMES[self.degree.semitone]
        if (counted.step, counted.alteration) == (self.degree.step, self.degree.alteration):
            return self.degree.pretty
        return f"{self.degree.pretty} (counted as {counted.pretty})"

    def clear_of(self, other: Evidence) -> bool:
        """Tell whether the two intervals do not overlap.

        >>> evidence("9").clear_of(evidence("b9")), evidence("9").clear_of(evidence("13"))
        (True, False)
        """
        return self.low > other.high or other.low > self.high

    @property
    def words(self) -> str:
        """The count in a sentence, with its interval and where it was counted.

        >>> evidence("b9", "minor").words
        '♭9: 208 of 2,605 notes over a dominant going to a minor tonic, 8.0 % (95 % interval 6.6 \
to 9.4 %), counted in transcribed solos (Weimar Jazz Database, 456 solos in all, Open Database \
License 1.0).'
        """
        return (
            f"{self.name}: {self.count:,} of {self.notes:,} notes over {self.over}, "
            f"{_percent(self.share)} % (95 % interval {_percent(self.low)} to "
            f"{_percent(self.high)} %), counted in transcribed solos ({SOURCE}, {SOLOS} solos in "
            f"all, {LICENCE})."
        )

    def __str__(self) -> str:
        return f"{self.degree} {self.going}: {self.count} of {self.notes}"


def evidence(degree: Degree | str, going: str = "major") -> Evidence:
    """Return how often a degree was played over dominants that go one way.

    Counted in the 456 transcribed solos of the Weimar Jazz Database; ``words`` says it in full.
    The sound counts, not the spelling: the ♭5 is counted with the ♯11, and its words say so.
    ``going`` is ``"major"`` (to a major I), ``"minor"`` (to a minor tonic), ``"down a half step"``,
    or another of ``GOINGS``.

    >>> evidence("#11", "down a half step").count > evidence("11", "down a half step").count
    True
    >>> evidence("9", "up")
    Traceback (most recent call last):
    theorykit.errors.TheoryError: nothing was counted for going 'up' (want one of major, minor, \
down a half step, ii-V-I in major, ii-V-i in minor, down a fifth)
    """
    wanted = degree if isinstance(degree, Degree) else Degree.parse(degree)
    return _at(wanted.semitone, wanted, _row(going))


def evidence_table(going: str = "major") -> tuple[Evidence, ...]:
    """Return the evidence for all twelve degrees, from the root up.

    >>> sum(row.count for row in evidence_table("minor"))
    2605
    """
    row = _row(going)
    return tuple(_at(place, name, row) for place, name in enumerate(TENSION_NAMES))


def _row(going: object) -> DegreeCounts:
    """Return the row of a way of going."""
    found = _BY_NAME.get(going.strip().lower()) if isinstance(going, str) else None
    if found is None:
        raise TheoryError(
            f"nothing was counted for going {shown(going)} (want one of {', '.join(GOINGS)})"
        )
    return found


def _at(place: int, degree: Degree, row: DegreeCounts) -> Evidence:
    """Return one cell of the table."""
    return Evidence(
        degree,
        row.going,
        row.words,
        row.counts[place],
        row.notes,
        row.chords,
        row.low[place],
        row.high[place],
    )


def going_of(dominant: Chord | str, target: Chord | Key | str | None = None) -> str:
    """Return which counts belong to a dominant and its target, or the empty text for none.

    >>> [going_of("G7", goal) for goal in ("C6/9", "Cm6", "Cm7", "F#maj7", "Am7")]
    ['major', 'minor', 'down a fifth', 'down a half step', '']
    """
    over = as_chord(dominant)
    goal = as_target(over, target)
    way = (goal.root.semitone - over.root.semitone) % 12
    if way == 11:
        return "down a half step"
    if way != 5:
        return ""
    if MINOR_SEVENTH in goal.degrees:
        return "down a fifth"
    is_minor, is_major = MINOR_THIRD in goal.degrees, THIRD in goal.degrees
    return "minor" if is_minor else "major" if is_major else "down a fifth"


def _percent(share: float) -> str:
    """Return a share in per cent with one decimal."""
    return f"{100 * share:.1f}"
