"""Bringing phrases into a book: from JSON that a book has written, or a line out of a score."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import PurePath

from theorykit.errors import TheoryError
from theorykit.harmony.wording import counted, listed
from theorykit.study.phrase import Phrase
from theorykit.study.phrasebook import PhraseBook
from theorykit.views.line_desk import line_view
from theorykit.widgets.file_opening import FileOpening
from theorykit.widgets.opening import ENDINGS, line_in

__all__ = ["Bringing"]

JSON = ".json"


class Bringing(FileOpening):
    """A button that brings phrases into a book; ``changed`` is called when it has."""

    def __init__(self, book: Callable[[], PhraseBook], changed: Callable[[], None]) -> None:
        self._book, self._changed = book, changed
        super().__init__("bring phrases in", (JSON, *ENDINGS), self._bring)

    def _bring(self, name: str, content: bytes) -> tuple[str, ...]:
        """Put what a file holds into the book."""
        is_json = PurePath(name).suffix.lower() == JSON
        report = (self._phrases if is_json else self._score)(name, content)
        self._changed()
        return "", *report

    def _phrases(self, name: str, content: bytes) -> list[str]:
        """Bring the phrases of JSON text."""
        try:
            text = content.decode("utf-8-sig")
        except UnicodeDecodeError:
            raise TheoryError(f"{name} is no text (want JSON in UTF-8)") from None
        new = self._book().import_json(text)
        names = f": {listed(phrase.name for phrase in new)}" if new else ""
        return [f"{counted(len(new), 'new phrase').capitalize()}{names}."]

    def _score(self, name: str, content: bytes) -> list[str]:
        """Bring the line of a score, under its title or the name of the file."""
        found = line_in(name, content)
        called = " ".join((found.title or PurePath(name).stem).split()) or "line"
        colour = line_view(found.line, None).kept_colour
        kept: Phrase = self._book().keep(called, found.line, colour=colour)
        return [f"One new phrase: {kept.name}.", *found.report]
