"""Bringing phrases into a book: from JSON that a book has written, or a line out of a score."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import PurePath
from typing import Any

import ipywidgets as ipw

from theorykit.errors import TheoryError
from theorykit.harmony.wording import counted, listed
from theorykit.show.text import sentences_html
from theorykit.study.phrase import Phrase
from theorykit.study.phrasebook import PhraseBook
from theorykit.views.line_desk import line_view
from theorykit.widgets.controls import guarded, picture, put
from theorykit.widgets.fields import unwatched, upload
from theorykit.widgets.opening import ENDINGS, uploaded_line

__all__ = ["Bringing"]

JSON = ".json"
LIMIT = (
    "JSON that a phrase book has written, MusicXML or MIDI, at most 10 MB; "
    "the page does not send a larger file."
)


class Bringing(ipw.VBox):
    """A button that brings phrases into a book; ``changed`` is called when it has."""

    def __init__(self, book: Callable[[], PhraseBook], changed: Callable[[], None]) -> None:
        self._book, self._changed = book, changed
        self.file = upload("bring phrases in", (JSON, *ENDINGS), self._opened)
        self.problem, self.told = picture(), picture()
        limit = picture()
        put(limit, sentences_html("", LIMIT))
        super().__init__([self.file, limit, self.problem, self.told])

    def _opened(self, _: object) -> None:
        """Read what was opened; the same file can be opened again."""
        found = tuple(self.file.value)
        with unwatched(self._opened, self.file):
            self.file.value = ()
        if found:
            put(self.told, "")
            guarded(self.problem, lambda: self._bring(found[0]))

    def _bring(self, one: dict[str, Any]) -> None:
        """Put what a file holds into the book."""
        path = PurePath(str(one["name"]))
        is_json = path.suffix.lower() == JSON
        report = self._phrases(one) if is_json else self._score(one, path.stem)
        self._changed()
        put(self.told, sentences_html("", *report))

    def _phrases(self, one: dict[str, Any]) -> list[str]:
        """Bring the phrases of JSON text."""
        try:
            text = bytes(one["content"]).decode("utf-8-sig")
        except UnicodeDecodeError:
            raise TheoryError(f"{one['name']} is no text (want JSON in UTF-8)") from None
        new = self._book().import_json(text)
        names = f": {listed(phrase.name for phrase in new)}" if new else ""
        return [f"{counted(len(new), 'new phrase').capitalize()}{names}."]

    def _score(self, one: dict[str, Any], stem: str) -> list[str]:
        """Bring the line of a score, under its title or the name of the file."""
        found = uploaded_line(one)
        name = " ".join((found.title or stem).split()) or "line"
        colour = line_view(found.line, None).kept_colour
        kept: Phrase = self._book().keep(name, found.line, colour=colour)
        return [f"One new phrase: {kept.name}.", *found.report]
