"""Tables of rhythm: how a written line begins, what a beat or two may hold, how it ends.

The odds are set so that lines as a whole come near what was counted in solos
(``theorykit.harmony.counts``): where notes begin in the bar, how long it is to the next, where
phrases begin and end. Double time is left out.
"""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

HALF, THIRD, BEAT = Fraction(1, 2), Fraction(1, 3), Fraction(1)
Notes = tuple[tuple[Fraction, Fraction], ...]  # start and length of each note


def _notes(text: str) -> Notes:
    """Read ``start:length`` of each note."""
    pairs = (word.split(":") for word in text.split())
    return tuple((Fraction(start), Fraction(beats)) for start, beats in pairs)


@dataclass(frozen=True, slots=True)
class Figure:
    """What one beat or two may hold: its notes, and how often it comes.

    ``odds`` is the weight for each amount that is wished for of what ``wish`` names.
    """

    name: str
    beats: int
    notes: Notes
    wish: str
    odds: tuple[float, float, float]


FIGURES = (
    Figure("two eighths", 1, _notes("0:1/2 1/2:1/2"), "density", (1.0, 0.4, 0.2)),
    Figure("a quarter", 1, _notes("0:1"), "density", (0.0, 0.11, 0.3)),
    Figure("a triplet", 1, _notes("0:1/3 1/3:1/3 2/3:1/3"), "triplets", (0.0, 0.12, 0.5)),
    Figure("a turn", 2, _notes("0:1/3 1/3:1/3 2/3:1/3 1:1"), "triplets", (0.0, 0.06, 0.2)),
    Figure("an eighth after a rest", 1, _notes("1/2:1/2"), "rests", (0.0, 0.06, 0.2)),
    Figure("an eighth and a rest", 1, _notes("0:1/2"), "rests", (0.0, 0.06, 0.15)),
    Figure("a rest", 1, (), "rests", (0.0, 0.06, 0.12)),
    Figure("short long short", 2, _notes("0:1/2 1/2:1 3/2:1/2"), "density", (0.0, 0.07, 0.1)),
    Figure("long short", 2, _notes("0:3/2 3/2:1/2"), "density", (0.0, 0.11, 0.25)),
    Figure("short long", 2, _notes("0:1/2 1/2:3/2"), "density", (0.0, 0.05, 0.1)),
    Figure("a half", 2, _notes("0:2"), "density", (0.0, 0.035, 0.25)),
    Figure("three over two", 2, _notes("0:2/3 2/3:2/3 4/3:2/3"), "triplets", (0.0, 0.22, 0.2)),
    Figure("off the beat", 2, _notes("1/2:1 3/2:1/2"), "rests", (0.0, 0.07, 0.12)),
    Figure("a short note and a breath", 2, _notes("0:1/2"), "rests", (0.0, 0.12, 0.1)),
    Figure("a note and a breath", 2, _notes("0:1"), "rests", (0.0, 0.10, 0.08)),
)


@dataclass(frozen=True, slots=True)
class Beginning:
    """How a line may begin: its first notes, counted from the first chord, and where it goes on.

    ``words`` are the wishes that it grants.
    """

    place: str
    notes: Notes
    ends: Fraction
    words: tuple[str, ...]
    share: float = 1.0


# The first notes of a phrase stand where they do in solos. Those of the second half of a bar are
# pickups, the others stand in the bar of the first chord.
BEGINNINGS = (
    Beginning("1", (), Fraction(0), ("on one",)),
    Beginning("1&", _notes("1/2:1/2"), BEAT, ("off the beat", "after a rest"), 0.7),
    Beginning("1&", _notes("1/2:1 3/2:1/2"), 2 * BEAT, ("off the beat", "after a rest"), 0.3),
    Beginning("2", (), BEAT, ("after a rest",)),
    Beginning("2&", _notes("3/2:1/2"), 2 * BEAT, ("off the beat", "after a rest")),
    Beginning("3", (), 2 * BEAT, ("after a rest",), 0.5),
    Beginning("3", _notes("-2:1/2 -3/2:1/2 -1:1/2 -1/2:1/2"), Fraction(0), ("pickup",), 0.35),
    Beginning("3", _notes("-2:1 -1:1/2 -1/2:1/2"), Fraction(0), ("pickup",), 0.15),
    Beginning("3&", _notes("-3/2:1/2 -1:1/2 -1/2:1/2"), Fraction(0), ("pickup", "off the beat")),
    Beginning("4", _notes("-1:1/2 -1/2:1/2"), Fraction(0), ("pickup",)),
    Beginning("4&", _notes("-1/2:1/2"), Fraction(0), ("pickup", "off the beat")),
    Beginning("triplet", _notes("-2/3:1/3 -1/3:1/3"), Fraction(0), ("pickup",), 0.4),
    Beginning("triplet", _notes("1/3:1/3 2/3:1/3"), BEAT, ("after a rest",), 0.15),
)


@dataclass(frozen=True, slots=True)
class Ending:
    """How a line goes on after it has landed: its notes from the landing on, and how often.

    A length of 0 is held for as long as the chord lets it, up to ``LONGEST``.
    """

    notes: Notes
    odds: float

    @property
    def words(self) -> tuple[str, ...]:
        """The wishes that it grants."""
        start, beats = self.notes[-1]
        holds = not beats or beats > BEAT
        granted = {
            "on the landing": len(self.notes) == 1,
            "held": holds,
            "short": not holds and beats <= HALF,
            "off the beat": start.denominator > 1,
        }
        return tuple(word for word, holds in granted.items() if holds)

    @property
    def is_bare(self) -> bool:
        """True where a short note ends the line alone: no eighth on the beat leads to it."""
        *before, (start, beats) = self.notes
        led = before and start.denominator > 1 and before[-1][1] == HALF
        return 0 < beats <= HALF and not led


# Phrases end on the landing, or a beat or two later, on the beat or off it (as in solos). One that
# is bare comes only where it is asked for.
ENDINGS = (
    Ending(_notes("0:0"), 0.22),
    Ending(_notes("0:1/2"), 0.05),
    Ending(_notes("0:1"), 0.06),
    Ending(_notes("0:1/2 1/2:1/2"), 0.08),
    Ending(_notes("0:1/2 1/2:0"), 0.07),
    Ending(_notes("0:1 1:1/2"), 0.04),
    Ending(_notes("0:1/2 1/2:1/2 1:0"), 0.08),
    Ending(_notes("0:1 1:1/2 3/2:1/2"), 0.05),
    Ending(_notes("0:3/2 3/2:1/2"), 0.06),
    Ending(_notes("0:3/2 3/2:0"), 0.06),
    Ending(_notes("0:1/2 1/2:1/2 1:1/2 3/2:1/2"), 0.05),
    Ending(_notes("0:1/2 1/2:1 3/2:0"), 0.05),
    Ending(_notes("0:1/2 1/2:1/2 1:1/2 3/2:1/2 2:0"), 0.10),
    Ending(_notes("0:1 1:1/2 3/2:1/2 2:1"), 0.07),
    Ending(_notes("0:1 1:1/2 3/2:1 5/2:1/2"), 0.02),
    Ending(_notes("0:1/2 1/2:1/2 1:1/2 3/2:1/2 2:1/2 5/2:1/2 3:1"), 0.03),
)
