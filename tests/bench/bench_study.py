"""Questions of every kind, and a journal of 100,000 answers: what a reader waits for."""

from __future__ import annotations

import sqlite3
from datetime import UTC, datetime, timedelta
from itertools import count, cycle, product
from pathlib import Path
from tempfile import TemporaryDirectory

from measure import Bench, p95_at_most

from theorykit.notes.key import KEYS
from theorykit.show.pictures import picture_svg
from theorykit.show.review_dates import ReviewDates
from theorykit.show.sound import ogg_bytes, render
from theorykit.study.cards import deck
from theorykit.study.journal import Journal
from theorykit.study.questions import KINDS_OF_QUESTION, question
from theorykit.study.session import Session
from theorykit.views.journal_view import journal_view
from theorykit.views.question_view import question_view

SEEDS = count()
KINDS = cycle(KINDS_OF_QUESTION)
HEARD = cycle([kind for kind in KINDS_OF_QUESTION if kind.way == "hear"])
NOW = datetime(2026, 11, 26, 19, 30, tzinfo=UTC)
FOLDER = TemporaryDirectory()
PATH = Path(FOLDER.name) / "journal.sqlite"
ANSWERS = 100_000
DATES = ReviewDates()


def filled() -> Journal:
    """Make a journal of some years: one answer of each card, and the rest written as it stands."""
    journal = Journal(PATH)
    for card in deck():
        asked = question(card.kind, topic=card.topic)
        judged = asked.judge(asked.answer)
        journal.answered(asked, asked.answer, judged, memory=DATES, at=NOW)
    kept = journal.answers
    rows = (
        (
            (NOW + timedelta(minutes=7 * number)).isoformat(timespec="seconds"),
            one.kind, one.topic, one.level, str(key), one.asked, one.given, number % 5 > 0, 3.5, 0,
        )
        for number, (key, one) in zip(
            range(ANSWERS - len(kept)), cycle(product(KEYS, kept)), strict=False
        )
    )  # fmt: skip
    with sqlite3.connect(PATH) as book:
        book.executemany(
            "INSERT INTO answers (at, kind, topic, level, key, asked, given, is_right, seconds, "
            "hinted) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?)",
            rows,
        )
    book.close()
    return journal


JOURNAL: list[Journal] = []


def is_full() -> None:
    """Fill the journal once, and raise where it is not as long as it should be."""
    if not JOURNAL:
        JOURNAL.append(filled())
    if len(JOURNAL[0].answers) != ANSWERS:
        raise ValueError(f"{len(JOURNAL[0].answers)} answers")


def opened() -> object:
    """Open the journal, and read the grid of keys and colours, what is due, and what is next."""
    journal = Journal(PATH)
    grid = journal.known()
    due = journal.due_by(NOW + timedelta(days=7))
    return grid, due, Session().next(journal.past(NOW), NOW + timedelta(days=1))


def pictured() -> list[str]:
    """Open the journal and make every picture that its page shows."""
    view = journal_view(Journal(PATH), NOW + timedelta(days=1))
    drawn = [*view.grids.values(), view.minutes, view.due]
    return [picture_svg(one) for one in drawn]


def on_a_page() -> object:
    """Make a question and decide what a page shows of it."""
    return question_view(question(next(KINDS), level=2, seed=next(SEEDS)))


def heard() -> bytes:
    """Make the sound of a question that was not asked before."""
    one = question(next(HEARD), seed=next(SEEDS))
    return ogg_bytes(render(one.heard.performance(120))) if one.heard else b""


BENCHES = (
    Bench(
        name="make a question",
        candidate=lambda: question(next(KINDS), level=2, seed=next(SEEDS)),
        reference=None,
        goal=p95_at_most(0.020),
        rounds=110,
    ),
    Bench(
        name="make a question as a page shows it",
        candidate=on_a_page,
        reference=None,
        goal=p95_at_most(0.020),
        rounds=110,
    ),
    Bench(
        name="make a question and its sound",
        candidate=heard,
        reference=None,
        goal=p95_at_most(0.250),
        rounds=24,
    ),
    Bench(
        name="open a journal of 100,000 answers",
        candidate=opened,
        reference=None,
        goal=p95_at_most(1.0),
        rounds=7,
        check=is_full,
    ),
    Bench(
        name="the pictures of a journal of 100,000 answers",
        candidate=pictured,
        reference=None,
        goal=p95_at_most(1.0),
        rounds=7,
        check=is_full,
    ),
)
