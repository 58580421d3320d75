"""A sitting: one drill from its first question to its last words, kept so that it can go on."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping
from dataclasses import asdict, dataclass, replace
from datetime import datetime, timedelta
from typing import Any

from theorykit.errors import TheoryError
from theorykit.harmony.wording import counted, listed
from theorykit.notes.key import Key
from theorykit.notes.note import pretty_words
from theorykit.study import questions
from theorykit.study.cards import LEARNING, Card, deck
from theorykit.study.questions import LEVELS, Question, kind_named
from theorykit.study.session import KEY_UNTOLD, Past, Planned, Session

__all__ = ["Result", "Sitting", "Task", "topic_words", "when_words"]

LONGEST_WAIT = 120.0  # seconds: a reader who stays away longer was not at it
GOES_ON = timedelta(hours=12)  # so long a sitting waits for its reader
MOST_SEED = 10**6
NAMED = 4  # things that a sentence lists
TWICE = 2
NO_KEY = "Nothing of this is asked in these keys: choose major ones, or minor ones."


@dataclass(frozen=True, slots=True)
class Task:
    """One thing that a chapter or a class asks: a kind and a topic, at a level, in a key or any."""

    kind: str
    topic: str
    level: int = 2
    key: str = ""


@dataclass(frozen=True, slots=True)
class Result:
    """What became of one question; ``place`` is that of its task, -1 where there is none."""

    kind: str
    topic: str
    key: str
    right: bool
    hinted: bool = False
    place: int = -1
    given: str = ""


@dataclass(frozen=True, slots=True)
class Opened:
    """What is being asked: everything that makes the question, and why it is asked."""

    kind: str
    topic: str
    key: str
    level: int
    seed: int
    why: str
    place: int = -1

    @property
    def question(self) -> Question:
        """The question itself."""
        return questions.question(
            self.kind, level=self.level, keys=[self.key], seed=self.seed, topic=self.topic
        )

    @property
    def words(self) -> str:
        """What kind of question it is, and where, without giving anything away."""
        key = Key.parse(self.key)
        where = f"on {key.tonic.pretty}" if self.kind in KEY_UNTOLD else f"in {key.pretty}"
        return f"{kind_named(self.kind).title}, {where}"


@dataclass(frozen=True, slots=True)
class Sitting:
    """A drill as it stands: what it asks, what was answered, the minutes, the open question.

    ``what`` is the name that it is kept under. Without ``tasks`` the session asks what the journal
    says; with them each is asked once, and what was wrong once more. ``level`` 0 is that of the
    card. ``minutes`` of waiting above two at one question do not count.

    >>> from datetime import UTC
    >>> now = datetime(2026, 11, 26, 19, 30, tzinfo=UTC)
    >>> sitting = Sitting("drill", Session(15, keys=(Key.parse("Db"),))).opened(Past(), now, 7)
    >>> sitting.open.question.prompt
    'Which shape brings ♭9 over A♭7, on the way to D♭maj7?'
    >>> after = sitting.answered("F", True, seconds=30)
    >>> after.spent, after.open, Sitting.open_again(sitting, sitting.state) == sitting
    (0.5, None, True)
    """

    what: str
    session: Session
    tasks: tuple[Task, ...] = ()
    level: int = 0
    seed: int | None = None  # of the class: everyone is asked the same
    done: tuple[Result, ...] = ()
    spent: float = 0.0
    open: Opened | None = None
    over: bool = False

    def opened(self, past: Past, now: datetime, seed: int) -> Sitting:
        """Return it with its next question, or over; one that is open stays."""
        if self.open is not None or self.over:
            return self
        chosen = self._chosen(past, now)
        if chosen is None:
            return replace(self, over=True)
        planned, place = chosen
        level = self.level or planned.level
        mine = seed % MOST_SEED if self.seed is None else self.seed + place
        card = planned.card
        one = Opened(card.kind, card.topic, str(planned.key), level, mine, planned.why, place)
        return replace(self, open=one)

    def _chosen(self, past: Past, now: datetime) -> tuple[Planned, int] | None:
        """Return what comes next, and the place of its task."""
        if not self.tasks:
            planned = self.session.next(past, now, spent=self.spent)
            return None if planned is None else (planned, -1)
        if self.spent >= self.session.minutes:
            return None
        place, why = self._place()
        return None if place < 0 else (self._planned(place, past, why), place)

    def _place(self) -> tuple[int, str]:
        """Return the place of the next task and why it comes; -1 after the last."""
        asked = [result.place for result in self.done]
        count = len(self.tasks)
        for place in range(count):
            if place not in asked:
                return place, f"Question {place + 1} of {count}."
        right = {result.place for result in self.done if result.right}
        for place in range(count):
            if place not in right and asked.count(place) < TWICE:
                return place, "Once more: it was not right before."
        return -1, ""

    def _planned(self, place: int, past: Past, why: str) -> Planned:
        """Return a task as something planned, in its own key or the weakest one."""
        task = self.tasks[place]
        card = Card(task.kind, task.topic)
        if task.key:
            return Planned(card, Key.parse(task.key), task.level, why)
        used = [result.key for result in self.done]
        fresh = tuple(key for key in self.session.keys if str(key) not in used)
        fits = kind_named(task.kind).fits
        keys = fresh if any(fits(task.topic, key) for key in fresh) else self.session.keys
        found = replace(self.session, keys=keys).placed(card, past, why)
        return replace(found, level=task.level, why=why)

    def answered(
        self, given: str, right: bool, *, seconds: float = 0, hinted: bool = False
    ) -> Sitting:
        """Return it after an answer to the open question."""
        if self.open is None:
            raise TheoryError("nothing is asked (want the next question first)")
        one = self.open
        result = Result(one.kind, one.topic, one.key, right, hinted, one.place, given)
        spent = self.spent + min(max(seconds, 0), LONGEST_WAIT) / 60
        return replace(self, done=(*self.done, result), spent=spent, open=None)

    @property
    def right(self) -> int:
        """How many answers were right."""
        return sum(result.right for result in self.done)

    @property
    def progress(self) -> str:
        """How far one is, in words."""
        if self.tasks:
            left = {*range(len(self.tasks))} - {result.place for result in self.done}
            share = f"{len(self.tasks) - len(left)} of {len(self.tasks)} asked"
        else:
            share = f"{self.spent:.0f} of {self.session.minutes:g} minutes"
        return f"{share}, {self.right} of {len(self.done)} right" if self.done else share

    # === Going on ===

    @property
    def state(self) -> str:
        """What is kept of it: text that ``open_again`` reads."""
        kept = {
            "done": [asdict(result) for result in self.done],
            "spent": self.spent,
            "open": None if self.open is None else asdict(self.open),
            "over": self.over,
        }
        return json.dumps(kept)

    def open_again(self, state: str, *, always: bool = False) -> Sitting:
        """Return it as it was kept; where that cannot be read, or is over, it begins anew.

        With ``always`` one that is over stays so.
        """
        try:
            kept = json.loads(state)
            done = tuple(Result(**one) for one in kept["done"])
            one = None if kept["open"] is None else Opened(**kept["open"])
            spent = float(kept["spent"])
            over = kept["over"] is True
            if (over and not always) or (one is not None and not self._asks(one)):
                return self
        except (ValueError, TypeError, KeyError, RecursionError, TheoryError):
            return self
        return replace(self, done=done, spent=spent, open=one, over=over)

    def _asks(self, one: Opened) -> bool:
        """Tell whether an open question is one that this sitting could ask."""
        kind = kind_named(one.kind)
        known = one.topic in kind.topics and one.level in LEVELS
        if self.tasks:
            return known and 0 <= one.place < len(self.tasks)
        mine = {kind.name: kind for kind in self.session.kinds}
        topics = mine[one.kind].topics if one.kind in mine else ()
        return known and one.topic in topics and Key.parse(one.key) in self.session.keys

    def gone_on(
        self, kept: tuple[datetime, str] | None, now: datetime, *, always: bool = False
    ) -> Sitting:
        """Return it as the journal kept it, unless that was left too long ago or is over.

        With ``always`` neither matters.
        """
        if kept is None or (now - kept[0] > GOES_ON and not always):
            return self
        return self.open_again(kept[1], always=always)

    # === The end ===

    def summary(self, cards: Iterable[Card], now: datetime) -> tuple[str, ...]:
        """Say what was right, what comes next, when, and why.

        >>> from datetime import UTC
        >>> now = datetime(2026, 11, 26, 19, 30, tzinfo=UTC)
        >>> Sitting("drill", Session()).summary((), now)
        ('Nothing was asked.', 'Nothing waits: the next sitting brings what is new.')
        """
        if not self.done and not self.tasks and not deck(self.session.kinds, self.session.keys):
            return (NO_KEY,)
        if not self.done:
            return "Nothing was asked.", _next_words({}, cards, now)
        last = {(one.kind, one.topic): one for one in self.done}
        spent = counted(round(self.spent), "minute") if self.spent >= 1 else "less than a minute"
        right = f"{self.right} of {len(self.done)} right, in {spent}."
        wrong = [topic_words(*name) for name, one in last.items() if not one.right]
        again = f"Not yet: {_some(wrong)}." if wrong else "Everything was right in the end."
        return right, again, _next_words(last, cards, now)


def _some(names: list[str]) -> str:
    """List some names, and say how many more there are."""
    more = len(names) - NAMED
    return listed([*names[:NAMED], *([f"{more} more"] if more > 0 else [])])


def topic_words(kind: str, topic: str) -> str:
    """Return what a card is about, for a list: its kind and its topic.

    >>> topic_words("shortcut over V", "b9 13")
    'shortcut over V (♭9 13)'
    """
    return f"{kind} ({pretty_words(topic)})"


def when_words(when: datetime, now: datetime) -> str:
    """Say how far away a time is.

    >>> now = datetime(2026, 11, 26, 19, 30)
    >>> [when_words(now + timedelta(hours=hours), now) for hours in (-1, 0.2, 5, 20, 100)]
    ['now', 'in 12 minutes', 'in five hours', 'in a day', 'in four days']
    """
    minutes = (when - now) / timedelta(minutes=1)
    if minutes <= 0:
        return "now"
    if minutes < 90:
        return f"in {counted(round(minutes) or 1, 'minute')}"
    if minutes < 16 * 60:
        return f"in {counted(round(minutes / 60), 'hour')}"
    days = round(minutes / 60 / 24) or 1
    return "in a day" if days == 1 else f"in {counted(days, 'day')}"


def _next_words(
    last: Mapping[tuple[str, str], Result], cards: Iterable[Card], now: datetime
) -> str:
    """Say which card comes next, when, and why then."""
    waiting = sorted((card for card in cards if card.due), key=lambda card: card.due or now)
    if not waiting:
        return "Nothing waits: the next sitting brings what is new."
    card = waiting[0]
    due: Any = card.due
    when = "now" if card.is_due(now) else when_words(due, now)
    return f"Next: {topic_words(*card.name)}, {when}, because {_why(last.get(card.name), card)}."


def _why(result: Result | None, card: Card) -> str:
    """Say why a card has its date."""
    if result is not None and not result.right:
        return "it was not right"
    if result is not None and result.hinted:
        return "you read the hint"
    if not card.stability or card.state == LEARNING:
        return "it is still new"
    days = max(1, round(card.stability))
    return f"after {counted(days, 'day')} you would still know it nine times in ten"
