"""Forms of the journal: practice and notes put in, tables and pages taken out, forgetting."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path

import ipywidgets as ipw

from theorykit.errors import TheoryError, shown
from theorykit.harmony.wording import counted
from theorykit.notes.key import Key
from theorykit.show.exports import link_html
from theorykit.show.files import file_at, make_own_folder
from theorykit.show.html_text import said_html, sentences_html, wide_table_html
from theorykit.show.own_reader import own_folder
from theorykit.study.journal import Journal
from theorykit.views.journal_view import JournalView
from theorykit.widgets.controls import (
    answer,
    area,
    button,
    choice,
    guarded,
    number,
    panel,
    picture,
    put,
    typed,
)
from theorykit.widgets.drills.question_page import change, show
from theorykit.widgets.faults import Page, lasting

FIELD, FIELD_LABEL = "280px", "60px"  # two in a row
MOST_MINUTES, MOST_KEYS = 600, 30
NOTES_HEIGHT, MOST_NOTES = 200, 100
JOURNAL_FILE = "journal.sqlite"
TABLES = (("answers", "answers"), ("practice", "practice"), ("notes", "notes"))
PANDAS = 'pandas.read_sql("select * from {table}", sqlite3.connect("{path}"))'


def own_journal() -> Path:
    """Return the path of the reader's own journal, beside the phrase book."""
    return own_folder() / JOURNAL_FILE


def journal_at(path: str) -> Journal:
    """Return the journal at a path; the reader's own folder is made, no other one is."""
    file = file_at(path, ".sqlite")
    try:
        if file == own_journal():
            make_own_folder(file.parent)
        return Journal(file)
    except OSError as wrong:
        raise TheoryError(f"cannot use {shown(path)}: {wrong.strerror}") from None


class PracticeForm(Page):
    """A small form for some minutes of practice; ``changed`` is called when they are kept."""

    def __init__(self, journal: Callable[[], Journal], changed: Callable[[], None]) -> None:
        self._journal, self._changed = journal, changed
        self.what = typed("what", "", "a phrase, a tune, an exercise", example="Ida's turn")
        self.minutes = number("minutes", 15, 1, MOST_MINUTES)
        self.tempo = typed("tempo", "", "beats a minute; may stay empty", example="96")
        self.in_keys = typed("keys", "", "may stay empty", example="Db, F minor")
        self.keep = button("note the practice", self._press)
        self.problem, self.told = picture(), picture()
        for one in (self.what, self.minutes, self.tempo, self.in_keys):
            one.layout.width, one.style.description_width = FIELD, FIELD_LABEL
        fields = panel(self.what, self.minutes, self.tempo, self.in_keys)
        super().__init__([fields, panel(self.keep), self.problem, self.told])

    @answer
    def _press(self, _: object) -> None:
        """Keep the minutes."""
        put(self.told, "")
        guarded(self.problem, self._keep)

    def _keep(self) -> None:
        """Read the form, keep it, and say so."""
        what, minutes = self.what.value.strip(), self.minutes.value
        keys = [Key.parse(name.strip()) for name in self.in_keys.value.split(",") if name.strip()]
        if len(keys) > MOST_KEYS:
            raise TheoryError(f"{len(keys)} keys (want at most {MOST_KEYS})")
        if not what:
            raise TheoryError("nothing was practised (want a phrase, a tune or an exercise)")
        self._journal().practised(what, minutes, tempo=_tempo(self.tempo.value), keys=keys)
        lasting(f"{counted(minutes, 'minute')} of {what} are kept.")
        put(self.told, said_html("", f"Kept: {what}, {counted(minutes, 'minute')}."))
        self._changed()


def _tempo(text: str) -> float | None:
    """Read a tempo, or none."""
    if not text.strip():
        return None
    try:
        found = float(text)
    except ValueError:
        found = 0
    if not 10 <= found <= 800:
        raise TheoryError(f"not a tempo: {shown(text)} (want 10 to 800 beats a minute)")
    return found


class NotesForm(Page):
    """Notes of one's own: a field for a new one, and those that are there."""

    def __init__(self, journal: Callable[[], Journal], changed: Callable[[], None]) -> None:
        self._journal, self._changed = journal, changed
        self.about = typed("about", "", "a phrase or a tune; may stay empty", example="Ida's turn")
        self.words = area("note", "", 3, "what went well, what to watch", at_once=False)
        self.keep = button("keep the note", self._press)
        self.problem, self.told, self.seen = picture(), picture(), picture()
        pressed = panel(self.about, self.keep)
        super().__init__([self.words, pressed, self.problem, self.told, self.seen])

    def show(self, view: JournalView) -> None:
        """Show the notes, the newest first."""
        rows = view.notes[: -MOST_NOTES - 1 : -1]
        heads = ("day", "about", "note")
        put(self.seen, wide_table_html("Notes", heads, rows, height=NOTES_HEIGHT, empty="No note."))

    @answer
    def _press(self, _: object) -> None:
        """Keep a note."""
        put(self.told, "")
        guarded(self.problem, self._keep)

    def _keep(self) -> None:
        """Keep it, and empty the field."""
        if not self.words.value.strip():
            raise TheoryError("nothing is written (want a note)")
        self._journal().noted(self.words.value.strip(), about=self.about.value.strip())
        lasting("the note is kept.")
        change(self.words, value="")
        put(self.told, said_html("", "The note is kept."))
        self._changed()


class TakingOut(Page):
    """Tables as CSV and the page for a lesson; and forgetting, with a way back."""

    def __init__(
        self,
        journal: Callable[[], Journal],
        page: Callable[[str], bytes],
        changed: Callable[[], None],
    ) -> None:
        self._journal, self._page, self._changed = journal, page, changed
        self.table = choice("table", TABLES, "answers")
        self.csv = button("make a link to it as CSV", self._csv)
        self.name = typed("your name", "", "on the page; may stay empty", example="Ida")
        self.print = button("make a page for the lesson", self._print)
        self.forget = button("forget the table", self._ask, "it can be brought back")
        self.last = button("forget its last row", self._last, "it can be brought back")
        self.back = button("bring back", self._back, "what was forgotten, but not for good")
        self.good = button("forget for good", self._good, "what was forgotten leaves the file")
        self.question = picture()
        self.yes, self.no = button("yes", self._yes), button("no", self._no)
        self._meant: Callable[[], None] | None = None
        self.problem, self.told, self.line = picture(), picture(), picture()
        super().__init__(self._parts())
        self.table.observe(self._line, "value")
        self._line(None)

    def _parts(self) -> list[ipw.Widget]:
        """Lay the parts out."""
        self.asked = panel(self.question, self.yes, self.no)
        show(self.asked, False)
        taken, printed = panel(self.table, self.csv), panel(self.name, self.print)
        forgotten = panel(self.forget, self.last, self.back, self.good)
        return [taken, self.line, printed, forgotten, self.asked, self.problem, self.told]

    @answer
    def _line(self, _: object) -> None:
        """Show the one line with which pandas reads the table."""
        text = PANDAS.format(table=self.table.value, path=self._journal().path)
        put(self.line, sentences_html("", f"pandas reads it in one line: {text}"))

    @answer
    def _csv(self, _: object) -> None:
        """Put the table into a link."""
        name = self.table.value
        guarded(self.problem, lambda: self._give(f"{name}.csv", "text/csv", self._made(name)))

    def _made(self, name: str) -> bytes:
        """Return a table as the content of a file."""
        return self._journal().csv(name).encode()

    @answer
    def _print(self, _: object) -> None:
        """Put the page for a lesson into a link."""
        guarded(
            self.problem,
            lambda: self._give("lesson.pdf", "application/pdf", self._page(self.name.value)),
        )

    def _give(self, name: str, media: str, data: bytes) -> None:
        """Show a link."""
        put(self.told, link_html(name, media, data))

    # === Forgetting ===

    @answer
    def _ask(self, _: object) -> None:
        """Ask before a table is put aside."""
        name = self.table.value
        self._sure(f"Forget all {name}? They can be brought back.", lambda: self._forget(name))

    @answer
    def _good(self, _: object) -> None:
        """Ask before anything is lost."""
        self._sure("What was forgotten leaves the file now, and has no way back. Sure?", self._gone)

    def _sure(self, words: str, meant: Callable[[], None]) -> None:
        """Ask, with the focus on the answer that changes nothing."""
        self._meant = meant
        put(self.told, "")
        put(self.question, said_html("", words))
        show(self.asked)
        self.no.focus()

    @answer
    def _yes(self, _: object) -> None:
        """Do what was asked about."""
        meant = self._meant
        self._no(_)
        if meant is not None:
            guarded(self.problem, meant)

    @answer
    def _no(self, _: object) -> None:
        """Leave everything as it is."""
        self._meant = None
        show(self.asked, False)
        self.forget.focus()

    def _forget(self, name: str) -> None:
        """Put a table aside."""
        count = self._journal().forget(name)
        self._done(f"Forgotten: {counted(count, 'row')} of {name}. 'Bring back' is the way back.")

    @answer
    def _last(self, _: object) -> None:
        """Put the last row of the table aside."""
        guarded(self.problem, self._forget_last)

    def _forget_last(self) -> None:
        """Put it aside, and say so."""
        name = self.table.value
        there = self._journal().forget_last(name)
        self._done(f"The last row of {name} is forgotten." if there else f"{name} is empty.")

    @answer
    def _back(self, _: object) -> None:
        """Bring everything back."""
        guarded(self.problem, self._bring_back)

    def _bring_back(self) -> None:
        """Bring it back, and say how much it was."""
        count = self._journal().bring_back()
        self._done(f"{counted(count, 'row').capitalize()} came back.")

    def _gone(self) -> None:
        """Forget for good."""
        self._journal().forget_for_good()
        self._done("What was forgotten has left the file.")

    def _done(self, words: str) -> None:
        """Say what is done, and show the journal as it is now."""
        lasting(words)
        self._changed()
        put(self.told, said_html("", words))


def today() -> datetime:
    """Return the time."""
    return datetime.now(UTC)
