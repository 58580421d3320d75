"""Works of every kind as a shelf lists them: with their dates, found, copied, taken out."""

from __future__ import annotations

import time
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime
from functools import lru_cache
from typing import Any

from theorykit.errors import TheoryError
from theorykit.handout.handout import Handout
from theorykit.handout.term_sheet import day_of
from theorykit.harmony.colours import colour
from theorykit.show.work_folder import KINDS, BookWorks, WorkFolder
from theorykit.study.drafts import Drafts
from theorykit.study.phrasebook import PhraseBook
from theorykit.widgets.handouts import handout_title
from theorykit.widgets.lines import line_title
from theorykit.widgets.reader_files import book_at, there_is_a_book
from theorykit.widgets.tunes import tune_title
from theorykit.widgets.works import folder_of, phrase_folder

PHRASE, HANDOUT = "phrase", "handout"
TITLES = {"tune": tune_title, "line": line_title, "handout": handout_title}


@dataclass(frozen=True, slots=True)
class Row:
    """One work in a list: its number, or the name of a phrase, its title, and when it was kept.

    ``said`` is the day that it says itself, as the handout for a lesson does.
    """

    own: int | str
    title: str
    kept: float
    said: date | None = None

    @property
    def day(self) -> date:
        """The day that it says, or else the one on which it was kept."""
        return self.said or date.fromtimestamp(self.kept)


class OwnWorks:
    """The works in ``drafts``, and the phrases of the book at a path.

    >>> works = OwnWorks(Drafts(), "no book")
    >>> _ = works.drafts.begin("tune", "Wet Gloves", {"text": "title: Wet Gloves"})
    >>> [row.title for row in works.rows("tune", "gloves")], list(works.rows("tune", "bridge"))
    (['Wet Gloves'], [])
    """

    def __init__(self, drafts: Drafts, book: str) -> None:
        self.drafts, self._book = drafts, book

    def book(self) -> PhraseBook | None:
        """Return the phrase book, if there is one."""
        return book_at(self._book) if there_is_a_book(self._book) else None

    def rows(self, kind: str, words: str = "") -> Iterator[Row]:
        """Yield the works of a kind that have all words, the one that was kept last first."""
        wanted = words.casefold().split()
        found = self._phrases() if kind == PHRASE else self._works(kind)
        for row, text in found:
            said = f"{row.title} {text}".casefold()
            if all(word in said for word in wanted):
                yield row

    def _works(self, kind: str) -> Iterator[tuple[Row, str]]:
        """Yield works, each with its text."""
        held = self.drafts.present(kind)
        for work in self.drafts.works(kind):
            text = str(held.get(work.number, {}).get("text", ""))
            said = _said_day(text) if kind == HANDOUT else None
            yield Row(work.number, work.title, work.changed, said), text

    def _phrases(self) -> Iterator[tuple[Row, str]]:
        """Yield phrases, each with its tags."""
        book = self.book()
        for one in sorted(book.listed() if book else (), key=lambda one: one.saved, reverse=True):
            over = f", {colour(one.colour).pretty}" if one.colour else ""
            title = f"{one.name}: {one.form or f'{one.bars} bars'} in {one.key.pretty}{over}"
            yield Row(one.name, title, _seconds(one.saved)), " ".join((*one.tags, one.colour))

    def handouts(self) -> list[tuple[int, str, date]]:
        """Return the handouts: number, text and the day of each."""
        held = self.drafts.present(HANDOUT)
        rows = self.rows(HANDOUT)
        return [(int(row.own), str(held[int(row.own)].get("text", "")), row.day) for row in rows]

    def data(self, own: int | str) -> dict[str, Any]:
        """Return what a work holds now."""
        return self.drafts.opened(int(own)).state.data

    def begin(self, kind: str, data: dict[str, Any]) -> int:
        """Begin a work, and return its number."""
        return self.drafts.begin(kind, TITLES[kind](data), data).work

    def paper(self, kind: str, own: int | str) -> tuple[str, str]:
        """Return a work as plain text, and the ending of its file."""
        row = KINDS[kind]
        if kind == PHRASE:
            return self._of_book().side().texts[str(own)], row.ending
        return row.written(self.data(own)), row.ending

    def _of_book(self) -> BookWorks:
        """Return the phrases of the book as texts."""
        book = self.book()
        if book is None:
            raise TheoryError("no phrase book yet (want a phrase kept at the desk for lines)")
        return BookWorks(KINDS[PHRASE], book, self.drafts)

    def take_out(self, kind: str, own: int | str) -> None:
        """Take a work off the shelf; it can be brought back."""
        if kind == PHRASE:
            self._of_book().put_aside(str(own))
        else:
            self.drafts.put_aside(int(own))

    def bring_back(self, kind: str) -> str:
        """Bring back what was taken out last, and return its title."""
        aside = self.drafts.aside(kind)
        if not aside:
            raise TheoryError(f"no {kind} was taken out (want one on the shelf taken out first)")
        if kind == PHRASE:
            self._of_book().bring_back(str(aside[0].number))
        else:
            self.drafts.bring_back(aside[0].number)
        return aside[0].title

    def agree(self) -> tuple[str, ...]:
        """Make works and the files of the folder alike, and return what is to be told."""
        folders: list[WorkFolder | None] = [
            folder_of(kind, self.drafts, titled) for kind, titled in TITLES.items()
        ]
        if folders[0] is not None:
            folders.append(phrase_folder(self.drafts, book_at(self._book)))
        return tuple(word for one in folders if one for word in one.agree(renames=True))


@lru_cache(maxsize=256)  # every list asks again
def _said_day(text: str) -> date | None:
    """Return the day that the text of a handout says, if it can be read and says one."""
    try:
        return day_of(Handout.parse(text))
    except TheoryError:
        return None


def _seconds(saved: str) -> float:
    """Return when a phrase was kept, in seconds of 1970; now where it does not say."""
    try:
        return datetime.fromisoformat(saved).timestamp()
    except ValueError:
        return time.time()
