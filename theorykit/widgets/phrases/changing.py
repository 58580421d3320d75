"""Changing a phrase book: tags and notes edited, phrases taken out or brought in."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import PurePath

import ipywidgets as ipw

from theorykit.errors import TheoryError
from theorykit.harmony.wording import counted, listed
from theorykit.show.html_text import sentences_html
from theorykit.study.phrase import Phrase
from theorykit.study.phrasebook import PhraseBook
from theorykit.views.line import line_view
from theorykit.widgets.controls import answer, area, button, guarded, panel, picture, put, typed
from theorykit.widgets.faults import Page, lasting
from theorykit.widgets.line_page import ENDINGS, line_in
from theorykit.widgets.lines import tags_of
from theorykit.widgets.reader_files import FileOpening


class Editing(Page):
    """Fields for the phrase that is chosen; ``changed`` is called when the book has changed."""

    def __init__(self, book: Callable[[], PhraseBook], changed: Callable[[], None]) -> None:
        self._book, self._changed = book, changed
        self.phrase: Phrase | None = None
        self.tags = typed("tags", "", "words with commas between them", example="falling, easy")
        self.notes = area("notes", "", 3, "where it came from, what to watch", at_once=False)
        self.save = button("save tags and notes", self._save)
        self.delete = button("delete", self._ask, "take the phrase out of the book")
        self.yes = button("yes, delete it", self._delete)
        self.no = button("no, keep it", self._spare)
        self.question = picture()
        self.asked = panel(self.question, self.yes, self.no)
        self.problem, self.told = picture(), picture()
        super().__init__(self._parts())
        self.show(None)

    def _parts(self) -> list[ipw.Widget]:
        """Lay the parts out."""
        pressed = panel(self.save, self.delete)
        return [self.tags, self.notes, pressed, self.asked, self.problem, self.told]

    def show(self, phrase: Phrase | None) -> None:
        """Put a phrase into the fields; one that was there already keeps what was typed."""
        if phrase is None or phrase != self.phrase:
            self.tags.value = ", ".join(phrase.tags) if phrase else ""
            self.notes.value = phrase.notes if phrase else ""
            put(self.told, "")
            put(self.problem, "")
        self.phrase = phrase
        for control in (self.tags, self.notes, self.save, self.delete):
            control.disabled = phrase is None
        self._spare(None)

    @property
    def name(self) -> str:
        """The name of the phrase that is chosen."""
        if self.phrase is None:
            raise TheoryError("no phrase is chosen (want one from the list)")
        return self.phrase.name

    @answer
    def _save(self, _: object) -> None:
        """Save tags and notes."""
        put(self.told, "")
        guarded(self.problem, self._write)

    def _write(self) -> None:
        """Save them with the line as it stands in the book now: another notebook may have it."""
        book = self._book()
        now = book.phrase(self.name)
        tags, notes = tags_of(self.tags.value), self.notes.value
        kept = book.keep(
            now.name, now.line, colour=now.colour, tags=tags, notes=notes, replace=True
        )
        lasting(f"tags and notes of {kept.name} are saved.")
        self.show(kept)
        self._changed()
        put(self.told, sentences_html("", f"Saved tags and notes of {kept.name}."))

    @answer
    def _ask(self, _: object) -> None:
        """Ask before a phrase is lost."""
        if self.phrase is not None:
            put(self.question, sentences_html("", f"Delete {self.phrase.name} for good?"))
            self.asked.layout.display = "flex"

    @answer
    def _spare(self, _: object) -> None:
        """Withdraw the question."""
        self.asked.layout.display = "none"

    @answer
    def _delete(self, _: object) -> None:
        """Take the phrase out of the book."""
        guarded(self.problem, self._drop)
        self._spare(_)

    def _drop(self) -> None:
        """Drop it, and say so."""
        name = self.name
        self._book().drop(name)
        lasting(f"{name} is deleted.")
        self._changed()
        put(self.told, sentences_html("", f"Deleted {name}."))


# === Bringing phrases in ===

JSON = ".json"
MOST_NAMED = 12  # phrases that came in, by name


class Bringing(FileOpening):
    """A button that brings phrases into a book; ``changed`` is called when it has."""

    def __init__(self, book: Callable[[], PhraseBook], changed: Callable[[], None]) -> None:
        self._book, self._changed = book, changed
        endings = (JSON, *ENDINGS)
        super().__init__("bring phrases in", endings, self._bring, take=self._look_again)

    def _bring(self, name: str, content: bytes) -> tuple[str, list[str]]:
        """Put what a file holds into the book, all or nothing; return what is done, and more."""
        is_json = PurePath(name).suffix.lower() == JSON
        return (self._phrases if is_json else self._score)(name, content)

    def _look_again(self, brought: tuple[str, list[str]]) -> tuple[str, ...]:
        """Show the book as it is now; what is in it stays there, whatever goes wrong here."""
        done, report = brought
        lasting(done)
        self._changed()
        return "", *report

    def _phrases(self, name: str, content: bytes) -> tuple[str, list[str]]:
        """Bring the phrases of JSON text."""
        try:
            text = content.decode("utf-8-sig")
        except UnicodeDecodeError:
            raise TheoryError(f"{name} is no text (want JSON in UTF-8)") from None
        new = self._book().import_json(text)
        done = f"{counted(len(new), 'new phrase')} brought in."
        more = [f"{len(new) - MOST_NAMED:,} more"] * (len(new) > MOST_NAMED)
        names = [*(phrase.name for phrase in new[:MOST_NAMED]), *more]
        told = f": {listed(names)}" if names else ""
        return done, [f"{counted(len(new), 'new phrase').capitalize()}{told}."]

    def _score(self, name: str, content: bytes) -> tuple[str, list[str]]:
        """Bring the line of a score, under its title or the name of the file."""
        found = line_in(name, content)
        called = " ".join((found.title or PurePath(name).stem).split()) or "line"
        colour = line_view(found.line, None).kept_colour
        kept: Phrase = self._book().keep(called, found.line, colour=colour)
        return f"{kept.name} is kept.", [f"One new phrase: {kept.name}.", *found.report]
