"""Tags and notes of a phrase in a book, and taking it out, which is asked twice."""

from __future__ import annotations

from collections.abc import Callable

import ipywidgets as ipw

from theorykit.errors import TheoryError
from theorykit.show.text import sentences_html
from theorykit.study.phrase import Phrase
from theorykit.study.phrasebook import PhraseBook
from theorykit.widgets.controls import guarded, panel, picture, put, typed
from theorykit.widgets.fields import area, button
from theorykit.widgets.keeping import tags_of

__all__ = ["Editing"]


class Editing(ipw.VBox):
    """Fields for the phrase that is chosen; ``changed`` is called when the book has changed."""

    def __init__(self, book: Callable[[], PhraseBook], changed: Callable[[], None]) -> None:
        self._book, self._changed = book, changed
        self.phrase: Phrase | None = None
        self.tags = typed("tags", "", "words with commas between them")
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
        self.show(kept)
        self._changed()
        put(self.told, sentences_html("", f"Saved tags and notes of {kept.name}."))

    def _ask(self, _: object) -> None:
        """Ask before a phrase is lost."""
        if self.phrase is not None:
            put(self.question, sentences_html("", f"Delete {self.phrase.name} for good?"))
            self.asked.layout.display = "flex"

    def _spare(self, _: object) -> None:
        """Withdraw the question."""
        self.asked.layout.display = "none"

    def _delete(self, _: object) -> None:
        """Take the phrase out of the book."""
        guarded(self.problem, self._drop)
        self._spare(_)

    def _drop(self) -> None:
        """Drop it, and say so."""
        name = self.name
        self._book().drop(name)
        self._changed()
        put(self.told, sentences_html("", f"Deleted {name}."))
