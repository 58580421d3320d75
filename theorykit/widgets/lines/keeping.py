"""Keeping a line in a phrase book: its name, tags and notes, and where the book lies."""

from __future__ import annotations

from collections.abc import Callable

import ipywidgets as ipw

from theorykit.errors import TheoryError
from theorykit.harmony.colours import colour
from theorykit.lines.text import Line
from theorykit.show.html_text import sentences_html
from theorykit.study.phrase import Phrase
from theorykit.study.works import free_name
from theorykit.widgets.controls import (
    answer,
    area,
    button,
    guarded,
    panel,
    picture,
    put,
    tick,
    typed,
)
from theorykit.widgets.faults import Page, lasting
from theorykit.widgets.reader_files import (
    book_at,
    book_called,
    book_changed,
    phrase_book_field,
)

WIDE = "700px"


class Keeping(Page):
    """Fields for a phrase and a button; ``what`` returns the line and the name of its colour."""

    def __init__(self, what: Callable[[], tuple[Line, str]], book: str) -> None:
        self._what = what
        self.name = typed("name", "", "a name of your own", example="Ida's turn")
        self.tags = typed("tags", "", "words with commas between them", example="falling, easy")
        self.notes = area("notes", "", 2, "where it came from, what to watch", at_once=False)
        self.book = phrase_book_field(book)
        self.replace = tick("replace the phrase of this name")
        self.keep = button("keep", self._press, "keep the line of the field")
        self.problem, self.told = picture(), picture()
        self.book.layout.width = WIDE
        super().__init__(self._parts())

    def _parts(self) -> list[ipw.Widget]:
        """Lay the parts out."""
        named = panel(self.name, self.tags)
        pressed = panel(self.keep, self.replace)
        return [named, self.notes, self.book, pressed, self.problem, self.told]

    def stale(self) -> None:
        """Take away what was said of a line that is not there any more."""
        put(self.told, "")
        put(self.problem, "")

    @answer
    def _press(self, _: object) -> None:
        """Keep the line."""
        self.stale()
        guarded(self.problem, self._keep)

    def keep_unnamed(self) -> str:
        """Keep the line under its colour and key, with a number; return what was done."""
        line, filed = self._what()
        if not line.notes:
            raise TheoryError("the desk for lines is empty (want a line on it)")
        key = str(line.progression.key).removesuffix(" major")
        names = book_at(self.book.value).names
        name = free_name(f"{filed or 'a line'} in {key}", "", set(names))
        return self._write(name, replace=False)

    def _keep(self) -> None:
        """Write the phrase into the book, under the name that was typed."""
        try:
            told = self._write(self.name.value.strip(), replace=self.replace.value)
        except TheoryError as wrong:  # in the words of the page
            tick_named = f"\u201c{self.replace.description}\u201d ticked"
            raise TheoryError(str(wrong).replace("replace=True", tick_named)) from None
        self.replace.value = False
        put(self.told, sentences_html(*told.split("\n")))

    def _write(self, name: str, *, replace: bool) -> str:
        """Write the phrase into the book; return what was done, in two lines."""
        line, filed = self._what()
        book = book_at(self.book.value)
        phrase = book.keep(
            name,
            line,
            colour=filed,
            tags=tags_of(self.tags.value),
            notes=self.notes.value,
            replace=replace,
        )
        lasting(f"the phrase {phrase.name} is kept.")
        book_changed(book.path)
        return f"{_told(phrase)}\nIt is in {book_called(self.book.value)}: {book.path}."


def tags_of(text: str) -> list[str]:
    """Return the tags of a text in which they stand with commas between them.

    >>> tags_of("falling, easy,, for Ida ")
    ['falling', 'easy', 'for Ida']
    """
    return [tag for word in text.split(",") if (tag := word.strip())]


def _told(phrase: Phrase) -> str:
    """Say how a phrase was filed."""
    form = f"a {phrase.form} ii-V-I" if phrase.form else "no ii-V-I"
    filed = colour(phrase.colour).pretty if phrase.colour else "no colour"
    return f"Kept {phrase.name}: {form} in {phrase.key.pretty}, filed under {filed}."
