"""The page on which a phrase is played in: recorded over the band, taken down, mended, sent on."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import partial
from os import PathLike
from typing import Any

import ipywidgets as ipw

from theorykit.errors import TheoryError, expect_path
from theorykit.harmony.wording import sentence
from theorykit.lines.parts import PLAYED
from theorykit.lines.taking import TakenLine, better_place, compass_of, mended, note_words
from theorykit.lines.text import Line
from theorykit.notes.reader import Reader, page_of
from theorykit.show.html_text import sentences_html
from theorykit.show.pictures import picture_svg
from theorykit.views.line import LineDraft, line_view, over_of
from theorykit.views.played import timing_of
from theorykit.views.sounding import play_along
from theorykit.widgets.controls import (
    answer,
    choice,
    guarded,
    keep_keys,
    panel,
    picture,
    put,
    safely,
    watch,
)
from theorykit.widgets.handouts import HandoutDesk
from theorykit.widgets.hearing import NARROW, NARROW_LABEL
from theorykit.widgets.line_page import LinePage
from theorykit.widgets.lines import Keeping, LineDesk, line_title
from theorykit.widgets.player import Player, tempo_slider
from theorykit.widgets.takes.changes import ChosenChanges
from theorykit.widgets.takes.ghost_desk import GhostDesk
from theorykit.widgets.takes.judging import judged
from theorykit.widgets.takes.listener import Listener
from theorykit.widgets.takes.note_desk import NoteDesk
from theorykit.widgets.takes.recorder import Recorder, how_to_record
from theorykit.widgets.takes.recordings import Recording, Round, heard_rounds
from theorykit.widgets.takes.round_desk import RoundDesk
from theorykit.widgets.takes.take_files import TakeOpening
from theorykit.widgets.takes.tempo_offer import TempoOffer
from theorykit.widgets.takes.ways_on import Sent, WaysOn
from theorykit.widgets.works import Hands, MyWork, by_label, place_of

BAND, IN_TIME, FREE = "over the band", "alone, at this tempo", "alone, the tempo is found"
ANY, JOIN = "not told", "join with the next"
STAYS = (
    "Line and recording are those of the take before; \u201clisten again\u201d hears the new one."
)
PERHAPS = (
    "The line would read more plainly an eighth {0}: more chord tones and long notes on the beat, "
    "fewer held over it. If it was meant so, press \u201cwhole line {0}\u201d."
)
YOURS = "What you played is kept as a line of your own."
TABS = ("keep", "open a file")


class PlayIn(ChosenChanges):
    """The page as a widget; its controls are attributes.

    >>> page = PlayIn("F", form="short")
    >>> played = [(0.0, 0.3, 67), (0.33, 0.5, 70), (0.5, 0.8, 74), (0.83, 1.0, 77), (1.0, 2.0, 76)]
    >>> from theorykit import take_down
    >>> page.put_down(take_down(played, progression=page.over, tempo=120, start=0))
    >>> page.state.text
    '8th G4 Bb4 D5 F5 half E5'
    >>> page.notes.buttons["half step up"].click()
    >>> page.state.text
    '8th Ab4 Bb4 D5 F5 half E5'
    """

    def __init__(
        self,
        key: str = "C major",
        colour: str = "b9 13",
        form: str = "long",
        tempo: float = 120,
        *,
        instrument: str = "",
        book: str | PathLike[str] | None = None,
        lines: LineDesk | None = None,
        handout: HandoutDesk | None = None,
        draft: str = "",
        path: str | PathLike[str] | None = None,
    ) -> None:
        empty = self.state = LineDraft(over_of(key, form))
        self._empty = empty.data
        self.taken: TakenLine | None = None
        self._before: Recording | None = None  # of the line on the page
        self._last: Recording | None = None  # as it came
        if instrument:
            compass_of(instrument)
        self.problem, self.told, self.timing = picture(), picture(), picture()
        self._add_choices(colour)
        self._add_controls(tempo, instrument)
        self.how = picture()
        self._add_rooms("" if book is None else expect_path(book, "a phrase book"))
        self.sending = WaysOn(self.keeping.keep_unnamed, self._sent, lines, handout)
        place = place_of("take", draft, {**empty.data, "colour": self.colour.value})
        hands = Hands(lambda: self.state.data, self._bring, line_title, self._settings)
        self.mine = MyWork("line", place, hands, self._empty, path)
        super().__init__(self._parts())
        keep_keys(self)
        self._watch_choices()
        watch((self.colour, self.reader, self.instrument), self._looked)
        watch((self.way,), safely(self.problem, self._set_way))
        self.notes.pointer.observe(safely(self.problem, self._fit), "narrow")
        self.mine.begin()

    def _add_controls(self, tempo: float, instrument: str) -> None:
        """Add what else is chosen before one plays."""
        self.instrument = choice("instrument", [ANY, *PLAYED], instrument or ANY)
        self.way = choice("play", [BAND, IN_TIME, FREE], BAND)
        self.tempo = tempo_slider(tempo)
        self.offered = TempoOffer(self.tempo)
        self.rounds = RoundDesk(lambda: self.line, self._put_round, self._keep_round, self._show)

    def _add_rooms(self, book: str) -> None:
        """Add what works with the take and the line."""
        self.player, self.page = Player(), LinePage()
        self.player.follow(self.tempo)
        self.recorder = Recorder(self._played, self._forget)
        self.listener = Listener(
            lambda one: heard_rounds(one, self.over, self._told_instrument),
            self.rounds.take,
            partial(setattr, self.recorder, "listens"),
            self._give_back,
            self._hear_again,
        )
        self.ghosts = GhostDesk(lambda: self.line, self._put_line)
        self.notes = NoteDesk(self._mend, lambda: self.mine.undo.click())
        self.keeping = Keeping(self._kept, book)
        self.opening = TakeOpening(lambda: self.tempo.value, self._hear)

    def _parts(self) -> list[ipw.Widget]:
        """Lay the parts out, in the order in which one works."""
        over = (self.key, self.form, self.changes)
        chosen = (*over, self.colour, self.reader, self.instrument, self.way)
        for control in (*chosen, self.tempo, self.rounds.count, self.rounds.chosen):
            control.layout.width, control.style.description_width = NARROW, NARROW_LABEL
        self.page.put_under_staff(self.notes, self.sending)
        tabs = ipw.Tab((self.keeping, self.opening), titles=TABS)
        set_up = panel(*chosen, self.tempo, self.rounds.count, self.rounds.answers)
        above = [self.mine, set_up, self.how, self.player, self.recorder]
        said = [self.listener, self.rounds, self.told, self.ghosts, self.offered, self.problem]
        return [*above, *said, self.page, self.timing, tabs]

    @property
    def _settings(self) -> dict[str, Any]:
        """What stays set whatever line is there."""
        own = {"colour": self.colour, "written for": self.reader, "instrument": self.instrument}
        own |= {"play": self.way, "tempo": self.tempo, "rounds": self.rounds.count}
        return {**own, "player": self.player.standing, **by_label(self.keeping)}

    # A take.

    @property
    def _told_instrument(self) -> str | None:
        """The instrument, if it was told."""
        return None if self.instrument.value == ANY else str(self.instrument.value)

    @property
    def reads(self) -> Reader:
        """Who reads the page: its octave is that of the instrument, where one is told."""
        return page_of(self.reader.value, self._told_instrument)

    def _played(self, recording: Recording) -> None:
        """Something was recorded on the page."""
        finds = recording.tempo is None and self.way.value == IN_TIME
        clocked = replace(recording, tempo=self.tempo.value) if finds else recording
        self._hear(clocked, recording)

    def _hear_again(self) -> None:
        """Take the take that is held down once more, by the clock of the moment."""
        if self._last is None:
            raise TheoryError("no take is held (want another one)")
        now = self.opening.clock(self._last)
        if self._last.slider is None:  # it was recorded here
            over_band = self.way.value == BAND and self._last.tempo is not None
            tempo = now.slider if over_band or self.way.value == IN_TIME else None
            start = self._last.start if over_band and now.start is None else now.start
            now = replace(now, tempo=tempo, start=start, slider=None)
        self._hear(now, self._last)

    def _hear(self, recording: Recording, came: Recording | None = None) -> None:
        """Take a recording down, ``came`` as it came; it can be heard whatever comes of it."""
        self._last = came or recording
        if recording.slider is None:
            recording = replace(recording, places=self.rounds.places(recording, self.over))
        put(self.notes.problem, "")
        self.recorder.hold(recording)
        self.listener.hear(recording)

    def _give_back(self) -> str:
        """Hold the recording of the line on the page again, where the new take has no note."""
        put(self.opening.told, "")
        if self.report_of is None:
            return ""
        if self._before is not None:
            self.recorder.hold(self._before, together=True)
        return STAYS

    def _forget(self) -> None:
        """Let the sound of the take go, wherever it is."""
        self._before = self._last = None
        self.rounds.forget()
        self.listener.forget()

    def _put_round(self, one: Round) -> None:
        """Put the line of a round on the page, with its part of the recording."""
        if one.taken is not None:
            self.put_down(one.taken, keeps_tempo=one.recording.slider is not None)
            self._before = one.recording.clocked(one.taken)
            self.recorder.hold(self._before, together=True)

    def _keep_round(self, one: Round) -> None:
        """Keep the line of a round that is not on the page: it is an earlier state."""
        if one.taken is not None:
            self.state = self.state.taken(one.taken.line)
            self.mine.keeper.part()
            self.mine.keep()

    def put_down(self, taken: TakenLine, *, keeps_tempo: bool = False) -> None:
        """Put a line that was taken down on the page; the one before is one undo away.

        The tempo of the page follows, or is kept and the one of the take is offered.
        """
        self.taken, self._before = taken, None
        if not keeps_tempo:
            self.offered.follow(taken)
        self.mine.news = YOURS
        self._replace(lambda: self.state.taken(taken.line))
        self.player.chosen = min(1, len(self.player.shown) - 1)

    def _mend(self, place: int, way: str) -> None:
        """Mend one note."""
        line, told = mended(self.line, place, way, self.reads), ""
        if way == JOIN and self.line.notes[place].pitch != self.line.notes[place + 1].pitch:
            gone = note_words(self.line, place + 1, self.reads)
            told = f"{gone}, is gone: the note before it is held instead"
        self._put_line(line, told)

    def _put_line(self, line: Line, told: str = "") -> None:
        """Put a mended line on the page."""
        self._replace(lambda: self.state.taken(line, told))

    @property
    def line(self) -> Line:
        """The line on the page."""
        found = self.state.read
        if found.line is None or not found.is_whole:
            raise TheoryError(f"the line cannot be read to its end: {found.problem}")
        return found.line

    # What becomes of the line.

    def _kept(self) -> tuple[Line, str]:
        """Return what a phrase book is given."""
        return self._whole, self.view.kept_colour

    def _sent(self) -> Sent:
        """Return what another desk is given."""
        return Sent(self._whole, self.view.kept_colour, self.reads, self.tempo.value)

    @property
    def _whole(self) -> Line:
        """The line, which has notes."""
        if not self.line.notes:
            raise TheoryError("no line yet (want a take, or a recording that is opened)")
        return self.line

    # Another line, and another look at it.

    @answer
    def _looked(self, _: object) -> None:
        """Another colour or reader: the line stays."""
        guarded(self.problem, self._show)
        self.mine.later()

    def _fit(self) -> None:
        """The page became narrow, or wide again."""
        narrow = self.notes.pointer.narrow
        self.page.fit(narrow)
        self.rounds.narrow = narrow
        self._tell()

    def _set_way(self) -> None:
        """Over the band, or alone."""
        over = self.recorder.over = "band" if self.way.value == BAND else "alone"
        put(self.how, how_to_record(over))

    def _bring(self, data: dict[str, Any]) -> None:
        """Put a line on the page that was kept."""
        is_new = data == self._empty  # a new line stands over the chords of the moment
        self.state = LineDraft(self.over) if is_new else LineDraft.of(data)
        self._show_choices(self._moved)
        self._show()

    def _refused(self) -> None:
        """Changes were refused: what was said of the ones before goes."""
        self.state = replace(self.state, told="")
        self._tell()

    def _replace(self, make: Callable[[], LineDraft]) -> None:
        """Put another line on the page, as a step that can be taken back."""
        self.state = make()
        self._show_choices(self._moved)
        self._show()
        self.mine.step_later()

    def _show(self) -> None:
        """Decide, then draw and sound."""
        self._set_way()
        view = line_view(self.line, self.over_v, reader=self.reads)
        self.page.show(view)
        doubtful = self.report_of.doubtful if self.report_of is not None else ()
        self.notes.show(self.line, view.reading.notes, doubtful)
        self.rounds.agree(self.over)
        asks, times = self.rounds.question_over(self.over), self.rounds.count.value
        tempo = self.tempo.value
        self.player.show(play_along(self.over, self.line, tempo=tempo, rounds=times, question=asks))
        self.keeping.stale()
        self.sending.stale()
        self._tell()

    @property
    def report_of(self) -> TakenLine | None:
        """The take that the line is of: half of its notes at least are as they were heard."""
        return None if self.taken is None else self.taken.beside(self.line)

    def _tell(self) -> None:
        """Say what was found and guessed in the take, and what was done to the line."""
        taken, told = self.report_of, [sentence(self.state.told)] if self.state.told else []
        told += self.ghosts.report(taken, self.line, self.reads)
        if taken is not None:
            told += judged(self.line, self.over_v, self.reads) if self.state.form else []
            if side := better_place(self.line):
                told.append(PERHAPS.format(side))
        elif self.recorder.goes_together:  # the recording is of another line
            self.recorder.hold(self.recorder.recording)
        put(self.told, sentences_html("", *told) if told else "")
        self.rounds.compare(self.reads, are_told=taken is not None)
        self.offered.show(taken)
        view = (
            None
            if taken is None or not taken.fits
            else timing_of(taken.of(self.line), reader=self.reads)
        )
        put(self.timing, "" if view is None else picture_svg(view) + sentences_html("", view.words))


def play_in(
    key: str = "C major",
    colour: str = "b9 13",
    form: str = "long",
    tempo: float = 120,
    *,
    instrument: str = "",
    book: str | PathLike[str] | None = None,
    lines: LineDesk | None = None,
    handout: HandoutDesk | None = None,
    draft: str = "",
    path: str | PathLike[str] | None = None,
) -> PlayIn:
    """Return the page on which a phrase is played in and written down.

    ``instrument``, such as "tenor saxophone", tells in which octaves it is likely heard. ``book``
    is the file of the phrase book in which lines are kept, by default the reader's own; ``lines``
    and ``handout`` are desks that are open beside it, to which a line can be sent. What was played
    is there again when the cell is run again: ``draft`` names the page, and ``path`` is the file,
    by default the reader's own.

    >>> play_in("Eb", form="short").over.pretty
    'Fm7 B♭7 | E♭maj7'
    """
    return PlayIn(
        *(key, colour, form, tempo),
        instrument=instrument,
        book=book,
        lines=lines,
        handout=handout,
        draft=draft,
        path=path,
    )
