"""What is asked next: days of learners, simulated with the dates that the library gives."""

import random
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from itertools import pairwise

import pytest

from theorykit import KEYS, KINDS_OF_QUESTION, Key, TheoryError, question
from theorykit.show.review_dates import ReviewDates
from theorykit.study.cards import Card, Grade, deck, grade_of, level_of
from theorykit.study.course import CHAPTERS, taught_in
from theorykit.study.drill_wishes import kinds_wanted
from theorykit.study.session import Asked, Past, Session, Tally, weakest_keys
from theorykit.study.sitting import NO_KEY, Sitting

NOW = datetime(2026, 11, 26, 19, 30, tzinfo=UTC)  # a Thursday
DATES = ReviewDates()


class Learner:
    """Somebody who answers what is asked; ``knows`` is the chance of being right."""

    def __init__(self, session: Session, knows: float = 0.8) -> None:
        self.session, self.knows, self.rng = session, knows, random.Random(13)
        self.past = Past()

    def sit_down(self, now: datetime, seconds: int = 30) -> list:
        """A whole session; return what was planned, one after the other."""
        self.past = replace(self.past, new_today=0)
        found, spent = [], 0.0
        while (one := self.session.next(self.past, now, spent=spent)) is not None:
            found.append(one)
            self.answer(one, now)
            spent += seconds / 60
            now += timedelta(seconds=seconds)
        return found

    def answer(self, one, now: datetime) -> None:
        """Answer one question, and let the past grow."""
        is_right = self.rng.random() < self.knows
        card = DATES.reviewed(one.card, grade_of(is_right), now)
        others = tuple(c for c in self.past.cards if c.name != card.name)
        tally = self.past.by_key.get(str(one.key), Tally())
        by_key = {**self.past.by_key, str(one.key): Tally(tally.asked + 1, tally.right + is_right)}
        lately = (Asked(*card.name, str(one.key)), *self.past.lately)
        new = self.past.new_today + one.card.is_new
        self.past = Past((*others, card), lately, by_key, new)


def test_a_first_day_without_a_history_fills_its_minutes():
    learner = Learner(Session(minutes=15))
    asked = learner.sit_down(NOW)
    assert len(asked) == 30
    assert asked[0].why == "New: it has not been asked yet."
    assert sum(one.card.is_new for one in asked) == 10
    assert all(one.level == 1 for one in asked[:10])
    assert len({one.card.kind for one in asked[:10]}) >= 8


def test_kinds_are_mixed_and_no_card_comes_twice_in_a_row():
    learner = Learner(Session(minutes=20))
    for day in range(6):
        asked = learner.sit_down(NOW + timedelta(days=day))
        pairs = list(pairwise(asked))
        assert all(one.card.name != other.card.name for one, other in pairs)
        same = sum(one.card.kind == other.card.kind for one, other in pairs)
        assert same <= len(pairs) // 5


def test_what_is_due_comes_first():
    learner = Learner(Session(minutes=10))
    learner.sit_down(NOW)
    later = NOW + timedelta(days=4)
    due = sum(card.is_due(later) for card in learner.past.cards)
    asked = learner.sit_down(later)
    assert 5 < due < len(asked)
    assert all(one.why.startswith("Due") for one in asked[: due - 1])
    assert any(one.card.is_new for one in asked[due - 1 :])


def test_after_three_months_away_everything_known_is_due_and_the_minutes_still_hold():
    learner = Learner(Session(minutes=10), knows=0.95)
    for day in range(8):
        learner.sit_down(NOW + timedelta(days=day))
    back = NOW + timedelta(days=100)
    assert sum(card.is_due(back) for card in learner.past.cards) > 40
    asked = learner.sit_down(back)
    assert len(asked) == 20
    assert all(one.why.startswith("Due for ") for one in asked)
    assert "days ago" in asked[0].why


def test_a_clock_set_back_neither_stops_nor_floods_a_session():
    learner = Learner(Session(minutes=10), knows=1)
    for day in range(5):
        learner.sit_down(NOW + timedelta(days=day))
    back = NOW - timedelta(days=365)
    asked = learner.sit_down(back)
    assert len(asked) == 20
    assert asked[0].why.startswith("The clock was set back since it was last asked.")
    again = learner.sit_down(back + timedelta(days=1))
    assert len(again) == 20
    assert all(card.last <= NOW + timedelta(days=5) for card in learner.past.cards)


def test_the_key_is_the_weakest_that_has_not_just_been_asked():
    keys = tuple(map(Key.parse, ("C", "Db", "F#", "B")))
    by_key = {"C major": Tally(20, 19), "Db major": Tally(20, 4), "F# major": Tally(20, 12)}
    card = DATES.reviewed(Card("top note", "b9"), Grade.GOOD, NOW)
    past = Past((card,), (Asked("top note", "9", "B major"),), by_key, 10)
    session = Session(kinds=(KINDS_OF_QUESTION[15],), keys=keys)
    assert session.kinds[0].name == "top note"
    later = NOW + timedelta(minutes=30)
    first = session.next(past, later)
    assert str(first.key) == "Db major"
    assert first.why.endswith("In D♭ major you were right 4 of 20 times.")
    seen = []
    for _ in range(4):
        one = session.next(past, later)
        seen.append(str(one.key))
        others = (Asked(*one.card.name, str(one.key)), Asked("top note", "9", "C major"))
        past = replace(past, lately=(others[1], others[0], *past.lately))
    assert seen[:3] == ["Db major", "B major", "F# major"]
    assert len(set(seen)) == 4


def test_every_key_has_its_turn():
    learner = Learner(Session(minutes=15), knows=0.6)
    keys = [one.key for day in range(10) for one in learner.sit_down(NOW + timedelta(days=day))]
    assert {str(key) for key in keys} == {str(key) for key in KEYS}


def test_weakest_keys_put_the_unknown_between_weak_and_strong():
    keys = list(map(Key.parse, ("C", "G", "Db", "E")))
    by_key = {"C major": Tally(9, 9), "Db major": Tally(9, 1), "E major": Tally(1, 1)}
    assert [str(k) for k in weakest_keys(keys, by_key)] == [
        "Db major",
        "G major",
        "E major",
        "C major",
    ]


def test_a_session_says_what_it_will_ask_and_asks_it():
    session = Session()
    ahead = session.ahead(Past(), NOW, 5)
    learner = Learner(session)
    asked = learner.sit_down(NOW)[:5]
    assert [one.card.name for one in ahead] == [one.card.name for one in asked]
    assert all(one.why for one in ahead)


def test_what_is_planned_can_be_asked():
    learner = Learner(Session(minutes=10))
    for one in learner.sit_down(NOW):
        asked = question(one.card.kind, level=one.level, keys=[one.key], topic=one.card.topic)
        assert (asked.kind, asked.topic) == one.card.name
        assert asked.key == one.key


def test_one_card_alone_is_asked_again_and_again():
    kind = next(kind for kind in KINDS_OF_QUESTION if kind.name == "guide tones")
    learner = Learner(Session(minutes=2, kinds=(kind,), keys=(Key.parse("Db"),)))
    assert [one.card.topic for one in learner.sit_down(NOW)] == ["major"] * 4


def test_cards_are_kinds_and_topics_and_never_keys():
    cards = deck()
    assert len({card.name for card in cards}) == len(cards)
    assert len(cards) == sum(len(kind.topics) for kind in KINDS_OF_QUESTION)
    assert len(deck(keys=[Key.parse("C minor")])) < len(cards)


def studied(until: int, knows: float = 0.9) -> Learner:
    """A reader who answered what the first chapters ask, on one evening."""
    learner = Learner(Session(minutes=15), knows)
    for row in CHAPTERS[: until + 1]:
        for one in row.asked:
            card = next((c for c in learner.past.cards if c.name == (one.kind, one.topic)), None)
            new = card or Card(one.kind, one.topic)
            learner.answer(learner.session.placed(new, learner.past, ""), NOW)
    return learner


@pytest.mark.parametrize("until", [1, 3, 4, 7])
def test_what_is_new_comes_from_chapters_that_were_read(until):
    """Ten new cards a day, none of them about what the next chapters only tell."""
    learner = studied(until)
    asked = learner.sit_down(NOW + timedelta(days=1))
    new = [one.card for one in asked if one.card.is_new]
    there = {card.name for card in deck() if taught_in(*card.name) <= until}
    unseen = there - {(one.kind, one.topic) for row in CHAPTERS[: until + 1] for one in row.asked}
    assert [taught_in(*card.name) <= until for card in new[: len(unseen)]].count(False) == 0


def test_new_cards_of_a_day_are_about_many_colours():
    """After the first four chapters no colour has more than two of the ten."""
    learner = studied(4)
    days = [learner.sit_down(NOW + timedelta(days=day)) for day in (1, 2)]
    for asked in days:
        topics = [one.card.topic for one in asked if one.card.is_new]
        assert all(topics.count(topic) <= 2 for topic in topics), topics


def test_the_card_that_was_asked_last_does_not_wait_until_something_else_was_asked_the_next_day():
    card = DATES.reviewed(Card("top note", "b9"), Grade.AGAIN, NOW)
    early = replace(Card("top note", "13"), last=NOW - timedelta(days=1), due=NOW, stability=9.0)
    past = Past((card, early), (Asked("top note", "b9", "D major"),), {}, 10)
    top = tuple(kind for kind in KINDS_OF_QUESTION if kind.name == "top note")
    session = Session(kinds=top)
    assert session.next(past, NOW + timedelta(minutes=10)).card.topic == "13"
    assert session.next(past, NOW + timedelta(days=1)).card.topic == "b9"


def test_what_is_asked_in_no_key_of_a_session_leaves_it_empty_whatever_was_asked_before():
    """A colour that goes to a major I, in minor, after a card that nothing else could follow."""
    session = Session(kinds=kinds_wanted("b9 13"), keys=(Key.parse("B minor"),))
    card = replace(Card("shortcut over V", "b9 13"), last=NOW, due=NOW)
    past = Past((card,), (Asked("shortcut over V", "b9 13", "D major"),))
    assert session.next(past, NOW) is None
    sitting = Sitting("drill", session).opened(past, NOW, 1)
    assert sitting.summary((card,), NOW) == (NO_KEY,)
    assert replace(session, keys=(Key.parse("D"),)).next(past, NOW) is not None


def test_levels_rise_as_a_card_lasts():
    card, now, levels = Card("top note", "b9"), NOW, []
    for _ in range(6):
        levels.append(level_of(card))
        card = DATES.reviewed(card, Grade.GOOD, now)
        now = card.due
    assert levels == sorted(levels)
    assert set(levels) == {1, 2, 3}


@pytest.mark.parametrize(
    "wrong", [{"minutes": 0}, {"minutes": -3}, {"minutes": 10**6}, {"kinds": ()}, {"keys": ()}]
)
def test_what_is_no_session_is_refused(wrong):
    with pytest.raises(TheoryError):
        Session(**wrong)
