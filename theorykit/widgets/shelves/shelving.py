"""The shelf: own tunes, lines, phrases and handouts in lists, the term, the folder of files."""

from __future__ import annotations

from datetime import date
from os import PathLike
from pathlib import Path
from typing import Any

import ipywidgets as ipw

from theorykit.errors import TheoryError, expect_path
from theorykit.handout.term_sheet import next_handout, term_of
from theorykit.harmony.colours import COLOURS
from theorykit.notes.key import KEYS
from theorykit.show.exports import file_stem, link_html
from theorykit.show.html_text import sentences_html, table_html
from theorykit.show.own_place import keep_work_folder, work_folder
from theorykit.study.drafts import Drafts
from theorykit.study.term import KEY_RULE, TERM_HEADS, Term, day_words
from theorykit.views.line import LineDraft
from theorykit.widgets.controls import (
    LABEL_WIDTH,
    answer,
    button,
    choice,
    guarded,
    in_notebook,
    keep_keys,
    panel,
    picture,
    put,
    typed,
    watch,
)
from theorykit.widgets.faults import Page, lasting
from theorykit.widgets.handouts import HandoutDesk
from theorykit.widgets.lines import LineDesk
from theorykit.widgets.reader_files import own_drafts, show_changes
from theorykit.widgets.shelves.own_works import PHRASE, OwnWorks
from theorykit.widgets.tunes import TuneDesk
from theorykit.widgets.works import Hands, KeptWork, place_of, tell_works

WIDE, ROWS = "760px", 8
TERM = "term"
LONGEST = 70  # letters of a title, so that its day is seen behind it
FOUND_NOTHING = "Nothing on this shelf has all of the words that are searched for."
FROM_BEFORE = "What was kept is kept; what the shelf lists is from before."
SHOWN = [
    ("tunes", "tune"),
    ("lines", "line"),
    ("phrases", PHRASE),
    ("handouts", "handout"),
    ("the term", TERM),
]
FOLDER = "where your works lie as text files too, for a service that carries them; empty for none"
NO_FOLDER = (
    "Your works are kept on this computer alone. Name a folder, and each of them is a text file in "
    "it as well: to read without this page, to carry along, to use on two machines."
)
IN_FOLDER = "Every work is a text file in {0}. What is changed there is here when you look again."


class Shelf(Page):
    """The shelf as a widget; its controls are attributes.

    >>> from theorykit.widgets import tune_desk
    >>> desk = tune_desk("| Dm7 | G7 | C6 |")
    >>> desk.text.value = "title: Wet Gloves\\n| Dm7 | G7 | C6 |"
    >>> box = shelf(desk)
    >>> [label.partition(",")[0] for label, _ in box.list.options]
    ['Wet Gloves']
    """

    def __init__(
        self,
        tunes: TuneDesk | None,
        lines: LineDesk | None,
        sheet: HandoutDesk | None,
        book: str,
        path: Path | None,
    ) -> None:
        self._desks: dict[str, Any] = {"tune": tunes, "line": lines, "handout": sheet}
        self.works = OwnWorks(self._drafts(path), book)
        self.kind = choice("on the shelf", SHOWN, "tune")
        self.search = typed("search", "", "words of a title or of a text", example="gloves")
        self.search.continuous_update = True
        self.list: Any = ipw.Select(
            description="works",
            rows=ROWS,
            layout={"width": WIDE, "max_width": "98%"},
            style={"description_width": LABEL_WIDTH},
        )
        self.bring = button("open on its desk", self._open, "what is there stays in the list")
        self.next = button("new from last week's", self._next, "last week's handout, a week later")
        self.copy = button("a copy", self._copy, "to change it and keep both")
        self.out = button("take out", self._take_out, "undo brings it back")
        self.undo = button("undo taking out", self._undo, "bring back what was taken out last")
        self.save = button("make a link to its text", self._save, "a link that saves the text file")
        self.again = button("look again", self._look_again, "the folder may have changed")
        self.folder = typed("folder", str(work_folder() or ""), FOLDER, example="~/Thursday")
        self.folder.layout.width, self.folder.layout.max_width = WIDE, "98%"
        self.problem, self.told, self.term, self.where = (picture() for _ in range(4))
        setting = {"show": self.kind, "search": self.search}
        hands = Hands(dict, lambda _: None, setting=setting)
        self.mine = KeptWork("shelf", place_of("shelf", "", {}), hands, path)
        super().__init__(self._parts())
        keep_keys(self)
        self.mine.begin()
        watch((self.kind, self.search), self._asked)
        self.folder.observe(self._new_folder, "value")
        tell_works(self)
        show_changes(self)
        guarded(self.problem, self._agree, self._look)

    def _drafts(self, path: Path | None) -> Drafts:
        """Return the drafts of the desks, or else the reader's own."""
        for desk in self._desks.values():
            if desk is not None:
                return desk.mine.drafts  # type: ignore[no-any-return]
        return own_drafts(path) if path is not None or in_notebook() else Drafts()

    def _parts(self) -> list[ipw.Widget]:
        """Lay the parts out."""
        pressed = panel(
            self.bring, self.next, self.copy, self.out, self.undo, self.save, self.again
        )
        asked = panel(self.kind, self.search)
        said = [self.problem, self.told, self.term, self.folder, self.where]
        return [asked, self.list, pressed, *said, self.mine.problem, self.mine.saved]

    # What is shown.

    @answer
    def _asked(self, _: object) -> None:
        """Another kind, or other words."""
        put(self.told, "")
        guarded(self.problem, self._look)

    def works_changed(self, kind: str) -> None:
        """A work was kept on a desk: list it."""
        if kind == self.kind.value or self.kind.value == TERM:
            guarded(self.problem, self._look, stays=FROM_BEFORE)

    def book_changed(self, file: Path) -> None:
        """A phrase was kept: list it, and write its file."""
        guarded(self.problem, self._agree, self._look, stays=FROM_BEFORE)

    def _look(self) -> None:
        """List what there is, or show the term: first find all of it, then show it."""
        kind = self.kind.value
        is_term, folder = kind == TERM, work_folder()
        term, rows = (self._term_html(), []) if is_term else ("", self._rows(kind))
        nothing_aside = not is_term and not self.works.drafts.aside(kind)
        where = sentences_html("", IN_FOLDER.format(folder) if folder else NO_FOLDER)
        for control in (self.list, self.bring, self.copy, self.out, self.undo, self.save):
            control.layout.display = "none" if is_term else ""
        self.next.layout.display = "" if kind in (TERM, "handout") else "none"
        nothing = not is_term and not rows and self.search.value.strip()
        put(self.term, sentences_html("", FOUND_NOTHING) if nothing else term)
        put(self.where, where)
        if not is_term:
            self._list(rows)
            self.undo.disabled = nothing_aside

    def _rows(self, kind: str) -> list[tuple[str, Any]]:
        """Return the works of a kind as they are listed."""
        found = self.works.rows(kind, self.search.value)
        return [(f"{_short(row.title)}, {day_words(row.day)}", row.own) for row in found]

    def _list(self, rows: list[tuple[str, Any]]) -> None:
        """List works; the chosen one stays chosen."""
        before, there = self.list.value, [own for _, own in rows]
        now = before if before in there else next(iter(there), None)
        options = tuple(_numbered(rows))
        if self.list.options != options:
            self.list.options = options
        self.list.value = now
        for control in (self.bring, self.copy, self.out, self.save):
            control.disabled = not rows

    @property
    def _term(self) -> Term:
        """The term of the handouts on the shelf."""
        return term_of((text, day) for _, text, day in self.works.handouts())

    def _term_html(self) -> str:
        """Return the sheets of the term, and what is not given yet."""
        term = self._term
        tunes = [row.title for row in self.works.rows("tune")]
        rows = [one.row for one in term.sheets]
        caption = "The term, the last sheet first" if rows else "No handout is on the shelf yet."
        table = table_html(caption, TERM_HEADS, rows)
        left = term.not_yet([row.name for row in COLOURS], KEYS, tunes)
        return f"{table}{sentences_html('', *left, KEY_RULE)}"

    # What is pressed.

    def _chosen(self) -> tuple[str, Any]:
        """Return the kind and the key of the chosen work."""
        self._write()
        if self.list.value is None or self.kind.value == TERM:
            raise TheoryError("no work is chosen (want one of the list)")
        return self.kind.value, self.list.value

    def _write(self) -> None:
        """Let every desk write what was typed last."""
        for desk in self._desks.values():
            if desk is not None:
                desk.mine.write()

    @answer
    def _open(self, _: object) -> None:
        """Put the chosen work on its desk."""
        guarded(self.problem, lambda: self._put_on(*self._chosen()))

    def _put_on(self, kind: str, own: int | str) -> None:
        """Put a work on its desk; a phrase comes to the desk for lines as a line of its own."""
        at = "line" if kind == PHRASE else kind
        desk = self._desks[at]
        if desk is None:
            raise TheoryError(f"no desk for {at}s is open beside the shelf (want shelf(desk))")
        if kind == PHRASE:
            phrase = book.phrase(str(own)) if (book := self.works.book()) else None
            if phrase is None:
                raise TheoryError("no phrase book any more (want one with phrases)")
            state = LineDraft(phrase.line.progression).taken(phrase.line)
            desk.mine.take(state.data, f"{phrase.name} out of the book, as a line of your own.")
        else:
            desk.mine.put_on(self.works.drafts.opened(int(own)))
        put(self.told, sentences_html("", f"It is on the desk for {at}s, further down."))

    @answer
    def _next(self, _: object) -> None:
        """Begin the handout of the week after the last one."""
        guarded(self.problem, self._begin_next)

    def _begin_next(self) -> None:
        """Begin a handout with last week's text and the day of the next week."""
        self._write()
        sheets = self.works.handouts()
        latest = next(iter(self._term.sheets), None)
        found = [text for _, text, day in sheets if term_of([(text, day)]).sheets == (latest,)]
        if not found:
            raise TheoryError("no handout of last week (want one on the shelf that can be read)")
        self._begin("handout", {"text": next_handout(found[0], date.today())})

    @answer
    def _copy(self, _: object) -> None:
        """Begin a work like the chosen one."""
        guarded(self.problem, self._double)

    def _double(self) -> None:
        """Begin a work like the chosen one; a phrase becomes a line."""
        kind, own = self._chosen()
        if kind == PHRASE:
            self._put_on(kind, own)
        else:
            self._begin(kind, self.works.data(own))

    def _begin(self, kind: str, data: dict[str, Any]) -> None:
        """Begin a work, list it, and put it on its desk where that is open."""
        number = self.works.begin(kind, data)
        lasting(f"a new {kind} is on the shelf.")
        self._changed(kind)
        if self.kind.value == kind:
            self.list.value = number
        put(self.told, sentences_html("", f"A new {kind} is on the shelf."))
        if self._desks[kind] is not None:
            self._put_on(kind, number)

    @answer
    def _take_out(self, _: object) -> None:
        """Take the chosen work off the shelf."""
        guarded(self.problem, self._take_off)

    def _take_off(self) -> None:
        """Take the chosen work off the shelf, and off its desk."""
        kind, own = self._chosen()
        title = next(label for label, value in self.list.options if value == own)
        desk = self._desks.get(kind)
        if desk is not None and desk.mine.has(own):
            desk.mine.put_on(None)
        self.works.take_out(kind, own)
        lasting(f"{title} is taken out.")
        self._changed(kind)
        put(self.told, sentences_html("", f"Taken out: {title}. Undo brings it back."))

    @answer
    def _undo(self, _: object) -> None:
        """Bring back what was taken out last."""
        guarded(self.problem, self._bring_back)

    def _bring_back(self) -> None:
        """Bring back what was taken out last of the kind that is shown."""
        title = self.works.bring_back(self.kind.value)
        lasting(f"{title} is brought back.")
        self._changed(self.kind.value)
        put(self.told, sentences_html("", f"Brought back: {title}."))

    @answer
    def _save(self, _: object) -> None:
        """Put the text of the chosen work into a link."""
        guarded(self.problem, self._make_link)

    def _make_link(self) -> None:
        """Put the text of the chosen work into a link."""
        kind, own = self._chosen()
        text, ending = self.works.paper(kind, own)
        title = next(label for label, value in self.list.options if value == own)
        name = f"{file_stem(title.rpartition(',')[0] or title)}{ending}"
        put(self.told, link_html(name, "text/plain", text.encode("utf-8", "replace")))

    # The folder.

    @answer
    def _look_again(self, _: object) -> None:
        """Look into the folder, and list anew."""
        put(self.told, "")
        guarded(self.problem, self._agree, self._look)

    @answer
    def _new_folder(self, _: object) -> None:
        """Another folder: keep it, and put every work into it."""
        guarded(self.problem, self._keep_folder, self._agree, self._look)

    def _keep_folder(self) -> None:
        """Keep the folder."""
        keep_work_folder(self.folder.value)
        lasting("the folder is kept.")

    def _agree(self) -> None:
        """Make works and files alike, and say what came of it."""
        told = self.works.agree()
        if told:
            put(self.told, sentences_html("", *told))
        for desk in self._desks.values():
            if told and desk is not None:
                desk.mine.look_again()

    def _changed(self, kind: str) -> None:
        """A work has come or gone: files, lists and desks follow."""
        self._agree()
        self._look()
        desk = self._desks.get(kind)
        if desk is not None:
            desk.mine.look_again()


def _numbered(rows: list[tuple[str, Any]]) -> list[tuple[str, Any]]:
    """Return rows whose labels all differ: of those that are alike the newer ones are numbered.

    The newest work has the highest number, wherever it stands in the list.

    >>> _numbered([("Bridges", 7), ("Bridges", 2)])
    [('Bridges (2)', 7), ('Bridges', 2)]
    """
    count: dict[str, int] = {}
    found = {}
    for label, own in sorted(rows, key=lambda row: (isinstance(row[1], str), row[1])):
        count[label] = count.get(label, 0) + 1
        found[own] = label if count[label] == 1 else f"{label} ({count[label]})"
    return [(found[own], own) for _, own in rows]


def _short(title: str) -> str:
    """Return a title as it is listed: that of a line is as long as its text.

    >>> _short("Wet Gloves"), len(_short("8th F4 " * 100)) <= LONGEST
    ('Wet Gloves', True)
    """
    return title if len(title) <= LONGEST else f"{title[: LONGEST - 4].rstrip()} ..."


def shelf(
    tunes: TuneDesk | None = None,
    lines: LineDesk | None = None,
    sheet: HandoutDesk | None = None,
    *,
    book: str | PathLike[str] | None = None,
    path: str | PathLike[str] | None = None,
) -> Shelf:
    """Return the shelf; works are opened on the desks that it is given.

    ``book`` is the path of a phrase book, ``path`` the file of drafts where no desk is given; by
    default both are the reader's own.

    >>> shelf().kind.label
    'tunes'
    """
    own = None if path is None else Path(expect_path(path)).expanduser()
    phrases = "" if book is None else expect_path(book, "a phrase book")
    return Shelf(tunes, lines, sheet, phrases, own)
