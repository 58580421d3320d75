"""The journal on a page: what is known, what is due, what was practised; notes and forgetting."""

from __future__ import annotations

from os import PathLike

import ipywidgets as ipw

from theorykit.errors import expect_path
from theorykit.notes.key import MODES
from theorykit.notes.reader import reader as reader_named
from theorykit.show.html_text import said_html, sentences_html
from theorykit.show.pictures import Drawable, picture_svg
from theorykit.study.journal import Journal
from theorykit.views.bar_chart import BarsView
from theorykit.views.journal_view import LEGEND, JournalView, journal_view
from theorykit.widgets.controls import (
    answer,
    button,
    choice,
    guarded,
    keep_keys,
    panel,
    picture,
    put,
    readers,
    watch,
)
from theorykit.widgets.drills.journal_forms import (
    NotesForm,
    PracticeForm,
    TakingOut,
    journal_at,
    own_journal,
    today,
)
from theorykit.widgets.drills.question_page import show
from theorykit.widgets.faults import Page
from theorykit.widgets.picture_saving import Saving

LEAVES = ("how well", "this week", "practice", "notes", "take out, forget")
KEYS_SHOWN = tuple((f"{mode} keys", mode) for mode in MODES)
BARS_SCALE = 0.9


class JournalDesk(Page):
    """The journal as a widget; its parts are attributes, ``view`` is what it shows.

    >>> from tempfile import TemporaryDirectory
    >>> with TemporaryDirectory() as folder:
    ...     box = JournalDesk(f"{folder}/journal.sqlite")
    ...     box.practice.what.value, box.practice.tempo.value = "Ida's turn", "96"
    ...     box.practice.keep.click()
    ...     box.view.tempi.rows[0].words
    '96 beats a minute'
    """

    def __init__(
        self, path: str | PathLike[str] | None = None, *, written_for: str | None = None
    ) -> None:
        self._path = str(own_journal() if path is None else expect_path(path, "a journal"))
        self.view: JournalView | None = None
        self.mode = choice("colours in", KEYS_SHOWN, MODES[0])
        self.reader = readers()
        if written_for is not None:
            self.reader.value = reader_named(written_for)
        self.refresh = button("look again", self._again, "what another notebook has written since")
        self.problem, self.words = picture(), picture()
        self.grid, self.minutes, self.tempi, self.due = (picture() for _ in range(4))
        self.practice = PracticeForm(self.journal, self._look)
        self.notes = NotesForm(self.journal, self._look)
        self.taking = TakingOut(self.journal, self._page, self._look)
        self._add_savings()
        super().__init__(self._parts())
        keep_keys(self)
        watch((self.mode, self.reader), self._again)
        guarded(self.problem, self._look)

    def _add_savings(self) -> None:
        """Add the menus that save the pictures."""
        self.savings = [
            Saving("grid", self.grid, lambda: f"{self.mode.value} keys", self._grid_view),
            Saving("dates", self.due, lambda: "this week", lambda: self._bars("due")),
            Saving("minutes", self.minutes, lambda: "by week", lambda: self._bars("minutes")),
            Saving("tempi", self.tempi, lambda: "reached", lambda: self._bars("tempi")),
        ]

    def _bars(self, name: str) -> BarsView | None:
        """Return bars that are shown."""
        found: BarsView | None = getattr(self.view, name, None)
        return found

    def _parts(self) -> list[ipw.Widget]:
        """Lay the parts out, in the order in which one reads them."""
        legend = picture()
        legend.value = sentences_html("", LEGEND)
        grid, due, minutes, tempi = self.savings
        self.leaves = (
            ipw.VBox([panel(self.mode), self.grid, legend, grid]),
            ipw.VBox([self.due, due]),
            ipw.VBox([self.practice, self.minutes, minutes, self.tempi, tempi]),
            self.notes,
            self.taking,
        )
        self.leaf = ipw.ToggleButtons(
            options=[(name, place) for place, name in enumerate(LEAVES)],
            tooltips=LEAVES,
            style={"button_width": "auto"},
        )
        self.leaf.observe(self._turn, "value")
        self._turn(None)
        above = [panel(self.reader, self.refresh), self.problem, self.words, self.leaf]
        return [*above, *self.leaves]

    @answer
    def _turn(self, _: object) -> None:
        """Show another part of the journal."""
        for place, leaf in enumerate(self.leaves):
            show(leaf, place == self.leaf.value)

    def journal(self) -> Journal:
        """Return the journal that is shown."""
        return journal_at(self._path)

    @answer
    def _again(self, _: object) -> None:
        """Other keys, another reader, or what was written since."""
        guarded(self.problem, self._look)

    def _grid_view(self) -> Drawable | None:
        """Return the grid that is shown."""
        return self.view.grids[self.mode.value] if self.view is not None else None

    def _look(self) -> None:
        """Decide, then draw."""
        self.view = view = journal_view(self.journal(), today(), reader=self.reader.value)
        put(self.words, said_html(*view.words))
        put(self.grid, picture_svg(view.grids[self.mode.value]))
        put(self.due, picture_svg(view.due, scale=BARS_SCALE))
        put(self.minutes, picture_svg(view.minutes, scale=BARS_SCALE))
        put(self.tempi, picture_svg(view.tempi, scale=BARS_SCALE) if view.tempi else "")
        self.notes.show(view)

    def _page(self, name: str) -> bytes:
        """Return the page for a lesson."""
        from theorykit.handout.lesson_page import lesson_pdf  # when it is wanted

        view = journal_view(self.journal(), today(), reader=self.reader.value)
        return lesson_pdf(view, today().date(), reader=self.reader.value, name=name)


def journal(
    path: str | PathLike[str] | None = None, *, written_for: str | None = None
) -> JournalDesk:
    """Return the journal at a path, by default the reader's own in the user's data directory.

    >>> journal("no such folder/journal.sqlite").problem.value.count("role=")
    1
    """
    return JournalDesk(path, written_for=written_for)
