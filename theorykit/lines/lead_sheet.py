"""A lead sheet: a chart, and the melody over its written bars if there is one."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from fractions import Fraction
from typing import TYPE_CHECKING

from theorykit.errors import TheoryError, expect, expect_all
from theorykit.lines.text import Line, TimedNote
from theorykit.notes.values import Value
from theorykit.tunes.bars import ChartBar
from theorykit.tunes.charts import Chart
from theorykit.tunes.progression import Bar, Progression

__all__ = ["LeadSheet"]


@dataclass(frozen=True, slots=True, repr=False)
class LeadSheet(Value):
    """A chart with its melody.

    ``melody`` counts quarter notes from the first written bar, each bar once as on the page; a
    pickup starts below 0. ``words`` are the verses under each note, one text for each verse, a
    syllable that goes on ending with a hyphen. ``report`` says what could not be kept of the file
    that it came from.

    >>> sheet = LeadSheet.of(Chart.of("Db", "Ebm7 Ab7", "Db6"), "half Gb4 C5 | whole Ab4")
    >>> print(sheet, end="")
    key: Db major
    metre: 4/4
    <BLANKLINE>
    | Ebm7 Ab7 | Db6 |
    <BLANKLINE>
    half Gb4 C5 | whole Ab4
    """

    chart: Chart
    melody: tuple[TimedNote, ...] = ()
    words: tuple[tuple[str, ...], ...] = ()
    report: tuple[str, ...] = field(default=(), compare=False)

    if TYPE_CHECKING:  # what is taken; the fields say what is kept

        def __init__(
            self,
            chart: Chart,
            melody: Iterable[TimedNote] = (),
            words: Iterable[Sequence[str]] = (),
            report: tuple[str, ...] = (),
        ) -> None: ...

    def __post_init__(self) -> None:
        """Refuse words without notes; the line refuses notes outside the bars."""
        expect(self.chart, Chart, "a chart", "a Chart such as Chart.parse('| Dm7 G7 | C6 |')")
        notes = expect_all(self.melody, TimedNote, "a melody", "TimedNotes in order")
        object.__setattr__(self, "melody", notes)
        want = "for each note a tuple with a text for each verse"
        words = expect_all(self.words, object, "verses", want)
        tuples = (tuple(one) if isinstance(one, list) else one for one in words)
        object.__setattr__(self, "words", expect_all(tuples, tuple, "verses", want))
        if self.words and len(self.words) != len(self.melody):
            raise TheoryError(
                f"words for {len(self.words)} notes and {len(self.melody)} notes (want words for "
                "each, or none)"
            )
        _ = self.written

    def __str__(self) -> str:
        return f"{self.chart}\n{self.written}".rstrip() + "\n"

    def _about(self) -> str:
        title, bars = self.chart.title or "untitled", len(self.chart.bars)
        return f"{title}: {bars} bar{'s' * (bars != 1)}, {len(self.melody)} notes"

    @classmethod
    def of(cls, chart: Chart, melody: str) -> LeadSheet:
        """Return a chart with a melody as text over the written bars; empty text for none.

        >>> sheet = LeadSheet.of(Chart.parse("|: Dm7 | C :|"), "half F4 A4 | whole G4")
        >>> [str(note.pitch) for note in sheet.played.notes]
        ['F4', 'A4', 'G4', 'F4', 'A4', 'G4']
        """
        text = expect(melody, str, "a melody", "text such as 'half F4 A4 | whole G4'")
        if not text.strip():
            return cls(chart)
        try:
            return cls(chart, Line.parse(text, cls(chart).written.progression).notes)
        except TheoryError as error:
            raise TheoryError(f"melody: {error}") from None

    @property
    def melody_text(self) -> str:
        """The melody as text over the written bars, as ``of`` reads it; empty for none.

        >>> LeadSheet.of(Chart.of("Db", "Ebm7 Ab7", "Db6"), "half Gb4 C5 | whole Ab4").melody_text
        'half Gb4 C5 | whole Ab4'
        """
        return self.written.text if self.melody else ""

    @property
    def written(self) -> Line:
        """The melody over the written bars, each once.

        >>> from fractions import Fraction
        >>> from theorykit import Pitch
        >>> note = TimedNote(Pitch.parse("E4"), Fraction(4), Fraction(2))
        >>> sheet = LeadSheet(Chart.parse("|: Dm7 | C :|"), (note,))
        >>> str(sheet.written), str(sheet.played)
        ('whole rest | half E4 rest', 'whole rest | half E4 rest | whole rest | half E4 rest')
        """
        bars = tuple(_in_quarters(bar) for bar in self.chart.bars)
        return Line(Progression(self.chart.key, bars), self.melody)

    @property
    def played(self) -> Line:
        """The melody over the bars as played, repeats followed.

        A note that is held over a bar line goes on only where the next bar of the page follows.

        >>> sheet = LeadSheet.of(Chart.parse("|: Ebm7 Ab7 | Db6 :|"), "half Gb4 C5 | whole Ab4")
        >>> sheet.played.text
        'half Gb4 C5 | whole Ab4 | half Gb4 C5 | whole Ab4'
        """
        return Line(self.chart.progression, tuple(_played(self.chart, self.written)))


def _in_quarters(bar: ChartBar) -> Bar:
    """Return what a bar holds with its lengths in quarter notes."""
    each = bar.metre.quarters
    return Bar(bar.chords, tuple(length * each for length in bar.content.lengths), each)


def _played(chart: Chart, written: Line) -> Iterator[TimedNote]:
    """Return the notes in the order played."""
    edges = written.progression.bar_starts
    order = chart.played_bars
    here = Fraction(0)
    for place, index in enumerate(order):
        begin, end = edges[index], edges[index + 1]
        first = place == 0 and index == 0
        last = end
        for after, before in zip(order[place + 1 :], order[place:], strict=False):
            if after != before + 1:
                break
            last = edges[after + 1]
        for note in written.notes:
            if begin <= note.start < end or (first and note.start < begin):
                beats = min(note.beats, last - note.start)
                yield replace(note, start=here + note.start - begin, beats=beats)
        here += end - begin
