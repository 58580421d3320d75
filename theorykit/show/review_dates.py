"""Review dates: when a card is asked again, by the open scheduler of the ``fsrs`` library (MIT).

Its default parameters and the wanted retention of nine in ten are kept, as its authors advise for
whoever has no long history of answers to fit them to. Dates are not spread at random: the same
answers give the same dates.
"""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime

import fsrs

from theorykit.errors import TheoryError, shown
from theorykit.study.cards import Card, Grade

__all__ = ["ReviewDates"]

RETENTION = 0.9  # the share of cards that should still be known on their date


class ReviewDates:
    """Gives cards their next date.

    >>> from datetime import timedelta
    >>> dates, now = ReviewDates(), datetime(2026, 11, 26, 19, 30, tzinfo=UTC)
    >>> card = dates.reviewed(Card("guide tones", "minor"), Grade.GOOD, now)
    >>> card.due - now, round(dates.recall(card, now + timedelta(days=5)), 2)
    (datetime.timedelta(seconds=600), 0.84)
    """

    def __init__(self, retention: float = RETENTION) -> None:
        if not 0.5 <= retention < 1:
            raise TheoryError(f"not a retention: {shown(retention)} (want 0.5 up to below 1)")
        self._scheduler = fsrs.Scheduler(desired_retention=retention, enable_fuzzing=False)

    def reviewed(self, card: Card, grade: Grade, when: datetime) -> Card:
        """Return a card after an answer; a clock that was set back counts as no time at all."""
        now = when.astimezone(UTC)
        if card.is_ahead_of(now):
            card = replace(card, last=now)
        theirs, _ = self._scheduler.review_card(_theirs(card, now), fsrs.Rating(grade), now)
        return replace(
            card,
            due=theirs.due,
            last=theirs.last_review,
            stability=theirs.stability,
            difficulty=theirs.difficulty,
            state=int(theirs.state),
            step=theirs.step,
        )

    def recall(self, card: Card, when: datetime) -> float:
        """Return how probable it is that a card is known at a time, from 0 to 1."""
        now = when.astimezone(UTC)
        return float(self._scheduler.get_card_retrievability(_theirs(card, now), now))


def _theirs(card: Card, now: datetime) -> fsrs.Card:
    """Return a card as the library has it."""
    return fsrs.Card(
        card_id=0,
        state=fsrs.State(card.state),
        step=card.step,
        stability=card.stability,
        difficulty=card.difficulty,
        due=card.due or now,
        last_review=card.last,
    )
