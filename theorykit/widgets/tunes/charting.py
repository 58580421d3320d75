"""The desk for tunes: type or open a chart, see its cadences, colour them, play the chorus."""

from __future__ import annotations

from dataclasses import replace
from functools import partial
from os import PathLike
from typing import Any

import ipywidgets as ipw

from theorykit.errors import TheoryError
from theorykit.handout.chord_chart import chord_chart_pdf
from theorykit.handout.front import Edition
from theorykit.show.exports import TakenTune, file_stem, link_html
from theorykit.show.html_text import plan_html, problems_html, sentences_html, wide_table_html
from theorykit.show.pictures import picture_svg
from theorykit.tunes.charts import Chart
from theorykit.views.tune import (
    EXAMPLE,
    JOB_HEADS,
    NEW,
    PROPOSALS,
    TuneDraft,
    TuneView,
    job_caption,
    job_rows,
    tune_view,
)
from theorykit.views.tune_page import TuneGridView, TuneMark
from theorykit.widgets.controls import (
    answer,
    button,
    choice,
    guarded,
    keep_keys,
    number,
    panel,
    picture,
    put,
    readers,
    tick,
    unwatched,
    watch,
)
from theorykit.widgets.faults import Page
from theorykit.widgets.picture_saving import Saving
from theorykit.widgets.taking_away import Taking
from theorykit.widgets.tunes.tune_colouring import Colouring
from theorykit.widgets.tunes.tune_melody import Melody, TuneOpening
from theorykit.widgets.tunes.tune_playing import Playing
from theorykit.widgets.works import Hands, MyWork, Sending, by_label, place_of

HINT = "title: ...\nkey: F major\n\n| Gm7 | C7 | Fmaj7 | % |"
# A chart is read in columns: letters of one width, and lines that do not wrap.
LETTERS = (
    "<style>.theorykit-chart textarea{font-family:var(--jp-code-font-family,monospace);"
    "white-space:pre;overflow-x:auto}</style>"
)
TEXT_ROWS, GRID_ROOM, JOBS_HEIGHT = 18, 420, 300
OLD_GRID = (
    "The grid is that of the last chart that could be read. Under the text stands what is amiss."
)
LEVEL_WORDS = tuple(
    zip(("as written", "first level", "second level", "third level"), PROPOSALS, strict=True)
)
VARIETY, MOST_COLOURS = 2, 6
HEADINGS = (
    "The cadences: choose one, hear it, colour it",
    "The plan in words",
    "The chorus",
    "Take it away",
)


class TuneDesk(Page):
    """The desk for tunes as a widget; its controls are attributes.

    >>> desk = TuneDesk("| Dm7 | G7 | C6 | % |")
    >>> desk.colouring.cadences.value = 1
    >>> desk.colouring.colour.value = "altered"
    >>> desk.view.options
    (('1   bars 1-3   long ii-V-I to C   split, altered', 1),)
    """

    def __init__(
        self,
        text: str = EXAMPLE,
        book: str | PathLike[str] | None = None,
        *,
        draft: str = "",
        path: str | PathLike[str] | None = None,
    ) -> None:
        self.state = _fresh(text)
        self.view: TuneView | None = None
        self.text = ipw.Textarea(
            description="chart",
            placeholder=HINT,
            rows=TEXT_ROWS,
            tooltip="bars between bar lines; / holds a chord for a beat, % repeats a bar; "
            "segno, to coda, fine and D.S. al coda are followed",
            continuous_update=True,
            layout=ipw.Layout(width="98%"),
            style={"description_width": "50px"},
        )
        self.text.add_class("theorykit-chart")
        self.proposal = choice("colours", LEVEL_WORDS, PROPOSALS[1], "a proposal for each dominant")
        self.variety = number(
            "variety", VARIETY, 1, MOST_COLOURS, "colours for each kind of target"
        )
        self.reader = readers()
        self.treated = tick("colours in the grid", True, "or the chords as they are written")
        self.jobs = tick("jobs under the grid", False, "what every chord does, and where it leads")
        self.forget = button("forget my choices", self._forget, "back to the proposal")
        self.problems, self.problem, self.told = picture(), picture(), picture()
        self.old = picture()
        self.grid, self.plan, self.job_table = picture(GRID_ROOM), picture(), picture()
        self.grid_saving = Saving("grid", self.grid, self._title, self._grid)
        self.chord_chart = button(
            "chord chart",
            self._chord_chart,
            "the chords alone on one page, for who is chosen above",
        )
        self.chart_link, self.chart_problem = picture(), picture()
        self.melody = Melody()
        self.opening = TuneOpening(self.take)
        self.playing = Playing(self._tune, book)
        self.colouring = Colouring(self._coloured, self._chosen, lambda: self.playing.sound)
        self.sending = Sending()
        self.colouring.player.follow(self.playing.tempo)
        self.taking = Taking(lambda: self.playing.taken, self._taken_tune)
        hands = Hands(lambda: self.state.data, self._bring, tune_title, self._settings)
        place = place_of("tune", draft, {"text": text})
        self.mine = MyWork("tune", place, hands, _fresh(NEW).data, path)
        super().__init__(self._parts())
        keep_keys(self)
        self._watch()
        self.mine.begin()

    @property
    def _settings(self) -> dict[str, Any]:
        """What stays set whatever tune is on the desk."""
        own = {"written for": self.reader, "treated": self.treated, "jobs": self.jobs}
        more = {"others": self.colouring.others, **self.playing.stems}
        more |= {"player": self.playing.player.standing}
        more |= {"player of a cadence": self.colouring.player.standing}
        return {**own, **more, **by_label(self.playing, self.taking)}

    def _parts(self) -> list[ipw.Widget]:
        """Lay the parts out, in the order in which one uses them."""
        letters = ipw.HTML(LETTERS, layout=ipw.Layout(display="none"))
        typed = [letters, self.opening, self.text, self.problems]
        left = ipw.VBox(typed, layout=ipw.Layout(flex="1 1 400px", min_width="300px"))
        right = ipw.VBox(
            [
                *(self.old, self.grid, self.grid_saving, panel(self.chord_chart, self.chart_link)),
                *(self.chart_problem, self.melody, self.job_table),
            ],
            layout=ipw.Layout(flex="1 1 640px", min_width="300px"),
        )
        above = panel(
            *(self.proposal, self.variety, self.reader, self.treated, self.jobs, self.forget)
        )
        heads = [ipw.HTML(sentences_html(words)) for words in HEADINGS]
        parts = (self.colouring, self.plan, self.playing, self.taking)
        below = [widget for pair in zip(heads, parts, strict=True) for widget in pair]
        return [self.mine, panel(left, right), above, self.problem, self.told, self.sending, *below]

    def _watch(self) -> None:
        """Answer every change of a control."""
        self.text.observe(self._typed, "value")
        watch((self.proposal, self.variety), self._proposed)
        watch((self.treated,), lambda _: guarded(self.problem, self._look))
        watch((self.jobs,), self._new_jobs)
        self.reader.observe(self._new_reader, "value")

    @answer
    def _chord_chart(self, _: object) -> None:
        """Put the chords of the tune on a page of their own, behind a link."""
        put(self.chart_link, "")
        guarded(self.chart_problem, self._make_chart)

    def _make_chart(self) -> None:
        """Make the page, then the link that holds it."""
        if self.state.chart is None:
            raise TheoryError("the chart cannot be read yet (want bars between bar lines)")
        who = self.reader.value
        made = chord_chart_pdf(self.state.chart, Edition(who.name))
        name = file_stem(self.state.chart.title, f"chords {who.name}")
        put(self.chart_link, link_html(f"{name}.pdf", "application/pdf", made))

    def take(self, text: str, melody: str = "") -> None:
        """Put another chart on the desk, as a tune of its own, with its melody, tempo and feel."""
        state = (
            TuneDraft(melody=melody).proposed(self.proposal.value, self.variety.value).typed(text)
        )
        self.mine.take(state.data, "This is a tune of your own now. The one before is in the list.")
        if state.chart is not None:
            self.playing.suit(state.chart)

    def _bring(self, data: dict[str, Any]) -> None:
        """Put a tune on the desk that was kept."""
        before = self.state.chart if self.view is not None else None
        self.state = TuneDraft.of(data)
        self.sending.stale()
        with unwatched(self._typed, self.text):
            self.text.value = self.state.text
        with unwatched(self._proposed, self.proposal, self.variety):
            self.proposal.value, self.variety.value = self.state.proposal, self.state.variety
        self._suit(before)
        self._read()
        guarded(self.problem, self._look)

    @answer
    def _typed(self, _: object) -> None:
        """Read what was typed; while it cannot be read, the last good chart stays."""
        self.mine.later()
        self.sending.stale()
        before, self.state = self.state.chart, self.state.typed(self.text.value)
        self._suit(before)
        self._read()
        if not self.state.problems:
            guarded(self.problem, self._look)

    def _suit(self, before: Chart | None) -> None:
        """Let the players follow the tempo and feel of a chart that has others than before."""
        chart = self.state.chart
        if chart and (before is None or (before.tempo, before.feel) != (chart.tempo, chart.feel)):
            self.playing.suit(chart)

    def _read(self) -> None:
        """Say what cannot be read."""
        put(self.problems, problems_html(self.state.text, self.state.problems))
        is_old = self.view is not None and bool(self.state.problems)
        put(self.old, sentences_html("", OLD_GRID) if is_old else "")

    @answer
    def _proposed(self, _: object) -> None:
        """Another proposal."""
        proposed = partial(self.state.proposed, self.proposal.value, self.variety.value)
        guarded(self.problem, lambda: self._show(proposed()))

    @answer
    def _forget(self, _: object) -> None:
        """The reader's own choices go."""
        guarded(self.problem, lambda: self._show(self.state.forgetful()))

    @answer
    def _new_reader(self, _: object) -> None:
        """Another reader: all but the text of the chart is written anew."""
        guarded(self.problem, self._look)

    def _show(self, state: TuneDraft) -> None:
        """Take another state up, and show it."""
        self.mine.later()
        self.state = state
        self._look()

    def _look(self) -> None:
        """Decide, then draw."""
        view = self._view_grid()
        if view is not None:
            self.colouring.list_of(view)
            self._draw_grid()
            self._tell_jobs()
            put(self.plan, plan_html(view.plan))
            put(self.told, sentences_html("", view.written) if view.written else "")
            self._close_up(heard=False)
            self.playing.stale()

    @answer
    def _new_jobs(self, _: object) -> None:
        """The jobs are asked for, or no longer."""
        guarded(self.problem, self._regrid, self._tell_jobs)

    def _regrid(self) -> None:
        """Draw the grid anew; nothing else has changed."""
        self._view_grid()
        self._draw_grid()

    def _view_grid(self) -> TuneView | None:
        """Decide what the grid shows."""
        wanted = {"treated": self.treated.value, "jobs": self.jobs.value}
        view = tune_view(self.state, reader=self.reader.value, **wanted)
        self.view = view or self.view
        return view

    def _draw_grid(self) -> None:
        """Draw the grid, the chosen cadence standing out."""
        grid = self._grid()
        put(self.chart_link, "")
        if grid is not None:
            put(self.grid, picture_svg(grid))
        guarded(self.melody.problem, lambda: self.melody.show(self.state, self.reader.value))

    def _grid(self) -> TuneGridView | None:
        """Return the grid of the moment, with the chosen cadence."""
        if self.view is None:
            return None
        return replace(self.view.grid, chosen=self.colouring.number)

    def _title(self) -> str:
        """Return the title of the tune."""
        return self.state.chart.title if self.state.chart is not None else ""

    def _tell_jobs(self) -> None:
        """Show the job of every chord, if it is asked for."""
        table = ""
        if self.jobs.value and self.state.chart is not None:
            who = self.reader.value
            rows = [row.cells for row in job_rows(self.state.chart, who)]
            table = wide_table_html(job_caption(who), JOB_HEADS, rows, height=JOBS_HEIGHT)
        put(self.job_table, table)

    def _close_up(self, *, heard: bool) -> None:
        """Show the chosen cadence."""
        if self.view is not None:
            self.colouring.show(self.state, self.view, heard=heard)

    def _chosen(self) -> None:
        """Another cadence was chosen: it stands out in the grid, and is seen and heard."""
        guarded(self.problem, self._draw_grid, lambda: self._close_up(heard=True))

    def _coloured(self, mark: TuneMark, **wished: Any) -> None:
        """The reader has coloured a cadence."""
        self.mine.later()
        self.state = self.state.chosen(mark, **wished)
        self._look()
        self._close_up(heard=True)

    def _taken_tune(self) -> TakenTune:
        """Return the tune as it stands on the desk, to be taken away."""
        if self.state.problems:
            found = self.state.problems[0]
            raise TheoryError(
                f"the chart cannot be read: line {found.line}, column {found.column}, "
                f"{found.message} (want that mended first)"
            )
        chart, treatment, who = self._tune()
        melody = self.state.sheet.melody_text if self.state.sheet is not None else ""
        return TakenTune(chart, treatment, who, self.playing.tempo.value, melody)

    def _tune(self) -> tuple[Any, ...]:
        """Return chart, treatment and reader for a chorus."""
        if self.state.chart is None:
            raise TheoryError("no chart yet (want bars with chords, such as | Dm7 G7 | Cmaj7 |)")
        return self.state.chart, self.state.treatment, self.reader.value


def tune_desk(
    chart: str | Chart = EXAMPLE,
    *,
    book: str | PathLike[str] | None = None,
    draft: str = "",
    path: str | PathLike[str] | None = None,
) -> TuneDesk:
    """Return the desk for tunes, opened on a chart or on its text.

    ``book`` is the path of a phrase book for choruses, by default the reader's own. What is typed
    and chosen is there again when the cell is run again: ``draft`` names the desk, so that two with
    the same chart each have their own, and ``path`` is the file, by default the reader's own.

    >>> tune_desk("| Abm7 | Db7 | Gbmaj7 | % |").view.options[0][0]
    '1   bars 1-3   long ii-V-I to G♭   split, ♭9 13'
    """
    return TuneDesk(chart if isinstance(chart, str) else str(chart), book, draft=draft, path=path)


def _fresh(text: str) -> TuneDraft:
    """Return a chart on a desk as it is first seen."""
    return TuneDraft().proposed(PROPOSALS[1], VARIETY).typed(text)


def tune_title(data: dict[str, Any]) -> str:
    """Return what a tune is called in a list: its title, or how its text begins."""
    words = [line for line in str(data.get("text", "")).splitlines() if line.strip()]
    titles = [line for line in words if line.strip().lower().startswith("title:")]
    if titles:
        return titles[0].split(":", 1)[1].strip() or "without a title"
    return f"without a title: {words[0].strip()}" if words else "empty"
