"""A reader's own work: the phrase book, the journal and the drafts of a folder, in one file.

What a file brings is added to what is there. What both have is there once, and nothing is lost by
it: so one may work on two machines and carry the file to and fro.
"""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from theorykit.errors import TheoryError
from theorykit.harmony.wording import counted, listed
from theorykit.notes.reader import reader
from theorykit.study.archive.container import DRAFTS, JOURNAL, PHRASES, packed, refusal, unpacked
from theorykit.study.archive.draft_rows import draft_rows, drafts_of, merge_drafts
from theorykit.study.archive.journal_rows import journal_of, journal_rows, merge_journal
from theorykit.study.drafts import Drafts
from theorykit.study.journal_store import JournalStore
from theorykit.study.phrase_store import PhraseStore, put_phrases
from theorykit.study.phrasebook import PhraseBook, new_rows

FILES = {PHRASES: "phrases.sqlite", JOURNAL: "journal.sqlite", DRAFTS: "drafts.sqlite"}
# What a hand-made file may lead to before it is refused; none of it is a fault of the program.
_FAULTS = (
    *(TypeError, ValueError, KeyError, IndexError, AttributeError, OverflowError, RecursionError),
    sqlite3.Error,
)


@dataclass(frozen=True, slots=True)
class Brought:
    """How much came in that was not there before, and what its reader plays, if it says so."""

    phrases: int = 0
    answers: int = 0
    practice: int = 0
    notes: int = 0
    works: int = 0
    player: str = ""

    @property
    def words(self) -> str:
        """What came in, in a sentence.

        >>> print(Brought(phrases=2, answers=1).words)
        New here: two phrases and one answer.
        >>> print(Brought().words)
        Nothing in it was new here.
        """
        counts = {
            "phrase": self.phrases,
            "answer": self.answers,
            "stint of practice": self.practice,
            "note": self.notes,
            "work": self.works,
        }
        told = [_counted(count, thing) for thing, count in counts.items() if count]
        return f"New here: {listed(told)}." if told else "Nothing in it was new here."


def _counted(count: int, thing: str) -> str:
    """Return a number of things."""
    head, of, rest = thing.partition(" of ")
    return f"{counted(count, head)}{of}{rest}"


@dataclass(frozen=True, slots=True)
class _Arrived:
    """What a file holds, looked over: phrases as text, rows of the journal, works."""

    phrases: str = ""
    journal: Mapping[str, Any] | None = None
    drafts: Mapping[str, Any] | None = None


@dataclass(frozen=True, slots=True)
class OwnWork:
    """The work in a folder.

    >>> from theorykit.lines.demonstration import demonstration
    >>> school, home = TemporaryDirectory(), TemporaryDirectory()
    >>> book = PhraseBook(f"{school.name}/phrases.sqlite")
    >>> _ = book.keep("Ida's turn", demonstration("Db", "long", "b9 13"))
    >>> file = OwnWork(Path(school.name)).packed("trumpet")
    >>> found = OwnWork(Path(home.name)).bring(file)
    >>> found.player, found.words
    ('trumpet', 'New here: one phrase.')
    >>> print(OwnWork(Path(home.name)).bring(file).words)
    Nothing in it was new here.
    >>> school.cleanup(), home.cleanup()
    (None, None)
    """

    folder: Path

    def packed(self, player: str = "") -> bytes:
        """Return all of it as one file; ``player`` names what the reader plays."""
        parts: dict[str, object] = {}
        if (file := self._file(PHRASES)).exists():
            parts[PHRASES] = json.loads(PhraseBook(file).export_json())
        if (file := self._file(JOURNAL)).exists():
            parts[JOURNAL] = journal_rows(JournalStore(file))
        if (file := self._file(DRAFTS)).exists():
            parts[DRAFTS] = draft_rows(Drafts(file))
        return packed(parts, player)

    def _file(self, part: str) -> Path:
        """Return the file of a part."""
        return self.folder / FILES[part]

    def bring(self, data: bytes) -> Brought:
        """Add what a file holds to what is there, all of it or nothing; return what was new.

        A file that was not made by ``packed``, or was damaged since, is refused.
        """
        parts, player = unpacked(data)
        with TemporaryDirectory() as place:
            try:
                arrived = _looked_over(parts, player, Path(place))
            except TheoryError as wrong:
                raise refusal(wrong) from None
            except _FAULTS as wrong:
                raise refusal(f"it is damaged, {type(wrong).__name__}: {wrong}") from None
        return self._add(arrived, player)

    def _add(self, arrived: _Arrived, player: str) -> Brought:
        """Write what has arrived into the files of the folder, in one write."""
        book = PhraseStore(self._file(PHRASES))
        rows = new_rows(book, arrived.phrases) if arrived.phrases else []
        journal, drafts = JournalStore(self._file(JOURNAL)), Drafts(self._file(DRAFTS))
        with book.write_with(journal, drafts) as opened:
            put_phrases(opened, rows)
            counts = {} if arrived.journal is None else merge_journal(opened, arrived.journal)
            works = 0 if arrived.drafts is None else merge_drafts(opened, arrived.drafts)
        return Brought(phrases=len(rows), works=works, player=player, **counts)


def _looked_over(parts: Mapping[str, Any], player: str, place: Path) -> _Arrived:
    """Return what the parts hold, after files made of them were read like the reader's own."""
    if player:
        reader(player)
    phrases, journal, drafts = "", None, None
    if PHRASES in parts:
        phrases = json.dumps(parts[PHRASES], ensure_ascii=False)
        PhraseBook(place / FILES[PHRASES]).import_json(phrases)
    if JOURNAL in parts:
        journal = journal_rows(journal_of(parts[JOURNAL], place / FILES[JOURNAL]))
    if DRAFTS in parts:
        drafts = draft_rows(drafts_of(parts[DRAFTS], place / FILES[DRAFTS]))
    return _Arrived(phrases, journal, drafts)
