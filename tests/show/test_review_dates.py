"""Dates of cards against the library's own published examples, and what it does not know of."""

from datetime import UTC, datetime, timedelta, timezone

import pytest

from theorykit.errors import TheoryError
from theorykit.show.review_dates import ReviewDates
from theorykit.study.cards import Card, Grade

START = datetime(2022, 11, 29, 12, 30, tzinfo=UTC)
CARD = Card("shortcut over V", "b9 13")


def test_intervals_are_those_that_the_library_publishes():
    """Source: open-spaced-repetition/py-fsrs (MIT), version 6.3, tests/test_basic.py."""
    dates, card, now, days = ReviewDates(), CARD, START, []
    for grade in [Grade.GOOD] * 6 + [Grade.AGAIN] * 2 + [Grade.GOOD] * 5:
        card = dates.reviewed(card, grade, now)
        days.append((card.due - card.last).days)
        now = card.due
    assert days == [0, 2, 11, 46, 163, 498, 0, 0, 2, 4, 7, 12, 21]


def test_what_is_remembered_is_what_the_library_publishes():
    """Source: as above, test_memo_state."""
    dates, card, now = ReviewDates(), CARD, START
    grades = [Grade.AGAIN] + [Grade.GOOD] * 5
    for grade, days in zip(grades, [0, 0, 1, 3, 8, 21], strict=True):
        now += timedelta(days=days)
        card = dates.reviewed(card, grade, now)
    assert card.stability == pytest.approx(53.62691, abs=1e-4)
    assert card.difficulty == pytest.approx(6.3574867, abs=1e-4)


def test_a_card_comes_again_in_a_minute_ten_minutes_or_days():
    """Source: as above, the tests of learning steps."""
    dates = ReviewDates()
    found = {grade: dates.reviewed(CARD, grade, START).due - START for grade in Grade}
    assert found[Grade.AGAIN] == timedelta(minutes=1)
    assert found[Grade.HARD] == timedelta(minutes=5.5)
    assert found[Grade.GOOD] == timedelta(minutes=10)
    assert found[Grade.EASY] >= timedelta(days=1)


def known(days: int = 0) -> Card:
    """A card that was answered well three times, the last time some days after the second."""
    dates, card, now = ReviewDates(), CARD, START
    for _ in range(3):
        card = dates.reviewed(card, Grade.GOOD, now)
        now = card.due + timedelta(days=days)
    return card


def test_a_longer_pause_that_was_survived_gives_a_longer_one():
    assert known(90).stability > known(0).stability


def test_recall_falls_with_time_and_is_nine_in_ten_on_the_date():
    dates, card = ReviewDates(), known()
    shares = [dates.recall(card, card.last + timedelta(days=n)) for n in (0, 1, 5, 90, 900)]
    assert shares == sorted(shares, reverse=True)
    assert shares[0] == 1
    assert dates.recall(card, card.due) == pytest.approx(0.9, abs=0.01)
    assert dates.recall(CARD, START) == 0


def test_a_clock_that_was_set_back_makes_no_debt_and_no_gap():
    dates, card = ReviewDates(), known()
    back = card.last - timedelta(days=4000)
    again = dates.reviewed(card, Grade.GOOD, back)
    assert again.last == back
    assert back < again.due < back + timedelta(days=60)
    assert again.stability >= card.stability


def test_any_time_zone_is_the_same_moment():
    away = START.astimezone(timezone(timedelta(hours=-7)))
    dates = ReviewDates()
    assert dates.reviewed(CARD, Grade.GOOD, away) == dates.reviewed(CARD, Grade.GOOD, START)


def test_more_is_asked_of_who_wants_to_keep_more():
    def next_days(retention: float) -> int:
        dates, card = ReviewDates(retention), known()
        return (dates.reviewed(card, Grade.GOOD, card.due).due - card.due).days

    assert next_days(0.97) < next_days(0.9) < next_days(0.8)


@pytest.mark.parametrize("retention", [0, 0.3, 1, 1.5, float("nan")])
def test_a_retention_that_is_none_is_refused(retention):
    with pytest.raises(TheoryError, match="not a retention"):
        ReviewDates(retention)
