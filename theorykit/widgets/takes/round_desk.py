"""The desk for rounds: how often the band goes round, who asks and who answers, rounds compared."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from functools import partial

from theorykit.errors import TheoryError
from theorykit.harmony.wording import sentence
from theorykit.lines.text import Line
from theorykit.notes.reader import Reader
from theorykit.show.engraving import staff_svg
from theorykit.show.html_text import sentences_html, table_html
from theorykit.tunes.progression import Progression
from theorykit.views.played import ComparedLines, compared_rounds, rounds_of
from theorykit.widgets.controls import (
    answer,
    choice,
    guarded,
    number,
    offer,
    picture,
    put,
    safely,
    tick,
    unwatched,
    watch,
)
from theorykit.widgets.faults import Page, noted
from theorykit.widgets.takes.recordings import Recording, Round

MOST = 8
HELD = "Rounds are held while Python runs; the line of each is among the earlier states."
BESIDE = "theorykit-compared"  # staves that are no buttons
SCALE, WIDTH = 40, 760  # percent, pixels: of staves that are compared, as wide as each other


class RoundDesk(Page):
    """A list of the rounds of the last take, with a table that compares them.

    ``line`` returns the line on the page, which may ask; ``put_down`` is given the round that is to
    stand there, ``keep`` each round that is not, and ``changed`` is called when the band is to play
    otherwise. ``count`` and ``answers`` stand elsewhere, among what is chosen before one plays.
    """

    def __init__(
        self,
        line: Callable[[], Line],
        put_down: Callable[[Round], None],
        keep: Callable[[Round], None],
        changed: Callable[[], None],
    ) -> None:
        self._line, self._put_down, self._keep, self._changed = line, put_down, keep, changed
        self.count = number("rounds", 1, 1, MOST, "how often the band goes round")
        self.answers = tick("this line asks, I answer", tip="it is played, then the bars alone")
        self.chosen = choice("on the page", [("round 1", 0)], 0, "which round is on the page")
        self.problem, self.compared = picture(), picture()
        self.rounds: tuple[Round, ...] = ()
        self.question: Line | None = None
        self.asked: Line | None = None  # the line that the rounds of the last take answer
        self.narrow = 0  # pixels of a narrow page, on which each bar has a row
        self._now: tuple[object, ...] | None = None  # what is compared at the moment
        super().__init__([self.chosen, self.compared, self.problem])
        self._show_list(False)
        watch((self.count,), safely(self.problem, changed))
        self.answers.observe(self._asks, "value")
        self.chosen.observe(self._other, "value")

    def question_over(self, over: Progression) -> Line | None:
        """Return the line that asks, as long as the chords are its own."""
        asks = self.question
        return asks if asks is not None and asks.progression == over else None

    def places(self, recording: Recording, over: Progression) -> tuple[float, ...]:
        """Return the seconds at which rounds of a take begin, none where it is one whole."""
        start, tempo, asks = recording.start, recording.tempo, self.question_over(over) is not None
        if start is None or tempo is None or (self.count.value == 1 and not asks):
            return ()
        long = float(over.beats) * 60 / tempo
        span, first = (2 * long, start + long) if asks else (long, start)
        return tuple(first + span * place for place in range(self.count.value))

    def take(self, rounds: tuple[Round, ...]) -> None:
        """Take the rounds of a take, and put the last one on the page."""
        self.rounds = rounds
        first = next((one.taken for one in rounds if one.taken is not None), None)
        self.asked = None if first is None else self.question_over(first.line.progression)
        heard = [place for place, one in enumerate(rounds) if one.taken is not None]
        offer(self.chosen, [(f"round {n + 1}", n) for n in heard], heard[-1], self._other)
        self._show_list(len(rounds) > 1)
        for place in heard[:-1]:
            self._keep(rounds[place])
        self._put_down(rounds[heard[-1]])

    def forget(self) -> None:
        """Let the sound of all rounds go; their lines stay."""
        self.rounds = tuple(
            replace(one, recording=replace(one.recording, sound=())) for one in self.rounds
        )

    def agree(self, over: Progression) -> None:
        """Let no line ask over other chords than its own."""
        if self.question is not None and self.question_over(over) is None:
            with unwatched(self._asks, self.answers):
                self.answers.value = False
            self.question = None

    def compare(self, reader: Reader, *, are_told: bool) -> None:
        """Show the rounds beside what they answer, where the page is of them.

        Without a question there are to be several. What is there already is not drawn anew.
        """
        told = are_told and (len(self.rounds) > 1 or self.asked is not None)
        now = (reader, self.rounds, self.asked, self.narrow) if told else None
        if now != self._now:
            noted(partial(setattr, self, "_now", self._now))
            put(self.compared, self._compared(reader) if told else "")
            self._now = now
        self._show_list(told and len(self.rounds) > 1)

    def _compared(self, reader: Reader) -> str:
        """Return rounds as a table, and each on a staff under what it answers."""
        taken = [one.taken for one in self.rounds]
        table = words = ""
        if len(taken) > 1:
            view = rounds_of(taken, reader=reader)
            table = table_html(view.caption, view.heads, view.cells)
            told = [view.words] if view.words else []
            words = sentences_html("", *told, HELD)
        lines = [None if one is None else one.line for one in taken]
        return (
            table
            + words
            + "".join(
                _stacked(name, pair, self.narrow)
                for name, pair in compared_rounds(self.asked, lines, reader=reader)
            )
        )

    def _show_list(self, is_shown: bool) -> None:
        """Show the list of rounds, or take it away."""
        layout = self.chosen.layout
        noted(partial(setattr, layout, "display", layout.display))
        layout.display = "" if is_shown else "none"

    @answer
    def _other(self, _: object) -> None:
        """Another round is looked at."""
        guarded(self.problem, lambda: self._put_down(self.rounds[self.chosen.value]))

    @answer
    def _asks(self, _: object) -> None:
        """The line on the page asks from now on, or the band plays alone."""
        if not guarded(self.problem, self._set_question):
            with unwatched(self._asks, self.answers):
                self.answers.value = False

    def _set_question(self) -> None:
        """Note down the line that asks; an answer does not take its place."""
        line = self._line()
        if self.answers.value and not line.notes:
            raise TheoryError("no line that could ask (want one on the page: play it in first)")
        self.question = line if self.answers.value else None
        self._changed()


def _stacked(name: str, pair: ComparedLines, narrow: int) -> str:
    """Return two staves one under the other, and what differs in words."""
    bars = 1 if narrow else None  # a row
    above, _, below = name.partition(" and ")
    rows = (
        sentences_html("", title)
        + staff_svg(staff, scale=SCALE, width=narrow or WIDTH, bars_per_line=bars)
        for title, staff in ((above, pair.first), (below, pair.second))
    )
    told = sentences_html(sentence(name), pair.words)
    return f'<div class="{BESIDE}">{told}{"".join(rows)}</div>'
