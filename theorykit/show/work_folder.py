"""The folder of the reader's works: plain text files, kept alike with what the desks keep."""

from __future__ import annotations

import os
import re
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path
from typing import Protocol

from theorykit.errors import TheoryError
from theorykit.show.files import put_whole
from theorykit.show.own_place import turn_at_works
from theorykit.study.drafts import Data, Drafts
from theorykit.study.phrase import phrase_from, phrase_of
from theorykit.study.phrasebook import PhraseBook
from theorykit.study.works import Deed, PaperKind, Side, deeds, fingerprint, free_name

__all__ = ["KINDS", "BookWorks", "DraftWorks", "WorkFolder"]

_NUMBER = re.compile(r" \(\d+\)$")
LONGEST_FILE, MOST_FILES = 1_000_000, 5000
TAKEN_OUT = "taken out"  # the folder of works that were taken off the shelf
LEFT = "left as it is: "  # before the name of a file that cannot be read, in place of a work
NAMELESS = ("unfinished", "without a title")  # before the beginning of a text
ROUNDS = 4  # what one round brings about, the next one may go on with

# The kinds of work in the order of the week; what stands beside a text where a file tells nothing.
_PLAIN_BARS = {
    "name": "draft",
    "key": "C major",
    "bars": [[["Dm7", "4"]], [["G7", "4"]], [["Cmaj7", "4"]]],
    "line": "",
}
KINDS = {
    kind.name: kind
    for kind in (
        PaperKind("tune", ".txt", {"proposal": "first", "variety": 2, "own": "", "melody": ""}),
        PaperKind("line", ".txt", {"over": _PLAIN_BARS}),
        PaperKind("phrase", ".txt", {"colour": "", "tags": [], "notes": "", "over": _PLAIN_BARS}),
        PaperKind("handout", ".toml", {}),
    )
}


# === The works of one kind ===


class Works(Protocol):
    """Works of one kind as texts: what a folder is kept alike with."""

    def side(self) -> Side:
        """Return the texts, by their keys."""

    def title(self, own: str) -> str:
        """Return what a file of a work is called."""

    def begin(self, text: str, name: str) -> str:
        """Begin a work with the text of a file, and return its key."""

    def take(self, own: str, text: str) -> None:
        """Let a work take the text of a file; what it said before can be brought back."""

    def put_aside(self, own: str) -> None:
        """Put a work aside."""

    def bring_back(self, own: str) -> None:
        """Bring a work back."""


@dataclass(slots=True)
class DraftWorks:
    """The works of a kind in the drafts; ``titled`` names one by what it holds."""

    kind: PaperKind
    drafts: Drafts
    titled: Callable[[Data], str]
    _seen: dict[str, Data] = field(default_factory=dict)

    def side(self) -> Side:
        """Return the texts, by the numbers of the works."""
        aside = {str(work.number) for work in self.drafts.aside(self.kind.name)}
        self._seen = {str(n): data for n, data in self.drafts.present(self.kind.name).items()}
        texts = {own: self.kind.written(data) for own, data in self._seen.items()}
        return Side(
            {own: text for own, text in texts.items() if own not in aside},
            {own: text for own, text in texts.items() if own in aside},
        )

    def title(self, own: str) -> str:
        """Return what a file of a work is called: its title, or for a line its key."""
        title = self.titled(self._seen[own])
        head = title.partition(":")[0]
        return head if head in NAMELESS or self.kind.name == "line" else title

    def begin(self, text: str, name: str) -> str:
        """Begin a work with the text of a file."""
        data = self.kind.read(text)
        return str(self.drafts.begin(self.kind.name, self.titled(data), data).work)

    def take(self, own: str, text: str) -> None:
        """Let a work take the text of a file: one more state of it."""
        data = self.kind.read(text)
        opened = self.drafts.opened(int(own))
        self.drafts.save(opened, self.titled(data), data, fresh=True)

    def put_aside(self, own: str) -> None:
        """Put a work aside."""
        self.drafts.put_aside(int(own))

    def bring_back(self, own: str) -> None:
        """Bring a work back."""
        self.drafts.bring_back(int(own))


@dataclass(slots=True)
class BookWorks:
    """The phrases of a book, by their names; one that is taken out is kept in the drafts."""

    kind: PaperKind
    book: PhraseBook
    drafts: Drafts

    def side(self) -> Side:
        """Return the phrases as texts; the file of each is called by its name."""
        found = (phrase_of(phrase) for phrase in self.book.find())
        texts = {str(row["name"]): self.kind.written(_paper_of(row)) for row in found}
        return Side(texts, {})

    def title(self, own: str) -> str:
        """Return what a file of a phrase is called."""
        return own

    def begin(self, text: str, name: str) -> str:
        """Keep the phrase of a file; where its name is taken, a number stands behind it."""
        row = _phrase_of_paper(self.kind.read(text), name)
        taken = set(self.book.names)
        called = free_name(str(row["name"]), "", taken) if row["name"] in taken else row["name"]
        self._keep(row | {"name": called}, replace=False)
        return str(called)

    def take(self, own: str, text: str) -> None:
        """Let a phrase take what a file says; what it was before is kept aside."""
        row = _phrase_of_paper(self.kind.read(text), own)
        self.put_aside(own)
        self._keep(row | {"name": own}, replace=True)

    def _keep(self, row: Data, *, replace: bool) -> None:
        """Keep a phrase."""
        one = phrase_from(row)
        self.book.keep(
            *(one.name, one.line),
            colour=one.colour,
            tags=one.tags,
            notes=one.notes,
            replace=replace,
        )

    def put_aside(self, own: str) -> None:
        """Take a phrase out of the book; the drafts have it."""
        row = phrase_of(self.book.phrase(own))
        self.drafts.put_aside(self.drafts.begin(self.kind.name, own, dict(row)).work)
        self.book.drop(own)

    def bring_back(self, own: str) -> None:
        """Bring the phrase with a number in the drafts back into the book."""
        row = self.drafts.opened(int(own)).state.data
        taken = set(self.book.names)
        called = free_name(str(row["name"]), "", taken) if row["name"] in taken else row["name"]
        self._keep(row | {"name": called}, replace=False)
        self.drafts.take_out(int(own))


def _paper_of(row: dict[str, object]) -> Data:
    """Return a phrase as a paper has it: the line, and below it all else."""
    over = {"name": row["name"], "key": row["key"], "bars": row["bars"], "line": ""}
    kept = {name: row[name] for name in ("colour", "tags", "notes")}
    return {"text": row["line"], **kept, "over": over}


def _phrase_of_paper(data: Data, name: str) -> Data:
    """Return the phrase that a paper tells of; one without a name is called as its file is."""
    over = data["over"]
    called = over["name"] if over["name"] != _PLAIN_BARS["name"] else Path(name).stem
    return {**over, **data, "line": data["text"].strip(), "name": called}


# === The folder ===


@dataclass(frozen=True, slots=True)
class WorkFolder:
    """The files of one kind of work under a folder, and the works that they are kept alike with."""

    folder: Path
    kind: PaperKind
    works: Works
    drafts: Drafts  # where it is noted down what both agreed on

    def agree(self, *, renames: bool = False) -> tuple[str, ...]:
        """Make files and works alike; return what is to be told, in sentences.

        ``renames`` lets a file follow a new title. Raises ``TheoryError`` where the folder is not
        there or cannot be written.
        """
        told: list[str] = []
        if not self.folder.is_dir():
            raise TheoryError(
                f"the folder of your works is not there: {self.folder} (want it back, or another)"
            )
        try:
            with turn_at_works():
                for _ in range(ROUNDS):
                    if not self._round(told):
                        break
                if renames:
                    self._rename()
        except OSError as wrong:
            raise TheoryError(
                f"cannot use the folder of your works {self.folder}: {wrong.strerror}"
            ) from None
        return tuple(told)

    @property
    def _here(self) -> Path:
        """Where the files are."""
        return self.folder / self.kind.folder

    @property
    def _hidden(self) -> Path:
        """Where the files are that were taken out."""
        return self.folder / TAKEN_OUT / self.kind.folder

    def _round(self, told: list[str]) -> bool:
        """Do what is to be done now; return whether anything was."""
        place = str(self._here)
        works, agreed = self.works.side(), self.drafts.agreed(place)
        left = {row for own, row in agreed.items() if own.startswith(LEFT)}
        there = _texts(self._here, self.kind)
        files = Side(
            {name: one for name, one in there.items() if (name, fingerprint(one)) not in left},
            _texts(self._hidden, self.kind),
        )
        met = {own: row for own, row in agreed.items() if not own.startswith(LEFT)}
        todo = deeds(works, files, met)
        try:
            for deed in todo:
                self._do(deed, works, files, agreed, told)
        finally:  # what a killed process has not noted down is found to be alike by its text
            self.drafts.agree(place, agreed)
        return bool(todo)

    def _do(
        self,
        deed: Deed,
        works: Side,
        files: Side,
        agreed: dict[str, tuple[str, str]],
        told: list[str],
    ) -> None:
        """Do one thing, and note it down in ``agreed``."""
        own, name = deed.own, deed.name
        mine, theirs = works.texts.get(own, ""), files.texts.get(name, "")
        if deed.what == "write":
            self._write(own, name, mine, agreed)
            self._unhide(mine)
        elif deed.what == "new":
            self._begin(name, theirs, agreed, told)
        elif deed.what == "take":
            self.works.take(own, theirs)
            agreed[own] = (name, fingerprint(theirs))
            told.append(f"{name} was changed elsewhere; you have what it says now.")
        elif deed.what == "fork":
            del agreed[own]
            self._write(own, "", mine, agreed)
            self._begin(name, theirs, agreed, told)
            told.append(
                f"{name} was changed here and elsewhere. Both are kept, one below the other."
            )
        elif deed.what == "hide":
            self._hide(name)
            del agreed[own]
        elif deed.what == "aside":
            self.works.put_aside(own)
            del agreed[own]
            told.append(f"{name} was taken out elsewhere; undo brings it back.")
        elif deed.what == "forget":
            del agreed[own]
        elif deed.what == "back":
            self.works.bring_back(own)
            agreed.setdefault(own, (name, fingerprint(theirs)))
        else:
            agreed[own] = (name, fingerprint(mine))

    def _begin(
        self, name: str, text: str, agreed: dict[str, tuple[str, str]], told: list[str]
    ) -> None:
        """Begin a work with the text of a file; one that cannot be read is left as it is."""
        try:
            own = self.works.begin(text, name)
        except TheoryError as wrong:
            told.append(f"{name} was left as it is: {wrong}")
            own = f"{LEFT}{name}"
        agreed[own] = (name, fingerprint(text))

    def _write(self, own: str, name: str, text: str, agreed: dict[str, tuple[str, str]]) -> None:
        """Write a work into its file, or into a new one."""
        self._here.mkdir(parents=True, exist_ok=True)
        if not name:
            taken = {file.name for file in self._here.iterdir()}
            name = free_name(self.works.title(own), self.kind.ending, taken)
        put_whole(self._here / name, text.encode("utf-8", "replace"), replace=True)
        agreed[own] = (name, fingerprint(text))

    def _unhide(self, text: str) -> None:
        """Take away the file of a work that was put aside and is back."""
        for name, other in _texts(self._hidden, self.kind).items():
            if other == text:
                (self._hidden / name).unlink()

    def _hide(self, name: str) -> None:
        """Put a file aside."""
        self._hidden.mkdir(parents=True, exist_ok=True)
        os.replace(self._here / name, self._hidden / name)

    def _rename(self) -> None:
        """Let files follow new titles; the old name goes where another machine looks for it."""
        place = str(self._here)
        texts, agreed = self.works.side().texts, self.drafts.agreed(place)
        for own, (name, _) in sorted(agreed.items()):
            if own in texts and not self._is_named(own, name) and (self._here / name).exists():
                self._hide(name)
                self._write(own, "", texts[own], agreed)
                self.drafts.agree(place, agreed)

    def _is_named(self, own: str, name: str) -> bool:
        """Tell whether a file is called as its work is, or so with a number."""
        wanted = free_name(self.works.title(own), self.kind.ending, set())
        plain = wanted.removesuffix(self.kind.ending).casefold()
        return _NUMBER.sub("", name.removesuffix(self.kind.ending)).casefold() == plain


def _texts(folder: Path, kind: PaperKind) -> dict[str, str]:
    """Return the works in a folder by the names of their files; what is no text is left."""
    if not folder.is_dir():
        return {}
    found = sorted(folder.glob(f"*{kind.ending}"))[:MOST_FILES]
    texts = {file.name: _text(file) for file in found if not file.name.startswith(".")}
    return {name: kind.written(kind.read(text)) for name, text in texts.items() if text is not None}


def _text(file: Path) -> str | None:
    """Return what a file says, None for what is no text or far too long."""
    try:
        if not file.is_file() or file.stat().st_size > LONGEST_FILE:
            return None
        return file.read_bytes().decode("utf-8-sig")
    except (OSError, UnicodeDecodeError):
        return None
