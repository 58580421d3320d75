"""Cards: what is asked again, how an answer is graded, and when a card is due.

A card is a kind of question about one colour or fact. Keys are no cards: they go round.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from enum import IntEnum
from functools import lru_cache
from itertools import chain, zip_longest
from typing import Protocol

from theorykit.notes.key import KEYS, Key
from theorykit.study.questions import KINDS_OF_QUESTION, QuestionKind

__all__ = ["LEARNING", "Card", "Grade", "Memory", "deck", "grade_of", "level_of"]

LEARNING = 1  # the state of a card that has not been known for a day yet
SETTLED, LASTING = 2.0, 14.0  # days of stability from which a card is asked at level 2 and 3
QUICK = 3  # times as fast as allowed is easy


class Grade(IntEnum):
    """How well an answer was known: the four grades of spaced repetition."""

    AGAIN = 1
    HARD = 2
    GOOD = 3
    EASY = 4


@dataclass(frozen=True, slots=True)
class Card:
    """A kind of question about one topic, and what is remembered of it.

    ``stability`` is the days after which it would still be known nine times in ten, ``difficulty``
    goes from 1 to 10; ``state`` and ``step`` are the scheduler's. A new card has no dates.

    >>> Card("guide tones", "minor").is_new
    True
    """

    kind: str
    topic: str
    due: datetime | None = None
    last: datetime | None = None
    stability: float | None = None
    difficulty: float | None = None
    state: int = LEARNING
    step: int | None = 0

    @property
    def name(self) -> tuple[str, str]:
        """What tells it from other cards."""
        return self.kind, self.topic

    @property
    def is_new(self) -> bool:
        """True for a card that was never asked."""
        return self.last is None

    def is_ahead_of(self, now: datetime) -> bool:
        """Tell whether it was asked at a time that has not come: the clock was set back since."""
        return self.last is not None and self.last > now

    def is_due(self, now: datetime) -> bool:
        """Tell whether it is to be asked again; after a clock was set back nobody waits for it.

        >>> from datetime import UTC, timedelta
        >>> then = datetime(2026, 11, 26, 19, 30, tzinfo=UTC)
        >>> card = Card("guide tones", "minor", due=then + timedelta(days=3), last=then)
        >>> [card.is_due(then + timedelta(days=days)) for days in (1, 3, 90, -365)]
        [False, True, True, True]
        """
        return self.due is not None and (self.due <= now or self.is_ahead_of(now))


class Memory(Protocol):
    """What knows how a card is remembered."""

    def reviewed(self, card: Card, grade: Grade, when: datetime) -> Card:
        """Return the card after an answer at a time."""


def grade_of(
    is_right: bool,
    *,
    hinted: bool = False,
    seconds: float | None = None,
    allowed: float | None = None,
) -> Grade:
    """Return the grade of an answer; only where a time is ``allowed`` do the seconds count.

    >>> grade_of(False).name, grade_of(True, hinted=True).name, grade_of(True, seconds=60).name
    ('AGAIN', 'HARD', 'GOOD')
    >>> [grade_of(True, seconds=seconds, allowed=9).name for seconds in (2, 5, 12)]
    ['EASY', 'GOOD', 'HARD']
    """
    if not is_right:
        return Grade.AGAIN
    timed = seconds is not None and allowed is not None
    if hinted or (timed and seconds > allowed):  # type: ignore[operator]
        return Grade.HARD
    return Grade.EASY if timed and seconds * QUICK <= allowed else Grade.GOOD  # type: ignore[operator]


def level_of(card: Card) -> int:
    """Return the level to ask a card at: nothing is offered for what is known well.

    >>> [level_of(Card("top note", "b9", stability=days)) for days in (None, 3, 30)]
    [1, 2, 3]
    """
    days = card.stability or 0
    return 1 + (days >= SETTLED) + (days >= LASTING)


def deck(
    kinds: Iterable[QuestionKind] = KINDS_OF_QUESTION, keys: Iterable[Key] = KEYS
) -> tuple[Card, ...]:
    """Return the new cards of some kinds that can be asked in some keys, the kinds in turn.

    >>> [card.name for card in deck()[:2]]
    [('shortcut over V', 'b9'), ('shortcut to I', 'b9')]
    """
    return _deck(tuple(kinds), tuple(keys))


@lru_cache(maxsize=64)
def _deck(kinds: tuple[QuestionKind, ...], keys: tuple[Key, ...]) -> tuple[Card, ...]:
    """Return the cards of some kinds, in turn."""
    rows = [
        [Card(kind.name, one) for one in kind.topics if any(kind.fits(one, key) for key in keys)]
        for kind in kinds
    ]
    return tuple(card for card in chain(*zip_longest(*rows)) if card is not None)
