"""A line on the page with words beside it, what is chosen for it, and a line opened from a file."""

from __future__ import annotations

import re
from collections.abc import Callable
from functools import partial
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

import ipywidgets as ipw

from theorykit.errors import TheoryError
from theorykit.harmony.colours import Colour, colour as named_colour
from theorykit.notes.key import KEYS
from theorykit.notes.reader import LOW_SAXOPHONES
from theorykit.show.engraving import label_room, staff_svg
from theorykit.show.files import LineFile, open_line
from theorykit.show.html_text import explanation_html, sentences_html, table_html
from theorykit.tunes.progression import FORMS, Progression
from theorykit.views.line import LineDraft, LineView
from theorykit.views.staves import StaffView
from theorykit.widgets.controls import (
    choice,
    colours,
    guarded,
    offer,
    panel,
    picture,
    put,
    readers,
    tick,
    typed,
    unwatched,
)
from theorykit.widgets.exploring import FORM_WORDS
from theorykit.widgets.faults import Page, noted
from theorykit.widgets.picture_saving import Saving
from theorykit.widgets.reader_files import FileOpening
from theorykit.widgets.side_work import Quiet

__all__ = ["ENDINGS", "ChosenLine", "LinePage", "Opening", "line_in"]

SCALE, ROOM = 50, 120  # percent; pixels kept free, so that nothing jumps
MOST_ON_ONE_LINE, PAGE_WIDTH = 4, 1000  # bars; pixels of a staff that is broken into lines
SMALLEST, A_BAR = 36, 7  # percent, and pixels for each of them in which a full bar has room
LONGEST = "420px"
SEEN = {"flex": "1 1 660px", "min_width": "min(300px, 100%)", "max_width": "100%"}
SAID = {"flex": "1 1 340px", "min_width": "min(280px, 100%)", "max_width": "100%"}
NO_NOTES = "No note yet."
OLD_STAFF = (
    "Staff and words are those of the last line that could be read. Above stands what is amiss."
)


class LinePage(Page):
    """Pictures and words of one line.

    While letters are typed, the labels under a long line are as far apart as they were before;
    whether less is enough is asked in the first quiet moment, by ``settle``.
    """

    def __init__(self) -> None:
        self.view: LineView | None = None
        self._narrow = 0
        self.quiet = Quiet(lambda: guarded(self.problem, self.settle))
        self.problem = picture()
        self.old, self.staff, self.legend = picture(), picture(ROOM), picture()
        self.words, self.table = picture(), picture()
        self.staff_saving = Saving("staff", self.staff, self._title)
        for long in (self.words, self.table):  # a whole chorus is scrolled through
            long.layout.max_height, long.layout.overflow = LONGEST, "auto"
        staff = [self.old, self.staff, self.problem, self.staff_saving]
        seen = ipw.VBox([*staff, self.legend, self.table], layout=SEEN)
        super().__init__([panel(seen, ipw.VBox([self.words], layout=SAID))])

    def put_under_staff(self, *others: ipw.Widget) -> None:
        """Let other parts stand right under the staff, and everything else below them.

        Then a line, its staff and its player are seen at once.
        """
        seen = ipw.VBox([self.staff_saving, self.legend, self.table], layout=SEEN)
        said = ipw.VBox([self.words], layout=SAID)
        self.children = [self.old, self.staff, self.problem, *others, panel(seen, said)]

    def _title(self) -> str:
        """Return what a picture of the line is called in a file."""
        return self.view.line.progression.pretty if self.view is not None else ""

    def show(self, view: LineView) -> None:
        """Draw a view; a staff gets new ids each time, so the same one is left alone."""
        before, self.view = self.view, view
        put(self.old, "")
        if before is None or view.staff != before.staff:
            self._draw(view.staff, None if before is None else before.staff)
        put(self.legend, sentences_html("", view.legend or NO_NOTES, view.written))
        put(self.words, explanation_html(view.sections))
        cells = view.cells
        told = table_html(view.caption, view.heads, cells) if cells else ""
        put(self.table, told)

    def grow_old(self) -> None:
        """Say that the text has gone on, and that what is shown is from before."""
        if self.view is not None and self.view.line.notes:
            put(self.old, sentences_html("", OLD_STAFF))
            put(self.words, explanation_html(self.view.old_sections))
        else:
            self.say_nothing()

    def say_nothing(self) -> None:
        """Show no words: notes were typed, and none of them could be read."""
        put(self.legend, "")
        put(self.words, "")

    def _draw(self, staff: StaffView, before: StaffView | None) -> None:
        """Draw a staff, the labels of a long one as far apart as they were over the same chords."""
        self.quiet.cancel()
        is_alike = before is not None and _is_long(staff) and before.chords == staff.chords
        if self.quiet.at_once or not is_alike:
            put(self.staff, self._picture(staff))
            return
        room = label_room(self.staff.value)
        put(self.staff, self._picture(staff, room))
        self.quiet.wait()

    def fit(self, narrow: int) -> None:
        """Draw the staff for a page of so many pixels, a bar a row; 0 where there is room."""
        if narrow != self._narrow:
            noted(partial(setattr, self, "_narrow", self._narrow))
            self._narrow = narrow
            if self.view is not None:
                put(self.staff, self._picture(self.view.staff))

    def _picture(self, staff: StaffView, room: float = 0.0) -> str:
        """Return the staff as it fits the page."""
        return line_picture(staff, SCALE, room=room, narrow=self._narrow)

    def settle(self) -> None:
        """Draw the staff as it is without the one before it; one that is the same stays."""
        if self.view is not None:
            drawn = self._picture(self.view.staff)
            if label_room(drawn) != label_room(self.staff.value):
                put(self.staff, drawn)


class ChosenLine(Page):
    """A page with one line on it, and with the key, colour, form and reader that are chosen for it.

    ``state`` is the line as it is typed, and ``page`` shows it.
    """

    state: LineDraft
    page: LinePage

    def _add_choices(self, colour: str) -> None:
        """Add what is chosen for the line of the moment; a word that is no colour is refused."""
        over = str(named_colour(colour))
        self.key = choice("key", [(k.pretty, str(k)) for k in KEYS], str(self.over.key))
        self.colour = colours(over)
        self.form = choice("form", [("", self.state.form)], self.state.form)
        self.reader = readers(*LOW_SAXOPHONES)

    @property
    def over(self) -> Progression:
        """The chords of the moment."""
        return self.state.progression

    @property
    def over_v(self) -> Colour:
        """The colour that is chosen for V."""
        return named_colour(self.colour.value)

    @property
    def view(self) -> LineView:
        """What the page shows: the line as far as it could be read."""
        if self.page.view is None:
            raise TheoryError("nothing has been shown yet (want a line)")
        return self.page.view

    def _show_choices(self, moved: Callable[[Any], None]) -> None:
        """Let the controls say what the line stands over; ``moved`` answers them otherwise."""
        with unwatched(moved, self.key):
            self.key.value = str(self.over.key)
        offer(self.form, self._forms, self._own_form, moved)

    @property
    def _own_form(self) -> str:
        """The form of the chords of the moment, empty where they are no ii-V-I."""
        return self.state.form

    @property
    def _forms(self) -> list[tuple[str, str]]:
        """The forms to choose from, and that of a line that came with other chords."""
        forms = [(FORM_WORDS[name], name) for name in FORMS]
        return forms if self._own_form else [*forms, (f"as it came: {self.over.pretty}", "")]


def line_picture(staff: StaffView, scale: float, *, room: float = 0.0, narrow: int = 0) -> str:
    """Return a staff on one line if it is short, else broken into lines.

    On a page of ``narrow`` pixels each bar has a row of its own.
    """
    if narrow:
        small = min(scale, max(SMALLEST, narrow / A_BAR))
        return staff_svg(staff, scale=small, width=narrow, room=room, bars_per_line=1)
    width = PAGE_WIDTH if _is_long(staff) else None
    return staff_svg(staff, scale=scale, width=width, room=room)


def _is_long(staff: StaffView) -> bool:
    """Tell whether a staff is broken into lines."""
    return len(staff.bars) > MOST_ON_ONE_LINE


# === Opening a file ===

ENDINGS = (".musicxml", ".xml", ".mxl", ".mid", ".midi")
LONGEST_NAME = 60  # characters of the file's own name that refusals repeat
_ODD = re.compile(r"^\W*$|[^\w. ()-]|^\.+")


class Opening(FileOpening):
    """A button that opens MusicXML or MIDI, and a field for its path.

    ``over`` returns the chords of the moment, for a line that is to stand over them; ``take`` is
    given the line and the name of the file.
    """

    def __init__(
        self, over: Callable[[], Progression], take: Callable[[LineFile, str], None]
    ) -> None:
        self._over, self._use = over, take
        self.part = typed(
            "part", "", "its name or number, if the melody is not found by itself", example="1"
        )
        self.mine = tick("over the chords above", tip="not over those of the file")
        beside = (self.part, self.mine)
        super().__init__("open a file", ENDINGS, self._find, *beside, take=self._hand_on)

    def _find(self, name: str, content: bytes) -> tuple[LineFile, str]:
        """Find the line in a file."""
        part = self.part.value.strip()
        over = self._over() if self.mine.value else None
        found = line_in(name, content, over=over, part=int(part) if part.isdecimal() else part)
        return found, name

    def _hand_on(self, read: tuple[LineFile, str]) -> tuple[str, ...]:
        """Hand the line of a file on."""
        found, name = read
        self._use(found, name)
        return (f"{name}: {found.title}" if found.title else name, *found.report)


def line_in(
    name: str, content: bytes, *, over: Progression | None = None, part: str | int = ""
) -> LineFile:
    """Return the line in the content of a file.

    >>> line_in("x.mid", b"MThd")
    Traceback (most recent call last):
    theorykit.errors.TheoryError: x.mid is refused: its MIDI header is cut off (want MusicXML \
(.musicxml, .xml, .mxl) or MIDI (.mid))
    """
    with TemporaryDirectory() as folder:
        file = Path(folder) / _ODD.sub("_", Path(name).name)[-LONGEST_NAME:]
        file.write_bytes(content)
        return open_line(file, over=over, part=None if part == "" else part)
