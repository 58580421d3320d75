"""Comping: the figures in which a piano plays, phrase by phrase, and the room it leaves a line.

The figures are those that piano methods teach first (common practice; the Charleston after the
dance of 1923; of bossa and straight eighths, common practice). A stroke an eighth before a change
is the new chord played early: it is tied over, and the beat of the change is left free.

Four bars are a phrase: a figure, its repeat, an answer, room. Where a line is busy the piano plays
less, and where it rests more. Under a long note of the line, and under one that is struck with it,
no note sounds that is a half step or a minor ninth away from it (common practice: avoid notes are
avoided under what is held).
"""

from __future__ import annotations

import random
from bisect import bisect_left, bisect_right
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import accumulate

from theorykit.errors import TheoryError, shown
from theorykit.lines.band.feels import Feel, feel_named
from theorykit.lines.band.rhythm import groups
from theorykit.lines.band.voicings import Voicing
from theorykit.lines.parts import Sounding
from theorykit.tunes.progression import PlacedChord, Progression

EARLY = Fraction(1, 2)  # beats by which a chord may come early
SHORT = Fraction(5, 8)  # beats that a short chord sounds
LOUD, SOFT = 66, 60  # off the beat and on it
USUAL = 4  # beats of the bars for which feels name their figures
BREATH = Fraction(1, 8)  # beats between a held chord and the next


@dataclass(frozen=True, slots=True)
class Figure:
    """A rhythm over one bar: where chords are struck and how long they sound, in beats."""

    name: str
    beats: int
    strokes: tuple[tuple[Fraction, Fraction], ...]


def _figure(name: str, beats: int, strokes: str) -> Figure:
    """Read a row: each stroke is a beat counted from 1, a colon and a length in beats."""
    pairs = (stroke.split(":") for stroke in strokes.split())
    return Figure(name, beats, tuple((Fraction(beat) - 1, Fraction(long)) for beat, long in pairs))


FIGURES = (
    _figure("Charleston", 4, "1:1 5/2:3/2"),
    _figure("Charleston, short", 4, "1:1/2 5/2:1/2"),
    _figure("reverse Charleston", 4, "3/2:3/2 3:1"),
    _figure("after one and after three", 4, "3/2:1 7/2:1"),
    _figure("after two and after four", 4, "5/2:1 9/2:1"),
    _figure("two and four", 4, "2:1/2 4:1/2"),
    _figure("one held", 4, "1:3"),
    _figure("one and after four", 4, "1:3/2 9/2:1"),
    _figure("half notes", 4, "1:3/2 3:3/2"),
    _figure("after two", 4, "5/2:1/2"),
    _figure("after three", 4, "7/2:1/2"),
    _figure("after four", 4, "9/2:1/2"),
    _figure("one, after two and four", 4, "1:1 5/2:1/2 4:1/2"),
    _figure("after one, two and after four", 4, "3/2:1/2 2:1 9/2:1/2"),
    _figure("two, after three and after four", 4, "2:1/2 7/2:1/2 9/2:1/2"),
    _figure("one, and after two held", 4, "1:1 5/2:5/2"),
    _figure("two, and after three", 4, "2:1 7/2:3/2"),
    _figure("one, three and after four", 4, "1:3/2 3:1 9/2:1/2"),
    _figure("one and after two", 4, "1:3/2 5/2:5/2"),
    _figure("one, after two and after four", 4, "1:1 5/2:1 9/2:1/2"),
    _figure("after one, three", 4, "3/2:1 3:1"),
    _figure("one held", 3, "1:2"),
    _figure("one and after two", 3, "1:1 5/2:1"),
    _figure("two and three", 3, "2:1/2 3:1/2"),
    _figure("after one, and three", 3, "3/2:1 3:1/2"),
    _figure("one and after three", 3, "1:3/2 7/2:1"),
)


NAMES = tuple(dict.fromkeys(figure.name for figure in FIGURES))


PHRASE = 4  # bars
# What the bars of a phrase play, by chance: figures by letter, the hyphen is a bar left out.
SHAPES = ("AAB-", "ABAC", "A-AB", "AAAB", "AB-C", "ABAB", "-AAB")
REST = "-"
BUSY = 5  # notes of a line in a bar, at which the piano makes room
HELD = Fraction(7, 8)  # beats: a note that sounds so long must not be rubbed
TOGETHER = Fraction(3, 8)  # beats: nor one of so many that begins with the chord
FEWEST_NOTES = 2  # of a voicing that makes way for a line


class _Chooser:
    """Which figure a bar takes: by chance in phrases, and by what the line does there."""

    def __init__(
        self, feel: Feel, name: str | None, line: Sequence[Sounding], drawn: float
    ) -> None:
        self.feel, self.name, self.drawn = feel, name, drawn
        self.line = [note.start for note in line]

    def strokes(
        self, number: int, start: Fraction, beats: Fraction
    ) -> Iterable[tuple[Fraction, Fraction]]:
        """Return the strokes of a bar."""
        options = [row for row in FIGURES if row.beats == beats and self._suits(row)]
        if not options:
            starts = accumulate(groups(beats), initial=Fraction(0))
            return [(at, SHORT) for at in starts if at < beats]
        phrase = random.Random(f"{self.drawn} {number // PHRASE}")
        shape, sparse = phrase.choice(SHAPES), phrase.random() < self.feel.sparse * PHRASE
        letter = shape[number % PHRASE]
        if self.name is None and letter == REST and sparse:
            return ()
        chance = dict(zip("ABC" + REST, (phrase.random() for _ in range(4)), strict=True))
        suited = self._with_room(options, start, beats)
        return suited[int(chance[letter] * len(suited))].strokes

    def _suits(self, row: Figure) -> bool:
        """Tell whether a figure is the one that is wished for, or one of the feel."""
        if self.name is not None:
            return row.name == self.name
        return not self.feel.figures or row.beats != USUAL or row.name in self.feel.figures

    def _with_room(self, options: list[Figure], start: Fraction, beats: Fraction) -> list[Figure]:
        """Return the figures that leave a busy line alone and answer one that rests."""
        if self.name is not None or not self.line:
            return options
        onsets = bisect_left(self.line, start + beats) - bisect_left(self.line, start)
        if onsets >= BUSY:
            few = 2 if self.feel.figures else 1
            return [row for row in options if len(row.strokes) <= few] or options
        if onsets <= 1:
            most = max(len(row.strokes) for row in options)
            return [row for row in options if len(row.strokes) >= min(2, most)]
        return options


@dataclass(frozen=True, slots=True)
class _Stroke:
    """A chord struck: when, which one by its place, until when at the latest."""

    start: Fraction
    place: int
    end: Fraction


def comping(
    progression: Progression,
    voiced: Sequence[Voicing],
    *,
    feel: str = "four",
    figure: str | None = None,
    line: Sequence[Sounding] = (),
    ends: bool = True,
    seed: int | random.Random = 0,
) -> tuple[Sounding, ...]:
    """Return the strokes of the piano in written beats; ``voiced`` holds a voicing for each chord.

    Every chord is heard, on its beat or an eighth early, and none sounds on into the next.
    ``figure`` names the one of ``FIGURES`` to keep to; without it each phrase of four bars takes
    some of those of its ``feel`` by chance. ``line`` is what is played above, by its start. With
    ``ends`` the last chord is struck once and held. The same seed gives the same rhythm, whatever
    the chords.

    >>> from theorykit.lines.band.voicings import voice_progression
    >>> from theorykit.tunes.progression import two_five_one
    >>> short = two_five_one("C", "short")
    >>> notes = comping(short, voice_progression(short), seed=7)
    >>> sorted({str(note.start) for note in notes})
    ['0', '4', '5/2']
    """
    if figure is not None and figure not in NAMES:
        raise TheoryError(f"no such figure: {shown(figure)} (want {', '.join(NAMES)})")
    rng = seed if isinstance(seed, random.Random) else random.Random(seed)
    placed = progression.chords
    chooser = _Chooser(feel_named(feel), figure, line, rng.random())
    strokes = _untied(_written(progression, placed, chooser), placed)
    struck = {stroke.place for stroke in strokes}
    strokes += [
        _Stroke(chord.start, place, chord.start + SHORT)
        for place, chord in enumerate(placed)
        if place not in struck
    ]
    if ends:
        last = len(placed) - 1
        strokes = [stroke for stroke in strokes if stroke.place < last]
        strokes.append(_Stroke(placed[last].start, last, placed[last].end))
    strokes.sort(key=lambda stroke: stroke.start)
    return tuple(_sounding(strokes, placed, voiced, line))


def _written(
    progression: Progression, placed: Sequence[PlacedChord], chooser: _Chooser
) -> Iterator[_Stroke]:
    """Yield the strokes of a figure for each bar, each with the chord that it strikes."""
    starts = [chord.start for chord in placed]
    bars = zip(progression.bar_starts, progression.bars, strict=False)
    for number, (start, bar) in enumerate(bars):
        for beat, length in chooser.strokes(number, start, bar.beats):
            at = start + beat
            yield _Stroke(at, _struck(starts, at), at + length)


def _struck(starts: Sequence[Fraction], at: Fraction) -> int:
    """Return the place of the chord that a stroke belongs to: an eighth early, it is the next."""
    after = bisect_right(starts, at)
    early = after < len(starts) and starts[after] - at == EARLY and at > starts[after - 1]
    return after if early else after - 1


def _untied(strokes: Iterable[_Stroke], placed: Sequence[PlacedChord]) -> list[_Stroke]:
    """Leave out a stroke on the beat of a chord that has been struck early."""
    kept: list[_Stroke] = []
    for stroke in strokes:
        on_beat = stroke.start == placed[stroke.place].start
        if not (on_beat and kept and kept[-1].place == stroke.place):
            kept.append(stroke)
    return kept


def _sounding(
    strokes: Sequence[_Stroke],
    placed: Sequence[PlacedChord],
    voiced: Sequence[Voicing],
    line: Sequence[Sounding],
) -> Iterator[Sounding]:
    """Yield the notes of each stroke, which ends before the next stroke and before the change."""
    following = [*(stroke.start for stroke in strokes[1:]), placed[-1].end]
    for stroke, after in zip(strokes, following, strict=True):
        latest = min(after, placed[stroke.place].end)
        end = min(stroke.end, latest - min(BREATH, (latest - stroke.start) / 4))
        loudness = LOUD if stroke.start.denominator > 1 else SOFT
        for midi in _beneath(voiced[stroke.place].midis, stroke.start, end, line):
            yield Sounding(stroke.start, end - stroke.start, midi, loudness)


def _beneath(
    midis: tuple[int, ...], start: Fraction, end: Fraction, line: Sequence[Sounding]
) -> tuple[int, ...]:
    """Return what of a voicing stays under a line: nothing that rubs, little that crosses it."""
    over = [note for note in line if note.start < end and note.start + note.beats > start]
    if not over:
        return midis
    held = [note.midi for note in over if note.beats >= (TOGETHER if note.start == start else HELD)]
    free = tuple(m for m in midis if not any(rubs(m, top) for top in held))
    lowest = min(note.midi for note in over)
    below = tuple(m for m in free if m < lowest)
    return below if len(below) >= FEWEST_NOTES else free[: max(FEWEST_NOTES, len(below))]


def rubs(midi: int, top: int) -> bool:
    """Tell whether two keys are a half step or a minor ninth apart, octaves more or less.

    >>> rubs(64, 65), rubs(64, 77), rubs(60, 71)
    (True, True, False)
    """
    return abs(top - midi) % 12 == 1
