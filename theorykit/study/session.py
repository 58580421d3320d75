"""A session: what to ask next and why, what is due first, kinds mixed, the weakest keys first."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import datetime, timedelta
from types import MappingProxyType

from theorykit.errors import TheoryError, shown
from theorykit.harmony.wording import counted
from theorykit.notes.key import KEYS, Key
from theorykit.notes.note import pretty_words
from theorykit.study.cards import Card, deck, level_of
from theorykit.study.course import reached, taught_in
from theorykit.study.questions import KINDS_OF_QUESTION, QuestionKind, kind_named

__all__ = ["KEY_UNTOLD", "Asked", "Past", "Planned", "Session", "Tally", "weakest_keys"]

NEW_A_DAY = 10
REST = 5  # askings of a card for which one of its keys rests
LONGEST = 24 * 60  # minutes
JUST = timedelta(hours=1)  # so long the card that was asked last lets others go first
KEY_UNTOLD = frozenset(("major or minor target",))  # kinds whose key would give the answer away
Why = Callable[[Card, datetime], str]


@dataclass(frozen=True, slots=True)
class Asked:
    """What was asked: a kind, a topic, and the key."""

    kind: str
    topic: str
    key: str

    @property
    def card(self) -> tuple[str, str]:
        """The card that it was."""
        return self.kind, self.topic


@dataclass(frozen=True, slots=True)
class Tally:
    """How often something was asked, and how often the answer was right.

    >>> Tally(4, 3).share, Tally().share
    (0.6666666666666666, 0.5)
    """

    asked: int = 0
    right: int = 0

    @property
    def share(self) -> float:
        """The share of right answers, drawn towards one half while there are few."""
        return (self.right + 1) / (self.asked + 2)


@dataclass(frozen=True, slots=True)
class Past:
    """What a session needs of the journal: cards, last askings (newest first), keys, new ones.

    ``new_today`` counts the cards that were first asked since midnight in UTC.
    """

    cards: tuple[Card, ...] = ()
    lately: tuple[Asked, ...] = ()
    by_key: Mapping[str, Tally] = field(default_factory=lambda: MappingProxyType({}))
    new_today: int = 0


@dataclass(frozen=True, slots=True)
class Planned:
    """What is asked next: the card, the key, the level, and why, in a sentence."""

    card: Card
    key: Key
    level: int
    why: str


def weakest_keys(keys: Iterable[Key], by_key: Mapping[str, Tally]) -> tuple[Key, ...]:
    """Return keys in the order in which they are weakest: by the share of right answers.

    >>> keys = [Key.parse(name) for name in ("C", "Db", "F#")]
    >>> found = weakest_keys(keys, {"C major": Tally(9, 9), "F# major": Tally(4, 1)})
    >>> [str(key) for key in found]
    ['F# major', 'Db major', 'C major']
    """

    def weakness(key: Key) -> tuple[float, int]:
        tally = by_key.get(str(key), Tally())
        return tally.share, tally.asked

    return tuple(sorted(keys, key=weakness))


@dataclass(frozen=True, slots=True)
class Session:
    """A session of some minutes on some kinds of question in some keys.

    >>> from datetime import UTC
    >>> session = Session(minutes=15, keys=(Key.parse("Db"), Key.parse("F")))
    >>> now = datetime(2026, 11, 26, 19, 30, tzinfo=UTC)
    >>> first = session.next(Past(), now)
    >>> first.card.name, str(first.key), first.why
    (('shortcut over V', 'b9'), 'Db major', 'New: it has not been asked yet.')
    >>> session.next(Past(), now, spent=15) is None
    True
    """

    minutes: float = 15
    kinds: tuple[QuestionKind, ...] = KINDS_OF_QUESTION
    keys: tuple[Key, ...] = KEYS
    new_a_day: int = NEW_A_DAY

    def __post_init__(self) -> None:
        """Refuse what is no session."""
        if not 0 < self.minutes <= LONGEST:
            raise TheoryError(f"not minutes: {shown(self.minutes)} (want above 0, to {LONGEST})")
        if not self.kinds or not self.keys:
            raise TheoryError("a session without kinds or keys (want at least one of each)")

    def next(self, past: Past, now: datetime, *, spent: float = 0) -> Planned | None:
        """Return what to ask next, or None when the minutes are over; ``spent`` is in minutes.

        What is due comes first, what was nearly forgotten before the rest; then new cards, as many
        as a day may bring, those of chapters that were read before those that are ahead; then what
        would be due soonest. The card that was just asked waits, and where there is a choice
        another kind comes than the last one.
        """
        if spent >= self.minutes:
            return None
        return next(self._planned(past, now), None)

    def ahead(self, past: Past, now: datetime, count: int = 5) -> tuple[Planned, ...]:
        """Return what would be asked next if every answer were put off: a look ahead.

        >>> from datetime import UTC
        >>> now = datetime(2026, 11, 26, 19, 30, tzinfo=UTC)
        >>> [one.card.kind for one in Session().ahead(Past(), now, 3)]
        ['shortcut over V', 'guide tones', 'substitute']
        """
        found: list[Planned] = []
        while len(found) < count and (one := self.next(past, now)) is not None:
            found.append(one)
            past = _put_off(past, one, now)
        return tuple(found)

    def _planned(self, past: Past, now: datetime) -> Iterator[Planned]:
        """Yield what to ask, the best first."""
        last = past.lately[0] if past.lately else None
        for group, why in self._groups(past, now):
            fresh = [card for card in group if not _was_just_asked(card, last, now)]
            other = [card for card in fresh if last is None or card.kind != last.kind]
            for card in (*other[:1], *fresh[:1]):
                yield self.placed(card, past, why(card, now))
        for card in self._asked_again(past):
            yield self.placed(card, past, "It is the only card there is.")

    def _groups(self, past: Past, now: datetime) -> Iterator[tuple[Sequence[Card], Why]]:
        """Yield the cards that may be asked: due, new, known; each with its reason."""
        whole = {card.name: card for card in deck(self.kinds, self.keys)}
        seen = [card for card in past.cards if card.name in whole and not card.is_new]
        due = [card for card in seen if card.is_due(now)]
        yield sorted(due, key=lambda card: -_overdue(card, now)), why_due
        known = {card.name for card in seen}
        new = [card for name, card in whole.items() if name not in known]
        free = max(0, self.new_a_day - past.new_today)
        ordered = _after(new, past, reached(known))
        yield ordered[: None if free else 0], why_new
        later = [card for card in seen if not card.is_due(now)]
        yield sorted(later, key=lambda card: card.due or now), why_early
        yield ordered, why_new

    def _asked_again(self, past: Past) -> tuple[Card, ...]:
        """Return the card that was just asked, if it is one of this session; there is no other."""
        names = {card.name for card in deck(self.kinds, self.keys)}
        names &= {one.card for one in past.lately[:1]}
        return tuple(card for card in past.cards if card.name in names)

    def placed(self, card: Card, past: Past, why: str) -> Planned:
        """Return a card with the weakest key that does not rest, its level, and why it comes.

        >>> card = Card("guide tones", "minor")
        >>> str(Session(keys=(Key.parse("C"), Key.parse("Bbm"))).placed(card, Past(), "").key)
        'Bb minor'
        """
        kind = kind_named(card.kind)
        fitting = [key for key in self.keys if kind.fits(card.topic, key)]
        order = weakest_keys(fitting, past.by_key)
        rests = [one.key for one in past.lately if one.card == card.name]
        last = [one.key for one in past.lately[:1]]  # no key twice in a row, if there are others
        tired = set([*dict.fromkeys([*rests[:REST], *last])][: len(order) - 1])
        key = next(key for key in order if str(key) not in tired)
        tells = "" if card.kind in KEY_UNTOLD else _why_key(key, past)
        return Planned(card, key, level_of(card), why + tells)


def _was_just_asked(card: Card, last: Asked | None, now: datetime) -> bool:
    """Tell whether a card was the last one, and not so long ago that it is another sitting."""
    if last is None or card.name != last.card:
        return False
    return card.last is None or now - card.last < JUST


def _after(new: Sequence[Card], past: Past, until: int) -> list[Card]:
    """Return new cards: of chapters that were read, of kinds and then topics not asked lately."""
    lately = past.lately[: len(KINDS_OF_QUESTION)]
    kinds, topics = {one.kind for one in lately}, [one.topic for one in lately]

    def place(card: Card) -> tuple[int, bool, int]:
        ahead = max(taught_in(card.kind, card.topic), until)
        return ahead, card.kind in kinds, topics.count(card.topic)

    return sorted(new, key=place)


def _overdue(card: Card, now: datetime) -> float:
    """Return how long ago a card was asked, in units of its stability: high is forgotten."""
    if card.last is None or not card.stability:
        return 0.0
    return max(timedelta(0), now - card.last) / timedelta(days=1) / card.stability


def _put_off(past: Past, one: Planned, now: datetime) -> Past:
    """Return the past as if a card had been asked and were due tomorrow."""
    asked = replace(one.card, last=now, due=now + timedelta(days=1))
    others = tuple(card for card in past.cards if card.name != one.card.name)
    lately = (Asked(one.card.kind, one.card.topic, str(one.key)), *past.lately)
    new_today = past.new_today + one.card.is_new
    return replace(past, cards=(*others, asked), lately=lately, new_today=new_today)


def why_due(card: Card, now: datetime) -> str:
    """Say why a card is due."""
    if card.is_ahead_of(now) or card.last is None or card.due is None:
        return "The clock was set back since it was last asked."
    days, late = (now - card.last).days, (now - card.due).days
    if not days:
        return "Due again: asked a while ago."
    asked = f"last asked {_ago(days)}"
    return f"Due for {counted(late, 'day')}: {asked}." if late else f"Due today: {asked}."


def _ago(days: int) -> str:
    """Say how long ago, in days."""
    return "a day ago" if days == 1 else f"{counted(days, 'day')} ago"


def why_new(card: Card, now: datetime) -> str:
    """Say that a card is new."""
    return "New: it has not been asked yet."


def why_early(card: Card, now: datetime) -> str:
    """Say that nothing is due, and when this one would be."""
    days = ((card.due or now) - now).days
    when = f"in {counted(days, 'day')}" if days else "today"
    return f"Nothing is due; this would come next, {when}."


def _why_key(key: Key, past: Past) -> str:
    """Say why this key, where something is known of it."""
    tally = past.by_key.get(str(key))
    if tally is None or not tally.asked:
        return ""
    where = pretty_words(str(key))
    if tally.asked == 1:
        return f" In {where} you were {'right' if tally.right else 'wrong'} the one time before."
    return f" In {where} you were right {tally.right} of {tally.asked} times."
