"""A tune that is being typed: its text, its last good chart, the colours over it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

from theorykit.errors import TheoryError
from theorykit.lines.lead_sheet import LeadSheet
from theorykit.tunes.charts import Chart, Problem, chart_problems
from theorykit.tunes.treatments import LEVELS, Choice, Treatment
from theorykit.views.tune_page import TuneMark

AS_WRITTEN = "as written"
PROPOSALS = (AS_WRITTEN, *LEVELS)
EXAMPLE = """\
title: Wet Gloves by the Door
key: F major
tempo: 120
feel: swing

[A]
| Fmaj7 | Bbm7 | Eb7 | Abmaj7 |
| Gm7   | C7   | F6  | %      |
"""
NEW = """\
title: A new tune
key: C major
tempo: 120
feel: swing

| C6 | % | % | % |
"""
MOST_BARS = 400  # written or played: what can be looked at on a desk


@dataclass(frozen=True, slots=True)
class TuneDraft:
    """A text and what was made of it.

    ``chart`` is the chart of the last text that could be read, ``problems`` what keeps the present
    one from it. ``proposal`` is one of ``PROPOSALS``, ``variety`` the number of colours for each
    kind of target; ``own`` are the choices that the reader made, which no proposal takes away.
    ``melody`` is text over the written bars; it stays while the chart is typed, and is part of the
    sheet while it fits.

    >>> state = TuneDraft().typed("| Dm7 | G7 | C6 |")
    >>> state.typed("| Dm7 | G8 |").problems[0].column, len(state.typed("| Dm7 | G8 |").chart.bars)
    (9, 3)
    """

    text: str = ""
    chart: Chart | None = None
    problems: tuple[Problem, ...] = ()
    proposal: str = AS_WRITTEN
    variety: int = 2
    own: tuple[Choice, ...] = ()
    melody: str = ""

    @property
    def sheet(self) -> LeadSheet | None:
        """The chart with its melody, alone where the melody does not fit it; None for no chart.

        >>> state = TuneDraft(melody="whole F4 | whole E4").typed("| Dm7 | C6 |")
        >>> len(state.sheet.melody), len(state.typed("| Dm7 |").sheet.melody)
        (2, 0)
        """
        if self.chart is None:
            return None
        try:
            return LeadSheet.of(self.chart, self.melody)
        except TheoryError:
            return LeadSheet(self.chart)

    @property
    def data(self) -> dict[str, Any]:
        """The draft as plain data: its text and choices, and beside them the last good chart."""
        return {
            "text": self.text,
            "proposal": self.proposal,
            "variety": self.variety,
            "own": str(Treatment(self.own)),
            "melody": self.melody,
            "beside": {"chart": "" if self.chart is None else str(self.chart)},
        }

    @classmethod
    def of(cls, data: Mapping[str, Any]) -> TuneDraft:
        """Return the draft that plain data tell of. The reverse of ``data``.

        >>> state = TuneDraft().proposed("first", 2).typed("| Dm7 | G7 | C6 |").typed("| D")
        >>> TuneDraft.of(state.data) == state
        True
        """
        own = Treatment.parse(str(data.get("own", ""))).choices
        melody = str(data.get("melody", ""))
        state = cls(own=own, melody=melody).proposed(str(data["proposal"]), int(data["variety"]))
        beside = data.get("beside")
        good = beside.get("chart") if isinstance(beside, Mapping) else ""
        return (state.typed(str(good)) if good else state).typed(str(data.get("text", "")))

    def typed(self, text: str) -> TuneDraft:
        """Return the state after the reader has changed the text; the chart stays if it must."""
        try:
            chart = Chart.parse(text)
        except TheoryError as error:
            problems = chart_problems(text) if len(text) <= 1_000_000 else ()
            found = problems or (Problem(1, 1, str(error)),)
            return replace(self, text=text, problems=found)
        longest = max(len(chart.bars), len(chart.played_bars))
        if longest > MOST_BARS:
            told = Problem(1, 1, f"a chart of {longest} bars (want at most {MOST_BARS} on a desk)")
            return replace(self, text=text, problems=(told,))
        return replace(self, text=text, chart=chart, problems=())

    def proposed(self, proposal: str, variety: int) -> TuneDraft:
        """Return the state with another proposal for all that the reader has not chosen."""
        if proposal not in PROPOSALS:
            raise TheoryError(f"no such proposal: {proposal!r} (want {', '.join(PROPOSALS)})")
        return replace(self, proposal=proposal, variety=variety)

    def forgetful(self) -> TuneDraft:
        """Return the state without the reader's own choices."""
        return replace(self, own=())

    @property
    def treatment(self) -> Treatment:
        """The treatment of the chart: the proposal, and over it the reader's own choices."""
        if self.chart is None:
            return Treatment(())
        if self.proposal == AS_WRITTEN:
            base = Treatment.plain(self.chart)
        else:
            base = Treatment.proposed(self.chart, level=self.proposal, variety=self.variety)
        own = {_place(choice): choice for choice in self.own}
        return Treatment(
            tuple(_with_own(choice, own.get(_place(choice))) for choice in base.choices)
        )

    def chosen(
        self,
        mark: TuneMark,
        *,
        split: bool | None = None,
        colour: str | None = None,
        substitute: str | None = None,
    ) -> TuneDraft:
        """Return the state with a choice of the reader's for one mark; what is not given stays.

        With a substitute comes a colour that goes with it, unless the reader sets one as well.
        """
        if self.chart is None or mark.dominant is None:
            raise TheoryError(
                "nothing to colour here (want a dominant seventh, such as G9sus4 for Dm7/G)"
            )
        at, before = mark.dominant, choice_at(self.treatment, mark)
        changed = self.treatment.set_bar(
            at.bar, beat=at.beat, split=split, colour=colour, substitute=substitute
        )
        is_new = substitute not in (None, before.substitute)
        if is_new and substitute and colour in (None, before.colour):
            changed = changed.with_substitute(self.chart, at.bar, substitute, beat=at.beat)
        changed.applied(self.chart)  # refuses what cannot be written into the bar
        mine = choice_at(changed, mark)
        others = tuple(one for one in self.own if _place(one) != _place(mine))
        return replace(self, own=(*others, mine))


_Place = tuple[object, ...]


def _place(choice: Choice) -> _Place:
    """Return where a choice stands, and over which text: another text is another place."""
    return choice.bar, choice.beat, choice.written


def _with_own(choice: Choice, own: Choice | None) -> Choice:
    """Return a choice, or the reader's own in its place."""
    return choice if own is None else replace(own, cadences=choice.cadences)


def choice_at(treatment: Treatment, mark: TuneMark) -> Choice:
    """Return the choice for a mark."""
    at = mark.dominant
    for choice in treatment.choices:
        if at is not None and (choice.bar, choice.beat) == (at.bar, at.beat):
            return choice
    raise TheoryError(f"nothing to colour in bars {mark.bars}")
