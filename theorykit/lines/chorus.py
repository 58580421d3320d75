"""Whole choruses over a chart: a phrase in every cadence, guide tones and breaths between them."""

from __future__ import annotations

from dataclasses import dataclass, replace

from theorykit.errors import TheoryError, shown
from theorykit.lines.between_phrases import joined_phrases
from theorykit.lines.chorus_phrases import Phrase, PhraseSource, written_phrases
from theorykit.lines.line import Line
from theorykit.lines.windows import windows_of
from theorykit.lines.wishes import Wishes
from theorykit.tunes.chart import Chart
from theorykit.tunes.progression import Bar, Progression
from theorykit.tunes.treatment import Treatment

__all__ = ["MOST_CHORUSES", "Chorus", "write_chorus"]

MOST_CHORUSES = 5


@dataclass(frozen=True, slots=True)
class Chorus:
    """One chorus or several over a chart.

    ``chart`` is the chart as it was written, ``treated`` with the treatment laid over it; ``line``
    goes over all choruses, and over one more bar where the last one leads back to the top
    (``closes``). ``phrases`` are what stands in the cadences.
    """

    chart: Chart
    treated: Chart
    choruses: int
    line: Line
    phrases: tuple[Phrase, ...]
    closes: bool

    @property
    def bars_each(self) -> int:
        """How many bars one chorus has as it is played."""
        return len(self.chart.played_bars)

    @property
    def bars(self) -> int:
        """How many bars there are in all."""
        return len(self.line.progression.bars)

    @property
    def remarks(self) -> tuple[str, ...]:
        """What could not be as it was wished, a sentence for each cadence."""
        starts = self.line.progression.bar_starts
        return tuple(
            f"Bar {max(n for n, start in enumerate(starts, 1) if start <= one.window.start)}: "
            f"{'the line is without its colour' if one.notes else 'guide tones, no line'}: "
            f"{one.problem}"
            for one in self.phrases
            if one.problem
        )


def write_chorus(
    chart: Chart,
    treatment: Treatment | None = None,
    *,
    choruses: int = 1,
    seed: int = 0,
    wishes: Wishes | None = None,
    source: PhraseSource | None = None,
) -> Chorus:
    """Return choruses over a chart with a treatment, the same for the same seed.

    Every cadence has a line in the colour of its V, and every dominant in a chain; between them
    the player breathes once and goes on in guide tones. Without a treatment the chart is played as
    it is written. ``wishes`` are those of the writer; ``source`` is asked first for a phrase, such
    as one out of a phrase book: it gets the window and the chords that stand there.

    >>> chart = Chart.of("Eb", "Fm7", "Bb7", "Ebmaj7", "%")
    >>> chorus = write_chorus(chart, Treatment.proposed(chart), seed=2)
    >>> str(chorus.line.progression)
    'Fm7 | Fm7 Bb13b9 | Ebmaj7 | Ebmaj7'
    >>> [str(phrase.window.landing) for phrase in chorus.phrases]
    ['8']
    """
    if not isinstance(choruses, int) or not 1 <= choruses <= MOST_CHORUSES:
        raise TheoryError(f"no such length: {shown(choruses)} (want 1 to {MOST_CHORUSES} choruses)")
    if not isinstance(seed, int):
        raise TheoryError(f"not a seed: {shown(seed)} (want a whole number)")
    laid = treatment if treatment is not None else Treatment.plain(chart)
    treated = laid.applied(chart)
    windows = windows_of(chart, laid, choruses)
    over = _repeated(treated.progression, choruses)
    closes = bool(windows) and windows[-1].end > over.beats
    if closes:
        over = replace(over, bars=(*over.bars, _top(over)))
    phrases = written_phrases(over, windows, seed=seed, wishes=wishes, source=source)
    compass = (wishes if wishes is not None else Wishes()).compass
    line = Line(over, joined_phrases(over, phrases, compass))
    return Chorus(chart, treated, choruses, line, phrases, closes)


def _repeated(over: Progression, choruses: int) -> Progression:
    """Return a progression played several times."""
    return replace(over, bars=over.bars * choruses)


def _top(over: Progression) -> Bar:
    """Return the bar on which the music ends: the first chord, held."""
    first = over.bars[0]
    return Bar((first.chords[0],), (first.beats,))
