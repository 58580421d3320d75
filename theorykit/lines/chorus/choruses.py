"""Choruses over a chart: a phrase in every cadence, a motif around guide tones between them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from math import floor

from theorykit.errors import TheoryError, expect, shown
from theorykit.lines.chorus.chorus_phrases import PhraseSource, written_phrases
from theorykit.lines.chorus.joints import before_beat, whole_triplets
from theorykit.lines.chorus.motifs import MotifPair, stated
from theorykit.lines.chorus.windows import Phrase, windows_of
from theorykit.lines.guide_tones import guide_tones, places
from theorykit.lines.text import Line, TimedNote
from theorykit.lines.writing import Wishes
from theorykit.notes.note import Pitch
from theorykit.notes.values import Value
from theorykit.tunes.charts import Chart
from theorykit.tunes.progression import Bar, PlacedChord, Progression
from theorykit.tunes.treatments import Treatment

BREATH = Fraction(1)  # beats: the least rest between two phrases
SHORTEST = Fraction(1, 2)  # beats that a note keeps when a breath is taken from it
QUARTERS, WHOLE_FORM = 4, 24  # a form of so many bars has a contrasting third quarter
AGAIN, LEAP, WIDE = 3, 3, 5  # what a repeated note costs, and a leap over so many half steps

_Way = tuple[int, tuple[Pitch, ...]]


def joined_phrases(
    over: Progression, phrases: Sequence[Phrase], compass: tuple[int, int], motifs: MotifPair
) -> tuple[TimedNote, ...]:
    """Return phrases as the notes of one line, with a breath and a motif between them.

    Between two phrases a motif comes back over each chord, around its 3rd or its 7th, whichever
    lies nearer, inside the two numbers of MIDI that ``compass`` gives. Phrases that begin where the
    one before lands follow at once.
    """
    line: list[TimedNote] = []
    before: Phrase | None = None
    for phrase in phrases:
        if phrase.notes:
            if before is None or before.window.landing < phrase.window.start:
                _fill(over, line, phrase.notes[0], compass, motifs)
            line += phrase.notes
            before = phrase
    _fill(over, line, None, compass, motifs)
    return tuple(line)


def _fill(
    over: Progression,
    line: list[TimedNote],
    coming: TimedNote | None,
    compass: tuple[int, int],
    motifs: MotifPair,
) -> None:
    """Breathe after the last note of a line, and fill the time before the note that comes."""
    end = over.beats if coming is None else coming.start
    if line and coming is not None and end - line[-1].end < BREATH:
        line[-1] = _shortened(line[-1], end)
    begin = line[-1].end + BREATH if line else Fraction(0)
    pieces = list(_pieces(over, begin, Fraction(floor(end))))  # a triplet has its beat for itself
    pitches = _smooth(pieces, line[-1].pitch if line else None, coming, compass)
    line += stated(pieces, pitches, motifs, over.key, compass)


def _shortened(note: TimedNote, edge: Fraction) -> TimedNote:
    """Return a note that leaves a breath before a beat, as far as it is long enough."""
    beats = max(min(note.beats, SHORTEST), before_beat(edge - BREATH) - note.start)
    (whole,) = whole_triplets([replace(note, beats=beats)], edge)
    return whole


def _pieces(over: Progression, begin: Fraction, end: Fraction) -> Iterator[PlacedChord]:
    """Return the chords that begin in a stretch, each up to its end or to that of the stretch."""
    for placed in over.chords:
        if begin <= placed.start < end and not placed.chord.is_silent:
            yield replace(placed, beats=min(placed.beats, end - placed.start))


def _smooth(
    pieces: Sequence[PlacedChord],
    before: Pitch | None,
    coming: TimedNote | None,
    compass: tuple[int, int],
) -> tuple[Pitch, ...]:
    """Return a guide tone for each chord, so that the way from note to note is the smallest."""
    ways: list[_Way] = [(0, () if before is None else (before,))]
    for placed in pieces:
        found = (p for note in guide_tones(placed.chord) for p in places(note, *compass))
        ways = [_best(ways, pitch) for pitch in found]
    if coming is not None:
        ways = [_best(ways, coming.pitch)]
    pitches = min(ways, key=lambda way: way[0])[1]
    return pitches[before is not None : len(pitches) - (coming is not None)]


def _best(ways: Sequence[_Way], pitch: Pitch) -> _Way:
    """Return the cheapest way to a pitch."""
    return min(
        ((cost + _cost(so_far, pitch), (*so_far, pitch)) for cost, so_far in ways),
        key=lambda way: way[0],
    )


def _cost(so_far: tuple[Pitch, ...], pitch: Pitch) -> int:
    """Return what a move costs: its half steps, and more for none and for a leap."""
    if not so_far:
        return 0
    size = abs(pitch.midi - so_far[-1].midi)
    return size + AGAIN * (size == 0) + LEAP * max(0, size - WIDE)


# === Choruses ===

MOST_CHORUSES = 5


@dataclass(frozen=True, slots=True, repr=False)
class Chorus(Value):
    """One chorus or several over a chart.

    ``chart`` is the chart as it was written, ``treated`` with the treatment laid over it; ``line``
    goes over all choruses, and over one more bar where the last one leads back to the top
    (``closes``). ``phrases`` are what stands in the cadences.

    >>> chart = Chart.of("Db", "Ebm7", "Ab7", "Dbmaj7", "%", title="Nine Chairs in the Hall")
    >>> chorus = write_chorus(chart, Treatment.proposed(chart), choruses=2, seed=5)
    >>> chorus.bars_each, chorus.bars, chorus.closes
    (4, 8, False)
    >>> [str(bar) for bar in chorus.treated]
    ['Ebm7', 'Ebm7 Ab13b9', 'Dbmaj7', 'Dbmaj7']
    """

    chart: Chart
    treated: Chart
    choruses: int
    line: Line
    phrases: tuple[Phrase, ...]
    closes: bool

    def __post_init__(self) -> None:
        """Refuse what is no line over a chart."""
        for chart in (self.chart, self.treated):
            expect(chart, Chart, "a chart", "a Chart, or use write_chorus")
        expect(self.line, Line, "a line", "a Line, or use write_chorus")

    def __str__(self) -> str:
        return self.line.text

    def _about(self) -> str:
        count = f"{self.choruses} chorus{'es' * (self.choruses != 1)}"
        return f"over {self.chart.title or 'a tune'}: {count}, {len(self.line)} notes"

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
        """What could not be as it was wished, a sentence for each cadence.

        >>> chart = Chart.of("Db", "Ebm7 Ab7", "Db6")
        >>> write_chorus(chart, Treatment.proposed(chart), wishes=Wishes(landing="b9")).remarks
        ('Bar 1: guide tones, no line: no line in ♭9 13 keeps the rules over E♭m7 A♭13♭9 | D♭6',)
        """
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
    the player breathes and takes up a motif around the guide tones. Without a treatment the chart
    is played as it is written. ``wishes`` are those of the writer; ``source`` is asked first for a
    phrase, such as one out of a phrase book: it gets the window and the chords that stand there.

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
    _check_asked(chart, treatment, wishes, source)
    laid = treatment if treatment is not None else Treatment.plain(chart)
    treated = laid.applied(chart)
    windows = windows_of(chart, laid, choruses)
    over = _repeated(treated.progression, choruses)
    closes = bool(windows) and windows[-1].end > over.beats
    if closes:
        over = replace(over, bars=(*over.bars, _top(over)))
    once = treated.progression
    low, high = _bridge(once)
    bridge = {n for n, one in enumerate(windows) if low <= one.start % once.beats < high}
    phrases = written_phrases(over, windows, seed=seed, wishes=wishes, source=source, bridge=bridge)
    compass = (wishes if wishes is not None else Wishes()).compass
    motifs = MotifPair.drawn(f"{seed} {chart.progression}", (low, high))
    line = Line(over, joined_phrases(over, phrases, compass, motifs))
    return Chorus(chart, treated, choruses, line, phrases, closes)


def _bridge(over: Progression) -> tuple[Fraction, Fraction]:
    """Return the beats of the contrasting quarter of a form; of none, where the form is short."""
    bars, edges = len(over.bars), over.bar_starts
    if bars < WHOLE_FORM or bars % QUARTERS:
        return Fraction(0), Fraction(0)
    return edges[bars // 2], edges[bars * 3 // 4]


def _check_asked(chart: object, treatment: object, wishes: object, source: object) -> None:
    """Refuse what is not what a chorus is made of."""
    expect(chart, Chart, "a chart", "a Chart such as Chart.parse('| Dm7 G7 | C6 |')")
    if treatment is not None:
        expect(treatment, Treatment, "a treatment", "a Treatment such as Treatment.proposed(chart)")
    if wishes is not None:
        expect(wishes, Wishes, "wishes", "Wishes such as Wishes(density='full')")
    if source is not None and not callable(source):
        raise TheoryError(f"no source of phrases: {shown(source)} (want phrases_from(book))")


def _repeated(over: Progression, choruses: int) -> Progression:
    """Return a progression played several times."""
    return replace(over, bars=over.bars * choruses)


def _top(over: Progression) -> Bar:
    """Return the bar on which the music ends: the first chord, held."""
    first = over.bars[0]
    return Bar((first.chords[0],), (first.beats,), first.pulse)


# === One cadence ===


def cadence_line(chart: Chart, treatment: Treatment, v: int, *, seed: int = 0) -> Line | None:
    """Return a line over the cadence whose V has the index ``v`` in ``Chart.played``.

    The chords are those of the treatment, the key is the one that the cadence points to. There is
    none where no window stands there, as before N.C.

    >>> chart = Chart.of("C", "Fm7", "Bb7", "Ebmaj7", "Dm7 G7", "C6")
    >>> line = cadence_line(chart, Treatment.proposed(chart), 1)
    >>> str(line.progression.key), str(line.progression)
    ('Eb major', 'Fm7 | Fm7 Bb13b9 | Ebmaj7')
    """
    windows = [one for one in windows_of(chart, treatment) if one.v == v]
    if not windows:
        return None
    over = treatment.applied(chart).progression
    twice = replace(over, bars=(*over.bars, over.bars[0]))  # the end leads back to the top
    return written_phrases(twice, windows[:1], seed=seed)[0].line_over(twice)
