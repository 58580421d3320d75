"""What every block has, and the records inside blocks. A field is an entry of the text file."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from typing import ClassVar

from theorykit.errors import TheoryError, shown
from theorykit.handout.texts import checked_line, checked_text
from theorykit.notes.key import Key
from theorykit.tunes.charts import Chart
from theorykit.tunes.progression import Progression, two_five_one

__all__ = ["Block", "Question", "Step", "offered", "progression_of", "whole"]

LONGEST_MARGIN = 600  # characters of a note in the margin
LONGEST_CHANGES = 2_000
MOST_MINUTES = 600

_PLACE = re.compile(r"^line \d+, column \d+: ")


@dataclass(frozen=True, slots=True, kw_only=True)
class Block:
    """What every block has: a heading in place of its own, a note for the teacher's margin."""

    kind: ClassVar[str] = ""

    heading: str = ""
    margin: str = ""

    def __post_init__(self) -> None:
        """Check the fields."""
        checked_line(self.heading, "heading")
        checked_text(self.margin, "margin", longest=LONGEST_MARGIN)
        self.check()

    @property
    def prints_notes(self) -> bool:
        """True for a block that prints notes, not only words and empty staves."""
        return False

    def check(self) -> None:
        """Refuse what this block cannot show; each kind has its own rules."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One step of a practice plan: what to do, and for how many minutes."""

    minutes: int
    what: str

    def __post_init__(self) -> None:
        """Check the fields."""
        whole(self.minutes, "minutes", 1, MOST_MINUTES)
        checked_text(self.what, "what", longest=400)


@dataclass(frozen=True, slots=True, kw_only=True)
class Question:
    """One question with its answer."""

    question: str
    answer: str

    def __post_init__(self) -> None:
        """Check the fields."""
        checked_text(self.question, "question", longest=400)
        checked_text(self.answer, "answer", longest=400)


def whole(number: object, name: str, least: int, most: int) -> None:
    """Refuse what is no whole number between two others.

    >>> whole(0, "days", 1, 14)
    Traceback (most recent call last):
    theorykit.errors.TheoryError: no such days: 0 (want a whole number from 1 to 14)
    """
    if isinstance(number, bool) or not isinstance(number, int) or not least <= number <= most:
        raise TheoryError(
            f"no such {name}: {shown(number)} (want a whole number from {least} to {most})"
        )


def offered(value: object, name: str, names: Iterable[str]) -> None:
    """Refuse what is not among the names offered.

    >>> offered("list", "layout", ("table", "staves"))
    Traceback (most recent call last):
    theorykit.errors.TheoryError: no such layout: 'list' (want table, staves)
    """
    names = tuple(names)
    if value not in names:
        raise TheoryError(f"no such {name}: {shown(value)} (want {', '.join(names)})")


def progression_of(key: str, form: str, changes: str = "") -> Progression:
    """Return the progression a block stands over: its changes if it has any, else a ii-V-I.

    >>> str(progression_of("F", "short")), str(progression_of("F", "long", "Gm7 C7 | F6"))
    ('Gm7 C7 | Fmaj7', 'Gm7 C7 | F6')
    """
    if not changes:
        return two_five_one(Key.parse(key), form)
    checked_text(changes, "changes", longest=LONGEST_CHANGES)
    try:
        return Chart.of(Key.parse(key), *changes.strip().strip("|").split("|")).progression
    except TheoryError as error:
        raise TheoryError(f"changes {shown(changes)}: {_PLACE.sub('', str(error))}") from None
