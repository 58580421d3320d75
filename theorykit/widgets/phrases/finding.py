"""Finding a phrase: the book, what is asked for, and the list of what was found."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import Any

import ipywidgets as ipw

from theorykit.show.html_text import sentences_html
from theorykit.study.phrase import Phrase
from theorykit.study.phrasebook import PhraseBook
from theorykit.views.shelf import ANY, NO_BOOK, Shelf
from theorykit.widgets.controls import (
    LABEL_WIDTH,
    answer,
    button,
    choice,
    guarded,
    offer,
    panel,
    picture,
    put,
    unwatched,
    watch,
)
from theorykit.widgets.faults import Page
from theorykit.widgets.reader_files import (
    book_at,
    book_called,
    phrase_book_field,
    show_changes,
    there_is_a_book,
)

WIDE, ROWS = "700px", 7


class Finding(Page):
    """A book at a path and a list of its phrases; ``chosen`` is told which one is chosen."""

    def __init__(self, path: str, chosen: Callable[[Phrase | None], None]) -> None:
        self._chosen = chosen
        self.shelf = Shelf((), ())
        self.path = phrase_book_field(path)
        self.path.layout.width = WIDE
        self.again = button("look again", self._press, "another notebook may have written to it")
        self.colour = choice("colour", [("any", ANY)], ANY)
        self.form = choice("form", [("any", ANY)], ANY)
        self.bars = choice("length", [("any", ANY)], ANY)
        self.tag = choice("tag", [("any", ANY)], ANY)
        self.phrases = ipw.Select(
            description="phrases",
            rows=ROWS,
            layout=ipw.Layout(width=WIDE),
            style={"description_width": LABEL_WIDTH},
        )
        self.problem, self.count = picture(), picture()
        super().__init__(self._parts())
        watch((self.path, *self.asked.values()), self._press)
        self.phrases.observe(self._choose, "value")
        show_changes(self)

    def _parts(self) -> list[ipw.Widget]:
        """Lay the parts out."""
        asked = panel(*self.asked.values())
        return [panel(self.path, self.again), asked, self.problem, self.phrases, self.count]

    @property
    def asked(self) -> dict[str, ipw.Dropdown]:
        """The lists that say what is asked for, by what the book calls it."""
        return {"colour": self.colour, "form": self.form, "bars": self.bars, "tag": self.tag}

    def book(self) -> PhraseBook:
        """Return the book at the path; it is made where there is none."""
        return book_at(self.path.value)

    def look(self) -> None:
        """Read the book anew; where it cannot be read, what was found before stays."""
        guarded(self.problem, self._read)

    def book_changed(self, file: Path) -> None:
        """A phrase was kept on another page: look again, if it was in this book."""
        if there_is_a_book(self.path.value) and self.book().path == file:
            self.look()

    @answer
    def _press(self, _: object) -> None:
        """Another path or question, or the wish to look again."""
        self.look()

    def _read(self) -> None:
        """Decide, then show."""
        there = there_is_a_book(self.path.value)
        self.shelf = self._shelf(self.book()) if there else Shelf((), ())
        offered = (self.shelf.colours, self.shelf.forms, self.shelf.lengths, self.shelf.tags)
        for control, options in zip(self.asked.values(), offered, strict=True):
            offer(control, options, _still(control.value, options), self._press)
        called = book_called(self.path.value)
        words = self.shelf.words if there else NO_BOOK
        put(self.count, sentences_html("", f"This is {called}.", words))
        self._list()

    def _shelf(self, book: PhraseBook) -> Shelf:
        """Return all phrases, and those that are asked for."""
        every = book.listed()
        asked: dict[str, Any] = {
            name: control.value for name, control in self.asked.items() if control.value != ANY
        }
        return Shelf(every, book.listed(**asked) if asked else every)

    def _list(self) -> None:
        """List what was found, and stay with the phrase that was chosen if it is there."""
        before = self.phrases.value
        names = [phrase.name for phrase in self.shelf.found]
        with unwatched(self._choose, self.phrases):
            self.phrases.options = self.shelf.listed
            self.phrases.value = before if before in names else next(iter(names), None)
        self._choose(None)

    @answer
    def _choose(self, _: object) -> None:
        """Tell which phrase is chosen; one that another notebook took away is none."""
        guarded(self.problem, self._tell)

    def _tell(self) -> None:
        """Read the phrase that is chosen, and tell it."""
        name = self.phrases.value
        self._chosen(None if name is None else self.book().phrase(name))


def _still(value: Any, options: Any) -> Any:
    """Return what was asked for, if the book still has it."""
    return value if any(value == offered for _, offered in options) else ANY
