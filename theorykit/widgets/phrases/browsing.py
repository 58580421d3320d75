"""The phrase book: find a phrase, see it, set it into keys and forms, hear and practise it."""

from __future__ import annotations

from os import PathLike
from typing import Any

import ipywidgets as ipw

from theorykit.errors import TheoryError, expect_path
from theorykit.harmony.colours import Colour
from theorykit.lines.text import Line
from theorykit.show.exports import Wanted
from theorykit.show.html_text import sentences_html
from theorykit.study.phrase import Phrase
from theorykit.tunes.progression import FORMS
from theorykit.views.shelf import AS_KEPT, PhraseView, form_options, key_options, phrase_view
from theorykit.views.sounding import rehearse
from theorykit.widgets.controls import (
    answer,
    choice,
    guarded,
    keep_keys,
    offer,
    panel,
    picture,
    put,
    readers,
    safely,
    watch,
)
from theorykit.widgets.exploring import FORM_WORDS
from theorykit.widgets.faults import Page
from theorykit.widgets.hearing import Hearing
from theorykit.widgets.line_page import LinePage
from theorykit.widgets.phrases.changing import Bringing, Editing
from theorykit.widgets.phrases.finding import Finding
from theorykit.widgets.taking_away import Exporting, Kind, line_kinds
from theorykit.widgets.works import Hands, KeptWork, by_label, place_of, put_back, told_by

TABS = ("tags and notes", "export", "bring in")
FORM_NAMES = [(FORM_WORDS[name], name) for name in FORMS]
NOTHING = "No phrase is chosen."


class PhraseShelf(Page):
    """The phrase book as a widget; its controls are attributes.

    >>> from tempfile import TemporaryDirectory
    >>> from theorykit.lines.demonstration import demonstration
    >>> from theorykit.study.phrasebook import PhraseBook
    >>> with TemporaryDirectory() as folder:
    ...     book = PhraseBook(f"{folder}/thursday.sqlite")
    ...     _ = book.keep("Ida's turn", demonstration("C", "short", "b9"), colour="b9")
    ...     box = PhraseShelf(book.path)
    >>> box.key.value = "Eb major"
    >>> box.view.told
    ('Moved to E♭ major.',)
    """

    def __init__(
        self,
        path: str | PathLike[str] | None = None,
        *,
        draft: str = "",
        drafts: str | PathLike[str] | None = None,
    ) -> None:
        self.shown: PhraseView | None = None
        self.key = choice("set into", [("as it was kept", AS_KEPT)], AS_KEPT)
        self.into = choice("in the form", [("as it was kept", AS_KEPT)], AS_KEPT)
        self.reader = readers()
        self.problem, self.told, self.page = picture(), picture(), LinePage()
        book = "" if path is None else expect_path(path, "a phrase book")
        self.finding = Finding(book, self._choose)
        self.hearing = Hearing(self._heard)
        self.editing = Editing(self.finding.book, self.finding.look)
        self.exporting = Exporting(self._kinds(), self._title)
        self.bringing = Bringing(self.finding.book, self.finding.look)
        place = place_of("phrases", draft, {"book": book})
        hands = Hands(self._half_typed, self._bring, setting=self._settings)
        self.mine = KeptWork("phrases", place, hands, drafts)
        super().__init__(self._parts())
        keep_keys(self)
        watch((self.key, self.into, self.reader), self._set)
        watch(self.hearing.controls, safely(self.problem, self.exporting.stale))
        self.finding.look()
        self.mine.begin()
        watch((self.editing.tags, self.editing.notes), lambda _: self.mine.later())

    @property
    def _settings(self) -> dict[str, Any]:
        """What is asked for, chosen and set, in the order in which one does it."""
        found = {"book": self.finding.path, **self.finding.asked, "phrase": self.finding.phrases}
        set_into = {"key": self.key, "into": self.into, "written for": self.reader}
        return {**found, **set_into, **by_label(self.hearing, self.exporting)}

    def _half_typed(self) -> dict[str, Any]:
        """Return tags and notes as they stand in their fields, and whose they are."""
        phrase = self.editing.phrase
        fields = told_by(self._edited) if phrase is not None else {}
        return {"phrase": "" if phrase is None else phrase.name, **fields}

    @property
    def _edited(self) -> dict[str, Any]:
        """The fields for tags and notes."""
        return {"tags": self.editing.tags, "notes": self.editing.notes}

    def _bring(self, kept: dict[str, Any]) -> None:
        """Put tags and notes back that were not saved yet, beside their own phrase alone."""
        phrase = self.editing.phrase
        if phrase is not None and phrase.name == kept.get("phrase"):
            put_back(self._edited, kept)

    def _parts(self) -> list[ipw.Widget]:
        """Lay the parts out, in the order in which one works."""
        setting = panel(self.key, self.into, self.reader)
        tabs = ipw.Tab((self.editing, self.exporting, self.bringing), titles=TABS)
        seen = [setting, self.problem, self.told, self.page]
        return [self.finding, self.mine.problem, self.mine.saved, *seen, self.hearing, tabs]

    @property
    def view(self) -> PhraseView:
        """The phrase as it is set."""
        if self.shown is None:
            raise TheoryError("no phrase is chosen (want one from the list)")
        return self.shown

    def _choose(self, phrase: Phrase | None) -> None:
        """Another phrase was chosen, or none."""
        self.editing.show(phrase)
        if phrase is None:
            self.shown = None
            put(self.told, sentences_html("", NOTHING))
            return
        for control, options in (
            (self.key, key_options(phrase)),
            (self.into, form_options(phrase, FORM_NAMES)),
        ):
            still = any(control.value == value for _, value in options)
            offer(control, options, control.value if still else AS_KEPT, self._set)
        guarded(self.problem, lambda: self._look(phrase))

    @answer
    def _set(self, _: object) -> None:
        """Another key, form or reader."""
        if self.shown is not None:
            phrase = self.shown.phrase
            guarded(self.problem, lambda: self._look(phrase))

    def _look(self, phrase: Phrase) -> None:
        """Decide, then draw."""
        view = phrase_view(phrase, self.key.value, self.into.value, reader=self.reader.value)
        self.shown = view
        put(self.told, sentences_html(view.title, *view.told))
        self.page.show(view.page)
        self.hearing.stale()
        self.exporting.stale()

    def _heard(self) -> tuple[Line, Colour | None]:
        """Return what is heard."""
        return self.view.setting.line, self.view.colour

    def _wanted(self) -> Wanted:
        """Return what a file is made of."""
        practice = rehearse(*self._heard(), self.hearing.wishes)
        name = self.view.phrase.name
        return Wanted(practice, self.reader.value, self.hearing.melody.value, name)

    def _title(self) -> str:
        """Return what the phrase is called in a file, with the key that it is set into."""
        return f"{self.view.phrase.name} in {self.view.setting.line.progression.key.pretty}"

    def _kinds(self) -> list[Kind]:
        """Return what the phrase, and what all phrases of the list, can be taken away as."""
        listed = Kind(
            "JSON, all phrases listed", ".json", "application/json", self._json, called="phrases"
        )
        return [*line_kinds(self._wanted), listed]

    def _json(self) -> bytes:
        """Return the phrases of the list as JSON."""
        names = [phrase.name for phrase in self.finding.shelf.found]
        return self.finding.book().export_json(names).encode()


def phrase_book(
    path: str | PathLike[str] | None = None,
    *,
    draft: str = "",
    drafts: str | PathLike[str] | None = None,
) -> PhraseShelf:
    """Return the phrase book at a path, by default the reader's own in the user's data directory.

    What is asked for and typed is there again when the cell is run again: ``draft`` names the page,
    so that two on the same book each have their own, and ``drafts`` is the file in which that is
    kept, by default the reader's own.

    >>> phrase_book("no such folder/book.sqlite").finding.shelf.words
    'No phrase in the book yet.'
    """
    return PhraseShelf(path, draft=draft, drafts=drafts)
