"""A chorus as it is asked for: how long, which lines, how it sounds."""

from __future__ import annotations

from dataclasses import dataclass

from theorykit.lines.chorus import (
    Chorus,
    PhraseSource,
    muted,
    perform_chorus,
    straight,
    write_chorus,
)
from theorykit.lines.parts import PART_NAMES, Performance
from theorykit.notes.key import heard_words
from theorykit.notes.reader import READERS, Reader
from theorykit.tunes.charts import Chart
from theorykit.tunes.treatments import Treatment
from theorykit.views.sounding import Take
from theorykit.views.tune_page import heard_sections


@dataclass(frozen=True, slots=True)
class ChorusWishes:
    """What is wished for: ``first`` and ``last`` are the bars to be heard, 0 for the ends.

    ``tempo`` in beats a minute, None for that of the chart; ``swing`` None for what suits it;
    ``silent`` are the parts that rest.
    """

    choruses: int = 1
    seed: int = 1
    tempo: float | None = None
    swing: float | None = None
    first: int = 0
    last: int = 0
    loops: bool = False
    silent: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class ChorusView:
    """A chorus with its performance, and the name of its player."""

    chorus: Chorus
    performance: Performance
    label: str
    wishes: ChorusWishes

    @property
    def without_line(self) -> tuple[str, ...]:
        """The parts that rest where the line does."""
        return tuple(dict.fromkeys((*self.wishes.silent, PART_NAMES[0])))

    @property
    def _is_seen(self) -> bool:
        """True where the staff has all that is heard, and nothing else."""
        return self.chorus.choruses == 1 and not (self.wishes.first or self.wishes.last)

    @property
    def takes(self) -> tuple[Take, ...]:
        """The chorus with the line and without it, counted in; without it alone if it rests."""
        chart, wished = self.chorus.chart, self.wishes
        first, last = _bars(self.chorus, wished)
        pairs = [(self.without_line, "without the line")]
        if PART_NAMES[0] not in wished.silent:
            pairs.insert(0, (wished.silent, "with the line"))
        played = _performed(self.chorus, wished, count_in=1)
        return tuple(
            Take(
                f"{self.label}, {words}",
                muted(played, silent),
                as_players_do=wished.swing is None and not straight(chart.feel),
                bar=self.chorus.line.progression.bars[0].beats,
                pulse=chart.metre.quarters,
                loops=wished.loops,
                is_seen=self._is_seen and PART_NAMES[0] not in silent,
                sections=heard_sections(
                    chart, choruses=self.chorus.choruses, first=first, last=last
                ),
            )
            for silent, words in pairs
        )


def chorus_view(
    chart: Chart,
    treatment: Treatment,
    wishes: ChorusWishes | None = None,
    *,
    source: PhraseSource | None = None,
    reader: Reader = READERS[0],
) -> ChorusView:
    """Return choruses over a treated chart, ready to be seen and heard.

    >>> chart = Chart.of("C", "Dm7", "G7", "C6", "%", title="Wet Gloves")
    >>> view = chorus_view(chart, Treatment.plain(chart), ChorusWishes(first=2, loops=True))
    >>> view.label, str(view.performance.beats)
    ('Wet Gloves, bars 2-4, round and round', '12')
    """
    wished = wishes or ChorusWishes()
    chorus = write_chorus(
        chart, treatment, choruses=wished.choruses, seed=wished.seed, source=source
    )
    played = _performed(chorus, wished, count_in=0 if wished.loops else 1)
    label = _label(chorus, wished, _bars(chorus, wished)) + heard_words(reader, chart.key)
    return ChorusView(chorus, played, label, wished)


def _bars(chorus: Chorus, wished: ChorusWishes) -> tuple[int, int]:
    """Return the first and the last bar to be heard."""
    return wished.first or 1, wished.last or _last(chorus, wished)


def _performed(chorus: Chorus, wished: ChorusWishes, *, count_in: int) -> Performance:
    """Return a chorus with the band, as it is wished for."""
    return perform_chorus(
        chorus,
        bars=_bars(chorus, wished),
        tempo=wished.tempo,
        swing=wished.swing,
        count_in=count_in,
        loops=wished.loops,
        seed=wished.seed,
    )


def _last(chorus: Chorus, wished: ChorusWishes) -> int:
    """Return the last bar to be heard: in a loop without the one that ends on the top."""
    return chorus.bars - (chorus.closes and wished.loops)


def _label(chorus: Chorus, wished: ChorusWishes, bars: tuple[int, int]) -> str:
    """Name a player."""
    first, last = bars
    count = f"{chorus.choruses} choruses" if chorus.choruses > 1 else "1 chorus"
    where = f"bars {first}-{last}" if wished.first or wished.last else count
    loop = ["round and round"] if wished.loops else []
    return ", ".join([chorus.chart.title or "the tune", where, *loop])
