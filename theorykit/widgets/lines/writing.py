"""The desk for lines: write a line, see and hear what it does, ask for others, keep and export."""

from __future__ import annotations

from collections.abc import Callable
from os import PathLike
from typing import Any

import ipywidgets as ipw

from theorykit.errors import TheoryError, expect, expect_path
from theorykit.harmony.wording import sentence
from theorykit.lines.text import Line
from theorykit.notes.key import Key
from theorykit.show.exports import Wanted
from theorykit.show.files import LineFile
from theorykit.show.html_text import problem_html, sentences_html
from theorykit.tunes.progression import two_five_one
from theorykit.views.line import LineDraft, LineView, line_view
from theorykit.views.sounding import rehearse
from theorykit.widgets.controls import (
    answer,
    area,
    guarded,
    keep_keys,
    panel,
    picture,
    put,
    safely,
    unwatched,
    watch,
)
from theorykit.widgets.hearing import NARROW, NARROW_LABEL, Hearing
from theorykit.widgets.line_page import ChosenLine, LinePage, Opening
from theorykit.widgets.lines.asking import Asked, Asking
from theorykit.widgets.lines.demonstrating import Demonstrating
from theorykit.widgets.lines.keeping import Keeping
from theorykit.widgets.taking_away import Exporting, line_kinds
from theorykit.widgets.works import Hands, MyWork, Sending, by_label, place_of

HINT = "8th F4 A4 C5 E5 D5 C5 A4 F4 | ..."
NEAREST = "Octaves that you left out are the nearest ones:"
HELP = (
    "A note value, then notes with their octave, C4 being middle C: 8th F4 A4 C5 E5 half D5. "
    "A note without its octave is the nearest one to the note before. "
    "A value holds until the next one. dotted and triplet stand before it; rest is silent, "
    "hold ties the last note on, | ends a bar, pickup comes first. "
    "Notes are typed at concert pitch."
)
TAKEN = "This is the line that you took over, as one of its own. Yours stays in the list."
TABS = ("ask for lines", "one idea", "keep", "export", "open a file")


class LineDesk(ChosenLine):
    """The desk as a widget; its controls are attributes.

    >>> desk = LineDesk("C", form="short")
    >>> desk.text.value = "8th F5 E5 D5 C5 B4 E5 Ab4 B4 | whole C5"
    >>> desk.view.reading.dominants[0].colour.pretty
    '♭9 13'
    >>> desk.key.value = "Eb major"
    >>> desk.text.value
    '8th Ab5 G5 F5 Eb5 D5 G5 Cb5 D5 | whole Eb5'
    """

    def __init__(
        self,
        key: str = "C major",
        colour: str = "b9 13",
        form: str = "long",
        line: Line | str = "",
        *,
        book: str | PathLike[str] | None = None,
        draft: str = "",
        path: str | PathLike[str] | None = None,
    ) -> None:
        empty = LineDraft(two_five_one(key, form))
        if not isinstance(line, Line):
            expect(line, str, "a line", "its text, or a Line")
        self.state = empty.taken(line) if isinstance(line, Line) else empty.typed(line)
        self._lent: Line | None = None  # what was taken over last, as long as nobody changes it
        self._add_choices(colour)
        self.text = area("your line", self.state.text, 2, HINT)
        place = place_of("line", draft, {**self.state.data, "colour": self.colour.value})
        self.problem, self.told, self.page = picture(), picture(), LinePage()
        self._add_rooms("" if book is None else expect_path(book, "a phrase book"))
        hands = Hands(lambda: self.state.data, self._bring, line_title, self._settings)
        self.mine = MyWork("line", place, hands, empty.data, path)
        super().__init__(self._parts())
        keep_keys(self)
        watch((self.key, self.form), self._moved)
        watch((self.colour, self.reader), self._looked)
        watch(self.hearing.controls, safely(self.problem, self.exporting.stale))
        self.text.observe(self._typed, "value")
        self.mine.begin()

    def _add_rooms(self, book: str) -> None:
        """Add what works with the line: hearing, asking, keeping, exporting, opening."""
        self.hearing = Hearing(lambda: (self.view.line, self.over_v))
        self.asking = Asking(self._asked, self.hearing.play, self._take)
        self.demonstrating = Demonstrating(
            self._asked, lambda: self.whole.line, self._take, self.hearing
        )
        self.keeping = Keeping(self._kept, book)
        self.sending = Sending()
        self.sending.to("keep it in the book", self.keeping.keep_unnamed, "under a name of its own")
        self.exporting = Exporting(
            line_kinds(self._wanted), lambda: f"line in {self.over.key.pretty}"
        )
        self.opening = Opening(lambda: self.over, self._open)

    def _parts(self) -> list[ipw.Widget]:
        """Lay the parts out, in the order in which one works."""
        chosen = (self.key, self.colour, self.form, self.reader)
        for control in chosen:  # three in a row beside the browser of files, two where it is narrow
            control.layout.width, control.style.description_width = NARROW, NARROW_LABEL
        above = panel(*chosen)
        how = picture()
        put(how, sentences_html("", HELP))
        rooms = (self.asking, self.demonstrating, self.keeping, self.exporting, self.opening)
        tabs = ipw.Tab(rooms, titles=TABS)
        self.page.put_under_staff(self.hearing)
        below = [self.told, self.problem, self.page, self.sending, tabs]
        return [self.mine, above, how, self.text, *below]

    @property
    def _settings(self) -> dict[str, Any]:
        """What stays set whatever line is on the desk."""
        own = {"colour": self.colour, "written for": self.reader}
        own |= {"player": self.hearing.player.standing}
        return {**own, **by_label(self.hearing, self.asking, self.keeping)}

    @property
    def whole(self) -> LineView:
        """What the page shows, if all of the text could be read."""
        found = self.state.read
        if not found.is_whole:
            raise TheoryError(f"the line cannot be read to its end yet: {found.problem}")
        return self.view

    def _kept(self) -> tuple[Line, str]:
        """Return what a phrase book is given."""
        return self.whole.line, self.whole.kept_colour

    def _asked(self) -> Asked:
        """Return what lines are asked for."""
        return Asked(self.over, self.over_v, self.reader.value)

    def _wanted(self) -> Wanted:
        """Return what a file is made of."""
        practice = rehearse(self.whole.line, self.over_v, self.hearing.wishes)
        return Wanted(practice, self.reader.value, self.hearing.melody.value)

    @answer
    def _typed(self, change: dict[str, str]) -> None:
        """A keystroke."""
        self.mine.later()
        self.state = self.state.typed(change["new"])
        self._answer()

    @answer
    def _looked(self, _: object) -> None:
        """Another colour or reader: the line stays."""
        self._answer()

    @answer
    def _moved(self, _: object) -> None:
        """Another key or form: the line moves with its chords, if it can."""
        self._replace(lambda: self.state.moved(self.key.value, self.form.value))

    def _take(self, line: Line) -> None:
        """Put a line on the desk: beside one of the reader's own, in the place of any other."""

        def act() -> None:
            draft = self.state.taken(line, "taken over")
            self.mine.write()
            if self._is_own and draft.text != self.state.text:
                self.mine.take(draft.data, TAKEN)
            else:
                self._replace(lambda: draft)
            self._lent = line

        guarded(self.problem, act)

    @property
    def _is_own(self) -> bool:
        """True where the line on the desk is in the list, typed or changed by the reader."""
        is_listed = self.mine.keeper.opened is not None and self.state.text.strip() != ""
        return is_listed and (self._lent is None or self.state.origin != self._lent)

    def _open(self, found: LineFile, name: str) -> None:
        """A file was opened."""
        self._replace(lambda: self.state.taken(found.line, f"opened from {name}"))
        if found.tempo is not None:
            tempo = self.hearing.tempo
            tempo.value = min(max(round(found.tempo), tempo.min), tempo.max)

    def _bring(self, data: dict[str, Any]) -> None:
        """Put a line on the desk that was kept."""
        self.state = LineDraft.of(data)
        self._sync()

    def _replace(self, make: Callable[[], LineDraft]) -> None:
        """Put another line on the desk; the one before can be brought back."""

        def act() -> None:
            self.state = make()
            self._set_controls()

        if guarded(self.problem, act):
            self._answer()
            self.mine.later()
        else:
            self._set_controls()

    def _sync(self) -> None:
        """Let the controls say what is on the desk, and show it."""
        self._set_controls()
        self._answer()

    def _set_controls(self) -> None:
        """Let the controls say what is on the desk."""
        with unwatched(self._typed, self.text):
            self.text.value = self.state.text
        self._show_choices(self._moved)

    def _answer(self) -> None:
        """Say what is amiss, and show the line as far as it can be read."""
        if guarded(self.problem, self._look) and self.state.read.problem:
            self._tell_problem()
        for room in (self.hearing, self.keeping, self.sending, self.exporting):
            room.stale()

    def _tell_problem(self) -> None:
        """Say where the text cannot be read any further; a line that goes on is no problem."""
        found = self.state.read
        if found.is_open:
            put(self.told, sentences_html("", f"Not finished yet: {found.problem}", self._octaves))
        else:
            put(self.problem, problem_html(found.problem))

    @property
    def _octaves(self) -> str:
        """What is said of octaves that were left out; empty where none was."""
        octaves = self.state.read.octaves
        return f"{NEAREST} {octaves}" if octaves else ""

    def _look(self) -> None:
        """Decide, then draw the line as far as it can be read."""
        found = self.state.read
        told = [sentence(self.state.told)] if self.state.told else []
        told += [self._octaves] if self._octaves else []
        put(self.told, sentences_html("", *told) if told else "")
        if found.line is not None:
            self.page.show(line_view(found.line, self.over_v, reader=self.reader.value))
            if found.problem and not found.is_open and not found.line.notes:
                self.page.say_nothing()
        else:
            self.page.grow_old()


def line_desk(
    key: str = "C major",
    colour: str = "b9 13",
    form: str = "long",
    line: Line | str = "",
    *,
    book: str | PathLike[str] | None = None,
    draft: str = "",
    path: str | PathLike[str] | None = None,
) -> LineDesk:
    """Return the desk for lines, opened on a key, a colour, a form and a line or its text.

    ``book`` is the file of the phrase book in which lines are kept, by default the reader's own.
    What is typed is there again when the cell is run again: ``draft`` names the desk, so that two
    with the same line each have their own, and ``path`` is the file, by default the reader's own.

    >>> line_desk("F", "b9", "short", "8th D5 Bb4 G4 F4 E4 G4 Bb4 Db5 | whole C5").view.kept_colour
    'b9'
    """
    return LineDesk(key, colour, form, line, book=book, draft=draft, path=path)


def line_title(data: dict[str, Any]) -> str:
    """Return what a line is called in a list: its key and its first notes."""
    key = Key.parse(str(data["over"]["key"]))
    notes = " ".join(str(data.get("text", "")).split())
    return f"in {key.pretty}: {notes or 'empty'}"
