"""The journal: what was asked, answered and practised, and notes of one's own, in one file."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from os import PathLike, fspath
from pathlib import Path

from theorykit.errors import TheoryError, shown
from theorykit.notes.key import Key
from theorykit.study.cards import Card, Memory, grade_of
from theorykit.study.journal_store import COLUMNS, JournalStore
from theorykit.study.questions import Judgement, Question
from theorykit.study.session import Asked, Past, Tally

__all__ = ["Journal"]

LONGEST_TEXT = 10_000  # characters of a note or an answer
MOST_MINUTES = 24 * 60
LATELY = 200  # askings that a session looks back on
FREE_TEXT = frozenset(("given", "what", "about", "words"))  # what readers write themselves
FORMULA_SIGNS = ("=", "+", "-", "@", "\t", "\r")  # a spreadsheet takes such a text for a formula


@dataclass(frozen=True, slots=True)
class Answer:
    """One answer, as the journal keeps it; ``seconds`` is None where nobody looked at the clock."""

    at: datetime
    kind: str
    topic: str
    level: int
    key: str
    asked: str
    given: str
    is_right: bool
    seconds: float | None
    hinted: bool


@dataclass(frozen=True, slots=True)
class Stint:
    """Some minutes of practice: of what, at which tempo in beats a minute, in which keys."""

    at: datetime
    what: str
    minutes: float
    tempo: float | None
    keys: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Note:
    """A note of one's own; ``about`` is what it is on, or empty."""

    at: datetime
    about: str
    words: str


class Journal:
    """A journal in one SQLite file that only its owner may read. Nothing leaves the machine.

    The file is made where there is none, and opened anew for everything that is read or written,
    so that two notebooks may use it at once. Rows stand in the order in which they were written,
    whatever the clock said.

    pandas reads a table in one line, from the file or from its CSV text:
    ``pandas.read_sql("select * from answers", sqlite3.connect(journal.path))`` or
    ``pandas.read_csv(io.StringIO(journal.csv("answers")))``.

    >>> from tempfile import TemporaryDirectory
    >>> with TemporaryDirectory() as folder:
    ...     journal = Journal(f"{folder}/journal.sqlite")
    ...     journal.practised("Ida's turn", 12, tempo=96, keys=["Db", "Gb"])
    ...     journal.noted("the landing comes late", about="Ida's turn")
    ...     [(one.what, one.minutes, one.keys) for one in journal.practice]
    [("Ida's turn", 12.0, ('Db major', 'Gb major'))]
    >>> from dataclasses import replace
    >>> from datetime import UTC, datetime, timedelta
    >>> from theorykit import question
    >>> folder, thursday = TemporaryDirectory(), datetime(2026, 11, 26, 19, 30, tzinfo=UTC)
    >>> journal = Journal(f"{folder.name}/journal.sqlite")
    >>> class NextWeek:  # what gives an answered card its next date
    ...     def reviewed(self, card, grade, when):
    ...         return replace(card, last=when, due=when + timedelta(days=7))
    >>> asked = question("degree of a note", keys=["Db"], seed=3)
    >>> asked.prompt, asked.answer
    ('Which degree of A♭7 is B♭♭?', 'b9')
    >>> said = asked.judge(asked.answer)
    >>> card = journal.answered(
    ...     asked, asked.answer, said, memory=NextWeek(), seconds=6, at=thursday
    ... )
    >>> [(one.kind, one.key, one.is_right) for one in journal.answers]
    [('degree of a note', 'Db major', True)]
    >>> journal.cards == (card,), journal.due_by(thursday), journal.past(thursday).new_today
    (True, (), 1)
    >>> len(journal.due_by(thursday + timedelta(days=7)))
    1
    >>> journal.practised("Ida's turn", 12, tempo=96, at=thursday)
    >>> journal.weeks(), journal.drilled_weeks(), journal.tempos()
    ({datetime.date(2026, 11, 23): 12.0}, {datetime.date(2026, 11, 23): 0.1}, {"Ida's turn": 96.0})
    >>> journal.noted("the landing comes late", at=thursday)
    >>> print(journal.csv("notes"), end="")
    at,about,words
    2026-11-26T19:30:00+00:00,,the landing comes late
    >>> journal.forget_last("notes"), journal.notes, journal.bring_back(), len(journal.notes)
    (True, (), 1, 1)
    >>> journal.sit("Thursday", "five of ten", at=thursday)
    >>> journal.sitting("Thursday")[1], journal.sitting("Sunday")
    ('five of ten', None)
    >>> journal.forget("practice"), journal.forget_for_good(), journal.bring_back()
    (1, None, 0)
    >>> folder.cleanup()
    """

    def __init__(self, path: str | PathLike[str]) -> None:
        try:
            self.path = Path(fspath(path))
        except TypeError:
            raise TheoryError(f"not a path: {shown(path)} (want the path of a file)") from None
        self._store = JournalStore(self.path)

    def answered(
        self,
        asked: Question,
        given: object,
        judged: Judgement,
        *,
        memory: Memory,
        seconds: float | None = None,
        allowed: float | None = None,
        hinted: bool = False,
        at: datetime | None = None,
        sitting: tuple[str, str] | None = None,
    ) -> Card:
        """Keep an answer with how it was judged; return its card with the next date.

        ``seconds`` is how long it took, and counts only where a time was ``allowed``; ``hinted``
        tells that the hint was read. ``memory`` gives the date. ``sitting`` is the name and the
        state of the sitting that the answer belongs to, kept with it.
        """
        when = _when(at)
        grade = grade_of(judged.right, hinted=hinted, seconds=seconds, allowed=allowed)
        values = {
            **{"at": _text(when), "kind": asked.kind, "topic": asked.topic, "level": asked.level},
            **{"key": str(asked.key), "asked": asked.prompt, "given": _given(given)},
            **{"is_right": judged.right, "seconds": seconds, "hinted": hinted},
        }
        name = (asked.kind, asked.topic)
        return self._store.answer(
            values, name, lambda card: memory.reviewed(card, grade, when), sitting
        )

    def sit(self, what: str, state: str, *, at: datetime | None = None) -> None:
        """Keep the state of a sitting, so that it goes on after a restart."""
        self._store.sit(what, state, _text(_when(at)))

    def sitting(self, what: str) -> tuple[datetime, str] | None:
        """Return when a sitting was last kept, and its state; None where there is none."""
        rows = self._store.ask("SELECT at, state FROM sittings WHERE what = ?", [what])
        return (_read(rows[0][0]), str(rows[0][1])) if rows else None

    def forget(self, table: str) -> int:
        """Put all answers, all practice or all notes aside; return how many there were.

        ``bring_back`` is the way back, ``forget_for_good`` ends it.

        >>> from tempfile import TemporaryDirectory
        >>> with TemporaryDirectory() as folder:
        ...     journal = Journal(f"{folder}/journal.sqlite")
        ...     journal.noted("the landing comes late")
        ...     journal.forget("notes"), journal.notes, journal.bring_back(), len(journal.notes)
        (1, (), 1, 1)
        """
        return self._store.forget(_table(table))

    def forget_last(self, table: str) -> bool:
        """Put the last answer, stint or note aside, and tell whether there was one."""
        return self._store.forget_last(_table(table))

    def bring_back(self) -> int:
        """Bring everything back that was put aside and not forgotten for good."""
        return self._store.bring_back()

    def forget_for_good(self) -> None:
        """Take what was put aside out of the file."""
        self._store.forget_for_good()

    def practised(
        self,
        what: str,
        minutes: float,
        *,
        tempo: float | None = None,
        keys: Iterable[Key | str] = (),
        at: datetime | None = None,
    ) -> None:
        """Keep some minutes of practice."""
        if not 0 < minutes <= MOST_MINUTES:
            raise TheoryError(f"not minutes: {shown(minutes)} (want above 0, to {MOST_MINUTES})")
        if tempo is not None and not tempo > 0:
            raise TheoryError(f"not a tempo: {shown(tempo)} (want beats a minute)")
        names = [str(key if isinstance(key, Key) else Key.parse(key)) for key in keys]
        values = {"at": _text(_when(at)), "what": _words(what), "minutes": float(minutes)}
        self._store.add("practice", {**values, "tempo": tempo, "keys": ", ".join(names)})

    def noted(self, words: str, *, about: str = "", at: datetime | None = None) -> None:
        """Keep a note of one's own."""
        about = _words(about) if about else ""
        self._store.add("notes", {"at": _text(_when(at)), "about": about, "words": _words(words)})

    @property
    def answers(self) -> tuple[Answer, ...]:
        """All answers, the oldest first."""
        return tuple(
            Answer(_read(at), kind, topic, level, key, asked, given, bool(right), secs, bool(hint))  # type: ignore[arg-type]
            for at, kind, topic, level, key, asked, given, right, secs, hint in self._store.rows(
                "answers"
            )
        )

    @property
    def practice(self) -> tuple[Stint, ...]:
        """All practice, the oldest first."""
        return tuple(
            Stint(_read(at), what, minutes, tempo, tuple(filter(None, str(keys).split(", "))))  # type: ignore[arg-type]
            for at, what, minutes, tempo, keys in self._store.rows("practice")
        )

    @property
    def notes(self) -> tuple[Note, ...]:
        """All notes, the oldest first."""
        return tuple(
            Note(_read(at), str(about), str(words))
            for at, about, words in self._store.rows("notes")
        )

    @property
    def cards(self) -> tuple[Card, ...]:
        """The cards that were asked, with their dates."""
        return self._store.cards()

    def due_by(self, when: datetime) -> tuple[Card, ...]:
        """Return the cards that are due by a time, the first due first."""
        due = [card for card in self.cards if card.is_due(when)]
        return tuple(sorted(due, key=lambda card: card.due or when))

    def past(self, now: datetime) -> Past:
        """Return what a session needs to know."""
        lately = self._store.ask(
            f"SELECT kind, topic, key FROM answers ORDER BY id DESC LIMIT {LATELY}"
        )
        day = _when(now).date().isoformat()
        (new,) = self._store.ask("SELECT count(*) FROM cards WHERE substr(first, 1, 10) = ?", [day])
        by_key = {key: tally for (key,), tally in self._tallies("key").items()}
        asked = tuple(Asked(str(kind), str(topic), str(key)) for kind, topic, key in lately)
        return Past(self.cards, asked, by_key, int(str(new[0])))

    def known(self) -> dict[tuple[str, str], Tally]:
        """Return for each key and topic that was asked how often, and how often it was right.

        >>> from tempfile import TemporaryDirectory
        >>> with TemporaryDirectory() as folder:
        ...     Journal(f"{folder}/journal.sqlite").known()
        {}
        """
        return {(key, topic): tally for (key, topic), tally in self._tallies("key, topic").items()}

    def _tallies(self, columns: str) -> dict[tuple[str, ...], Tally]:
        """Count answers by some columns."""
        rows = self._store.ask(
            f"SELECT {columns}, count(*), sum(is_right) FROM answers GROUP BY {columns}"
        )
        return {
            tuple(map(str, names)): Tally(int(str(asked)), int(str(right)))
            for *names, asked, right in rows
        }

    def weeks(self) -> dict[date, float]:
        """Return the minutes of practice by week, each named by its Monday."""
        found: dict[date, float] = {}
        for one in self.practice:
            day = one.at.date()
            monday = day - timedelta(days=day.weekday())
            found[monday] = found.get(monday, 0.0) + one.minutes
        return dict(sorted(found.items()))

    def drilled_weeks(self) -> dict[date, float]:
        """Return the minutes of answering by week; above two at one question do not count."""
        rows = self._store.ask(
            "SELECT date(at, 'weekday 0', '-6 days'), sum(min(seconds, 120.0)) / 60 FROM answers "
            "WHERE seconds IS NOT NULL GROUP BY 1"
        )
        return {date.fromisoformat(str(week)): float(str(minutes)) for week, minutes in rows}

    def tempos(self) -> dict[str, float]:
        """Return the highest tempo reached for each thing that was practised at one."""
        rows = self._store.ask(
            "SELECT what, max(tempo) FROM practice WHERE tempo IS NOT NULL GROUP BY what"
        )
        return {str(what): float(str(tempo)) for what, tempo in rows}

    def csv(self, table: str = "answers") -> str:
        """Return a table as CSV text: ``answers``, ``practice`` or ``notes``.

        A text that a spreadsheet would take for a formula gets an apostrophe in front.
        """
        _table(table)
        text = io.StringIO()
        writer = csv.writer(text, lineterminator="\n")
        writer.writerow(COLUMNS[table])
        free = [place for place, name in enumerate(COLUMNS[table]) if name in FREE_TEXT]
        writer.writerows(_harmless(row, free) for row in self._store.rows(table))
        return text.getvalue()

    def __repr__(self) -> str:
        return f"Journal({str(self.path)!r})"


def _table(name: object) -> str:
    """Return the name of a table, or refuse it."""
    if not isinstance(name, str) or name not in COLUMNS:
        raise TheoryError(f"no such table: {shown(name)} (want {', '.join(COLUMNS)})")
    return name


def _harmless(row: Sequence[object], free: Iterable[int]) -> Sequence[object]:
    """Return a row whose free texts are no formulas."""
    for place in free:
        if str(row[place]).startswith(FORMULA_SIGNS):
            row = [*row[:place], f"'{row[place]}", *row[place + 1 :]]
    return row


def _when(at: datetime | None) -> datetime:
    """Return a time in UTC: now unless one is given."""
    if at is None:
        return datetime.now(UTC)
    if not isinstance(at, datetime) or at.tzinfo is None:
        raise TheoryError(f"not a time: {shown(at)} (want a datetime with its time zone)")
    return at.astimezone(UTC)


def _text(when: datetime) -> str:
    """Write a time as ISO 8601 text."""
    return when.isoformat(timespec="seconds")


def _read(text: object) -> datetime:
    """Read a time."""
    return datetime.fromisoformat(str(text))


def _given(given: object) -> str:
    """Return an answer as text, as it was typed or tapped."""
    if isinstance(given, (list, tuple)):
        return " ".join(map(str, given))[:LONGEST_TEXT]
    return str(given)[:LONGEST_TEXT]


def _words(text: object) -> str:
    """Return text for the journal, or refuse what is none."""
    if not isinstance(text, str) or not text.strip() or len(text) > LONGEST_TEXT:
        raise TheoryError(f"not words: {shown(text)} (want 1 to {LONGEST_TEXT} characters)")
    if any("\ud800" <= sign <= "\udfff" for sign in text):
        raise TheoryError(f"not words: {shown(text)} (want text that can be written)")
    return text
