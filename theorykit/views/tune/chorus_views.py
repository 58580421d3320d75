"""A chorus as it is asked for: how long, which lines, how it sounds."""

from __future__ import annotations

from dataclasses import dataclass

from theorykit.lines.chorus import Chorus, PhraseSource, perform_chorus, write_chorus
from theorykit.lines.parts import PART_NAMES, Performance
from theorykit.notes.key import heard_words
from theorykit.notes.reader import READERS, Reader
from theorykit.tunes.charts import Chart
from theorykit.tunes.treatments import Treatment


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
    bars = (wished.first or 1, wished.last or _last(chorus, wished))
    played = perform_chorus(
        chorus,
        bars=bars,
        tempo=wished.tempo,
        swing=wished.swing,
        count_in=0 if wished.loops else 1,
        loops=wished.loops,
        seed=wished.seed,
    )
    label = _label(chorus, wished, bars) + heard_words(reader, chart.key)
    return ChorusView(chorus, played, label, wished)


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
