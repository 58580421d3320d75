"""Sources of blocks: the explorer, the desks for lines and tunes, a phrase book."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from pathlib import Path

import ipywidgets as ipw

from theorykit.errors import TheoryError
from theorykit.handout.blocks import Block, ColourBlock, LineBlock, TuneBlock
from theorykit.lines.setting import form_of
from theorykit.lines.text import Line
from theorykit.show.html_text import sentences_html
from theorykit.tunes.bars import COMMON_TIME
from theorykit.tunes.cadences import Cadence, cadences
from theorykit.tunes.charts import Chart
from theorykit.tunes.progression import FORMS, cadence_chords, two_five_one
from theorykit.views.line import LineDraft
from theorykit.views.tune import CadenceView
from theorykit.widgets.controls import answer, button, choice, guarded, panel, picture, put
from theorykit.widgets.exploring import Explorer
from theorykit.widgets.faults import Page
from theorykit.widgets.lines import LineDesk
from theorykit.widgets.reader_files import (
    book_at,
    phrase_book_field,
    show_changes,
    there_is_a_book,
)
from theorykit.widgets.tunes import BOOK, TuneDesk

FORM_OF_REST = "long"  # of cadences that are no plain ii-V-I
NO_PHRASE = ("no phrase yet", "")
PLAINLY = ", as a plain ii-V-I"
BELOW = "after the block that was chosen last there, or at the end"
LINES_STAY = (
    "The chorus on the page is written for the tune; phrases out of a book stay on the desk for "
    "tunes. Take them one by one as lines."
)


@dataclass(frozen=True, slots=True)
class Desks:
    """The desks that are open beside the one for handouts, as far as there are any."""

    explorer: Explorer | None = None
    lines: LineDesk | None = None
    tunes: TuneDesk | None = None


class Sources(Page):
    """Buttons that take something over; ``fill`` is given the block to be looked at and added."""

    def __init__(self, desks: Desks, book: str, fill: Callable[[Block], None]) -> None:
        self._desks, self._fill = desks, fill
        self.colour = button("take the colour of the explorer", lambda _: self._take(self._colour))
        self.line = button("take the line of the line desk", lambda _: self._take(self._line))
        self.tune = button("take the tune of the tune desk", lambda _: self._take(self._tune))
        self.book = phrase_book_field(book)
        self.again = button("look again", self._look, "the book may have grown")
        self.phrase = choice("phrase", [NO_PHRASE], "", "the phrases of the book")
        self.take_phrase = button("take the phrase", lambda _: self._take(self._phrase))
        self.problem, self.told = picture(), picture()
        super().__init__(self._parts())
        self.book.observe(self._look, "value")
        self._look(None)
        show_changes(self)

    def book_changed(self, file: Path) -> None:
        """A phrase was kept on another desk: look again, if it was in this book."""
        if there_is_a_book(self.book.value) and book_at(self.book.value).path == file:
            self._look(None)

    def clear(self) -> None:
        """Take away what was said of an earlier taking over."""
        put(self.problem, "")
        put(self.told, "")

    def _parts(self) -> list[ipw.Widget]:
        """Lay the parts out; a desk that is not open has no button."""
        open_desks = (self._desks.explorer, self._desks.lines, self._desks.tunes)
        buttons = (self.colour, self.line, self.tune)
        shown = [one for one, desk in zip(buttons, open_desks, strict=True) if desk is not None]
        row = [panel(*shown)] if shown else []
        book = panel(self.book, self.again, self.phrase, self.take_phrase)
        return [*row, book, self.problem, self.told]

    def offer_on_desks(self, add: Callable[[Block], str]) -> None:
        """Give the desks beside this one buttons that put what is there on the handout at once."""
        if (lines := self._desks.lines) is not None:
            lines.sending.to("put it on the handout", lambda: add(self._line()), BELOW)
        if (tunes := self._desks.tunes) is not None:
            tunes.sending.to("put the tune on the handout", lambda: add(self._tune()), BELOW)
            tunes.sending.to(
                "put the cadence on the handout",
                lambda: add(cadence_block(tunes)),
                f"the chosen cadence as a colour, one with a substitute as a line, {BELOW}",
            )
        if lines is not None and tunes is not None:
            tunes.sending.to(
                "put the melody on the desk for lines",
                lambda: melody_to_lines(tunes, lines),
                "over the chords of the tune; what is there stays in its list",
            )

    def _take(self, find: Callable[[], Block]) -> None:
        """Take something over, or say why it cannot be taken."""
        put(self.told, "")
        guarded(self.problem, lambda: self._fill(find()))

    def _colour(self) -> Block:
        """Return the choice of the explorer."""
        if self._desks.explorer is None:
            raise TheoryError("no explorer is open beside this desk (want explorer=...)")
        return explored_colour(self._desks.explorer)

    def _line(self) -> Block:
        """Return the line of the desk for lines."""
        if self._desks.lines is None:
            raise TheoryError("no desk for lines is open beside this one (want lines=...)")
        view = self._desks.lines.whole
        if not view.line.notes:
            raise TheoryError("the desk for lines is empty (want a line on it)")
        return line_block(view.line, view.kept_colour)

    def _tune(self) -> Block:
        """Return the tune of the desk for tunes, with its colours and the lines that it wrote."""
        desk = self._desks.tunes
        if desk is None:
            raise TheoryError("no desk for tunes is open beside this one (want tunes=...)")
        block = tune_block(desk)
        if desk.playing.phrases.value == BOOK:
            put(self.told, sentences_html("", LINES_STAY))
        return block

    def _phrase(self) -> Block:
        """Return the chosen phrase of the book."""
        if not self.phrase.value:
            raise TheoryError("no phrase is chosen (want one out of the list)")
        phrase = book_at(self.book.value).phrase(self.phrase.value)
        return line_block(phrase.line, phrase.colour, heading=phrase.name)

    @answer
    def _look(self, _: object) -> None:
        """List the phrases of the book; where it cannot be read, the list stays."""
        guarded(self.problem, self._list)

    def _list(self) -> None:
        """Read the names of the book."""
        there = there_is_a_book(self.book.value)
        names = book_at(self.book.value).names if there else ()
        now = self.phrase.value
        options = [(name, name) for name in names] or [NO_PHRASE]
        self.phrase.options = options
        self.phrase.value = now if now in names else options[0][1]


def _key(key: object) -> str:
    """Return a key as a handout's text has it."""
    return str(key).removesuffix(" major")


def explored_colour(box: Explorer) -> ColourBlock:
    """Return the choice of an explorer as a block, the way to think of it included.

    >>> box = Explorer("Eb", "b9 b13")
    >>> box.shortcut.value = 1
    >>> explored_colour(box).shortcut
    2
    """
    return ColourBlock(
        colour=box.colour.value,
        key=_key(box.key.value),
        form=box.form.value,
        shortcut=(box.shortcut.value or 0) + 1,
        spelling=box.spelling.value,
    )


def line_block(line: Line, colour: str = "", *, heading: str = "") -> LineBlock:
    """Return a line as a block, over its ii-V-I or over changes of its own.

    >>> from theorykit import demonstration
    >>> line_block(demonstration("Bb minor", "split", "altered"), "altered").form
    'split'
    """
    over = line.progression
    form = form_of(over) or "long"
    return LineBlock(
        line=str(line),
        key=_key(over.key),
        form=form,
        changes="" if two_five_one(over.key, form) == over else str(over),
        colour=colour,
        heading=heading,
    )


def cadence_block(desk: TuneDesk) -> ColourBlock | LineBlock:
    """Return the cadence that is chosen on a desk as a block: its colour, in the key it leads to.

    The block shows a plain ii-V-I; its heading says so where the tune has other chords. Where the
    tune has a substitute for V, the same colour has other notes over it: the block is the line of
    the desk over the chords of the tune then.

    >>> desk = TuneDesk("| Abm7 | Db7 | Gbmaj7 | % |")
    >>> desk.colouring.cadences.value = 1
    >>> block = cadence_block(desk)
    >>> block.colour, block.key, block.form
    ('b9 13', 'Gb', 'split')
    >>> desk = TuneDesk("| Dm7 | Db7 | Cmaj7 | % |")
    >>> desk.colouring.cadences.value = 1
    >>> cadence_block(desk).changes
    'Dm7 | Abm7 Db13#11 | Cmaj7'
    """
    found, chart = desk.colouring.found, desk.state.chart
    if found is None or chart is None:
        raise TheoryError("no cadence is chosen (want one in the list of the desk for tunes)")
    if found.choice is None or not found.choice.colour or found.choice.substitute:
        raise TheoryError("no colour over V there (want one chosen beside the list, no substitute)")
    if not found.mark.cadences:
        raise TheoryError("this dominant leads on to another one (want a cadence with its key)")
    cadence = cadences(chart)[found.mark.cadences[0]]
    heading = f"{chart.title}, bars {found.mark.bars}" if chart.title else ""
    if cadence.substitute:
        return _over_own_chords(found, heading)
    length = cadence.length if cadence.length in FORMS else FORM_OF_REST
    split = found.choice.split and length == FORM_OF_REST
    return ColourBlock(
        colour=found.choice.colour,
        key=_key(cadence.key),
        form="split" if split else length,
        heading=f"{heading}{_plainly(chart, cadence)}" if heading else "",
    )


def _over_own_chords(found: CadenceView, heading: str) -> LineBlock:
    """Return the line that the desk shows over a cadence, with the chords of the tune."""
    colour = found.choice.colour if found.choice is not None else ""
    try:
        if found.line is not None:
            block = line_block(found.line, colour, heading=heading)
            if block.music() == found.line:
                return block
    except TheoryError:  # its bars are not those of a block
        pass
    raise TheoryError(
        f"no block has the chords of {found.mark.name} (want a cadence in 4/4, or one whose V is "
        "no substitute)"
    )


def _plainly(chart: Chart, cadence: Cadence) -> str:
    """Say that a block has a plain ii-V-I, where the tune has other chords or lengths there."""
    places = (cadence.ii, cadence.v, cadence.i)
    own = tuple(chart.played[place].chord for place in places if place is not None)
    metre = chart.bars[chart.played[cadence.v].written].metre
    time = "" if metre == COMMON_TIME else f" in {COMMON_TIME}"
    bars = "" if cadence.length in FORMS else f" of {len(two_five_one(cadence.key))} bars"
    if own == cadence_chords(cadence.key) and not (bars or time):
        return ""
    return f"{PLAINLY}{bars}{time}"


def tune_block(desk: TuneDesk) -> TuneBlock:
    """Return the tune of a desk as a block: its chart, its colours, and the lines it would write.

    >>> tune_block(TuneDesk("| Dm7 | G7 | C6 | % |")).treatment
    'bar 2 of | G7 |, cadence 1: split, colour b9 13\\n'
    """
    state = desk.state
    if state.chart is None:
        raise TheoryError("no chart on the desk for tunes (want bars with chords)")
    return TuneBlock(
        chart=str(state.chart),
        treatment=str(state.treatment),
        seed=desk.playing.seed.value,
        melody=state.sheet.melody_text if state.sheet is not None else "",
    )


def renewed(block: Block, made: Block) -> Block | None:
    """Return a block as it is with the tune that was sent; None for one of another tune.

    What the page shows of the tune stays: its lines, jobs and parts, its heading, its margin. So
    does its melody where none is sent, in the same key.

    >>> sent = TuneBlock(chart="title: Wet Gloves\\n| Dm7 G7 | C6 |")
    >>> there = TuneBlock(chart="title: Wet Gloves\\n| G7 | C6 |", lines="guide tones")
    >>> renewed(there, sent) == replace(sent, lines="guide tones")
    True
    >>> renewed(TuneBlock(chart="title: Two Stops\\n| G7 | C6 |"), sent)
    """
    if not isinstance(block, TuneBlock) or not isinstance(made, TuneBlock):
        return None
    old, new = (one.tunes[0] for one in (block, made))
    if old.title.strip().casefold() != new.title.strip().casefold():
        return None
    if not new.title.strip() and old != new:
        return None
    if block.melody.strip() and not made.melody and old.key != new.key:
        raise TheoryError(
            f"the melody of block {new.title} on the handout is in {old.key.pretty} (want it taken "
            f"off there, or one in {new.key.pretty} sent with the tune)"
        )
    melody = made.melody or block.melody
    return replace(block, chart=made.chart, treatment=made.treatment, seed=made.seed, melody=melody)


def melody_to_lines(tunes: TuneDesk, lines: LineDesk) -> str:
    """Put the melody of a tune on the desk for lines, as a line of its own; return what was done.

    It stands over the chords of the tune, each bar once as on the page, at the tempo of the tune.

    >>> tunes, lines = TuneDesk(""), LineDesk("C")
    >>> tunes.take("title: Wet Gloves\\nkey: Db\\n| Ebm7 Ab7 | Db6 |", "half Gb4 C5 | whole Bb4")
    >>> melody_to_lines(tunes, lines)
    'The melody of Wet Gloves is on the desk for lines.'
    >>> lines.text.value, lines.over.pretty
    ('half Gb4 C5 | whole Bb4', 'E♭m7 A♭7 | D♭6')
    """
    sheet = tunes.state.sheet
    if sheet is None or not sheet.melody:
        raise TheoryError(
            "the tune on the desk has no melody (want one opened from a lead sheet in MusicXML, "
            "and bars that it fits)"
        )
    line, title = sheet.written, sheet.chart.title.strip() or "the tune"
    draft, tempo = LineDraft(line.progression).taken(line), lines.hearing.tempo
    tempo.value = min(max(round(tunes.playing.tempo.value), tempo.min), tempo.max)
    lines.mine.take(draft.data, f"This is the melody of {title}, as a line of your own.")
    return f"The melody of {title} is on the desk for lines."
