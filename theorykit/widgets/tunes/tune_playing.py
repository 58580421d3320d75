"""Choruses on the desk: how many, which lines, how they sound; written and heard on demand."""

from __future__ import annotations

from collections.abc import Callable
from os import PathLike
from typing import Any

import ipywidgets as ipw

from theorykit.errors import TheoryError, expect_path
from theorykit.lines.band import default_swing
from theorykit.lines.chorus import straight
from theorykit.lines.parts import MELODY_SOUNDS, PART_NAMES
from theorykit.notes.reader import Reader
from theorykit.show.engraving import staff_svg
from theorykit.show.exports import TakenChorus
from theorykit.show.html_text import plan_html, sentences_html
from theorykit.show.sound import CAUTION
from theorykit.study.phrasebook import PhraseBook, phrases_from
from theorykit.tunes.charts import TEMPI, Chart
from theorykit.tunes.treatments import Treatment
from theorykit.views.staves import chorus_staff
from theorykit.views.tune import ChorusView, ChorusWishes, chorus_view
from theorykit.widgets.controls import (
    answer,
    button,
    choice,
    guarded,
    number,
    offer,
    panel,
    picture,
    put,
    safely,
    slider,
    tick,
    watch,
)
from theorykit.widgets.faults import Page
from theorykit.widgets.picture_saving import Saving
from theorykit.widgets.player import PICTURES, Player
from theorykit.widgets.reader_files import book_at, own_book, there_is_a_book

WRITER, BOOK = "written for this tune", "out of my phrase book"
STALE = "What stands below is from before your last change. Press write and hear for a new one."
AT_CONCERT = "The chords that follow are at concert pitch:"
LAST_SEED, MOST_BARS = 9999, 2000
WIDTH, SCALE, BARS_A_LINE = 1000, 34, 4
NARROW, NARROW_LABEL = "268px", "96px"
NOTE_ROOM = 22  # pixels of a line of words
# A long chorus goes by inside its frame, so that controls, player and staff stand in one view.
FRAME, FRAME_CLASS = {"max_height": "42vh", "overflow": "auto"}, "theorykit-frame"
Tune = tuple[Chart, Treatment, Reader]


class Playing(Page):
    """Controls for a chorus, its players and its staff.

    ``what`` returns the tune of the moment; ``book`` is the path of the phrase book, by default
    the reader's own.
    """

    def __init__(self, what: Callable[[], Tune], book: str | PathLike[str] | None = None) -> None:
        self._what = what
        self._path = "" if book is None else expect_path(book, "a phrase book")
        self.view: ChorusView | None = None
        self._written: Tune | None = None
        self._melody = ""  # what the players of the moment sound like
        self._feel = ""
        self.choruses = slider("choruses", 1, 1, 5, 1)
        self.phrases = choice("phrases", (WRITER, BOOK), WRITER)
        self.seed = number("lines no.", 1, 1, LAST_SEED, "the same number gives the same lines")
        self.tempo = slider("tempo", 120, *TEMPI, 1, "beats a minute")
        self.by_feel = tick("swing as tempo and feel ask", True)
        self.swing = slider("swing", default_swing(120), 1.0, 3.0, 0.1, "long eighth to short")
        self.melody = choice("melody sound", list(MELODY_SOUNDS), "tenor saxophone")
        self.first = number("from bar", 0, 0, MOST_BARS, "0 for the beginning")
        self.last = number("to bar", 0, 0, MOST_BARS, "0 for the end")
        self.loops = tick("round and round", tip="over these bars, without a count-in")
        self.stems = {name: tick(name, True, f"let the {name} sound") for name in PART_NAMES}
        self.write = button("write and hear", self._press, "write the chorus, draw it, play it")
        self.others = button("other lines", self._press_others, "with the next number")
        self.shown = choice("staff of chorus", (1,), 1)
        self.problem, self.note, self.remarks = picture(), picture(NOTE_ROOM), picture()
        self.player, self.staff = Player(), picture()
        self.staff.layout = {**FRAME, "margin": "2px", "width": "auto"}
        self.staff.add_class(FRAME_CLASS)
        self.player.follow(self.tempo)
        self.staff_saving = Saving("staff", self.staff, self._title)
        self.swing.disabled = True
        super().__init__(self._parts())
        self.add_class(PICTURES)
        watch((self.tempo, self.by_feel), self._suit)
        watch(self.controls, safely(self.problem, self.stale))
        self.shown.observe(self._other_staff, "value")

    @property
    def controls(self) -> tuple[Any, ...]:
        """Everything that changes what is written or heard."""
        lists = (self.choruses, self.phrases, self.seed, self.tempo, self.by_feel, self.swing)
        return (*lists, self.melody, self.first, self.last, self.loops, *self.stems.values())

    def _parts(self) -> list[ipw.Widget]:
        """Lay the parts out."""
        caution, heard = picture(), picture()
        caution.value = sentences_html("", CAUTION)
        heard.value = sentences_html("", "What sounds:")
        controls = (self.choruses, self.phrases, self.seed, self.tempo, self.swing, self.melody)
        numbers = (self.first, self.last, self.shown)
        for control in (*controls, *numbers):  # three in a row beside the browser of files
            control.layout.width, control.style.description_width = NARROW, NARROW_LABEL
        ticked = (*self.stems.values(), self.loops, self.by_feel)
        for one in ticked:
            one.layout.margin = "2px 4px"
        chosen, ticks = panel(*controls, *numbers[:2]), panel(heard, *ticked)
        pressed = panel(self.write, self.others, self.shown)
        seen = [self.player, self.staff, self.staff_saving, caution, self.remarks]
        return [chosen, ticks, pressed, self.problem, self.note, *seen]

    def _title(self) -> str:
        """Return what the staff of the moment is called in a file."""
        if self.view is None or self._written is None:
            return ""
        who = self._written[2].name
        return f"chorus {self.shown.value} {self.view.chorus.chart.title} {who}"

    @property
    def silent(self) -> tuple[str, ...]:
        """The parts that are not to sound."""
        return tuple(name for name, sounds in self.stems.items() if not sounds.value)

    @property
    def wishes(self) -> ChorusWishes:
        """What is wished for at the moment."""
        return ChorusWishes(
            int(self.choruses.value),
            self.seed.value,
            self.tempo.value,
            None if self.by_feel.value else self.swing.value,
            self.first.value,
            self.last.value,
            self.loops.value,
            self.silent,
        )

    @property
    def sound(self) -> tuple[float, float | None, str]:
        """Tempo, swing and melody sound of the moment."""
        even = self.by_feel.value and straight(self._feel)
        swing = 1.0 if even else None if self.by_feel.value else self.swing.value
        return self.tempo.value, swing, self.melody.value

    @property
    def taken(self) -> TakenChorus:
        """The chorus that was written last, to be taken away."""
        if self.view is None or self._written is None:
            raise TheoryError("no chorus yet (want one: press write and hear)")
        _, treatment, reader = self._written
        silent, lines = self.view.wishes.silent, self.view.wishes.seed
        played, melody = self.view.performance, self._melody
        return TakenChorus(self.view.chorus, treatment, played, reader, melody, silent, lines)

    def suit(self, chart: Chart) -> None:
        """Take tempo and feel from a chart that came to the desk."""
        self._feel = chart.feel
        if chart.tempo is not None:
            self.tempo.value = chart.tempo
        self._suit(None)

    def stale(self) -> None:
        """Say that players and staff are older than the page."""
        if self.view is not None:
            put(self.note, sentences_html("", STALE))

    @answer
    def _suit(self, _: object) -> None:
        """Let the swing follow tempo and feel, where that is wished for."""
        self.swing.disabled = self.by_feel.value
        if self.by_feel.value:
            even = straight(self._feel)
            self.swing.value = 1.0 if even else default_swing(self.tempo.value)

    @answer
    def _press_others(self, _: object) -> None:
        """Write with the next number."""
        self.seed.value = self.seed.value % LAST_SEED + 1
        self._press(_)

    @answer
    def _press(self, _: object) -> None:
        """Write, draw and sound; where it cannot be, the last chorus stays."""
        guarded(self.problem, self._make)

    def _make(self) -> None:
        """Decide, then draw and sound."""
        tune = self._what()
        chart, treatment, reader = tune
        wishes = self.wishes
        source = None
        if self.phrases.value == BOOK:
            tempo = wishes.tempo or chart.tempo
            source = phrases_from(self._book(), seed=wishes.seed, tempo=tempo)
        view = chorus_view(chart, treatment, wishes, source=source, reader=reader)
        self._sound(view)
        self.view, self._written, self._melody = view, tune, self.melody.value
        options = tuple(range(1, view.chorus.choruses + 1))
        offer(self.shown, options, min(self.shown.value, options[-1]), self._other_staff)
        self._draw()
        concert = [AT_CONCERT] if reader.transposes and view.chorus.remarks else []
        put(self.remarks, plan_html((), [*concert, *view.chorus.remarks]))
        put(self.note, "")

    def _sound(self, view: ChorusView) -> None:
        """Hand the player the chorus, counted in: with the line and without it."""
        self.player.show(view.takes, self.melody.value)

    @answer
    def _other_staff(self, _: object) -> None:
        """Another chorus is to be seen."""
        guarded(self.problem, self._draw)

    def _draw(self) -> None:
        """Draw the staff of one chorus."""
        if self.view is not None and self._written is not None:
            reader = self._written[2]
            staff = chorus_staff(self.view.chorus, self.shown.value, reader=reader)
            put(self.staff, staff_svg(staff, scale=SCALE, width=WIDTH, bars_per_line=BARS_A_LINE))

    def _book(self) -> PhraseBook:
        """Return the reader's phrase book."""
        if not there_is_a_book(self._path):
            raise TheoryError(
                f"there is no phrase book at {self._path or own_book()} yet (want lines kept in "
                "the desk for lines, or another book)"
            )
        return book_at(self._path)
