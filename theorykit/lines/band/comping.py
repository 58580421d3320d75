"""Comping: when the piano plays its voicings. A table of rhythm figures, varied by chance.

The figures are those that piano methods teach first (common practice; the Charleston after the
dance of 1923). A stroke an eighth before a change is the new chord played early: it is tied over,
and the beat of the change is left free.
"""

from __future__ import annotations

import random
from bisect import bisect_right
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import accumulate

from theorykit.errors import TheoryError, shown
from theorykit.lines.band.drums import groups
from theorykit.lines.band.voicings import Voicing
from theorykit.lines.parts import Sounding
from theorykit.tunes.progression import PlacedChord, Progression

EARLY = Fraction(1, 2)  # beats by which a chord may come early
SHORT = Fraction(5, 8)  # beats that a short chord sounds
LOUD, SOFT = 66, 60  # off the beat and on it
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
    _figure("one held", 3, "1:2"),
    _figure("one and after two", 3, "1:1 5/2:1"),
    _figure("two and three", 3, "2:1/2 3:1/2"),
    _figure("after one, and three", 3, "3/2:1 3:1/2"),
    _figure("one and after three", 3, "1:3/2 7/2:1"),
)


NAMES = tuple(dict.fromkeys(figure.name for figure in FIGURES))


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
    figure: str | None = None,
    ends: bool = True,
    seed: int | random.Random = 0,
) -> tuple[Sounding, ...]:
    """Return the strokes of the piano in written beats; ``voiced`` holds a voicing for each chord.

    Every chord is heard, on its beat or an eighth early, and none sounds on into the next.
    ``figure`` names the one of ``FIGURES`` to keep to; without it each bar takes one by chance.
    With ``ends`` the last chord is struck once and held. The same seed gives the same rhythm,
    whatever the chords.

    >>> from theorykit.lines.band.voicings import voice_progression
    >>> from theorykit.tunes.progression import two_five_one
    >>> short = two_five_one("C", "short")
    >>> notes = comping(short, voice_progression(short), seed=7)
    >>> sorted({str(note.start) for note in notes})
    ['1/2', '2', '4']
    """
    if figure is not None and figure not in NAMES:
        raise TheoryError(f"no such figure: {shown(figure)} (want {', '.join(NAMES)})")
    rng = seed if isinstance(seed, random.Random) else random.Random(seed)
    placed = progression.chords
    strokes = _untied(_written(progression, placed, figure, rng), placed)
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
    return tuple(_sounding(strokes, placed, voiced))


def _written(
    progression: Progression,
    placed: Sequence[PlacedChord],
    figure: str | None,
    rng: random.Random,
) -> Iterator[_Stroke]:
    """Yield the strokes of a figure for each bar, each with the chord that it strikes."""
    starts = [chord.start for chord in placed]
    for start, bar in zip(progression.bar_starts, progression.bars, strict=False):
        for beat, length in _chosen(bar.beats, figure, rng):
            at = start + beat
            yield _Stroke(at, _struck(starts, at), at + length)


def _chosen(
    beats: Fraction, name: str | None, rng: random.Random
) -> Iterable[tuple[Fraction, Fraction]]:
    """Return the strokes for a bar of this length; one number is drawn, whatever the bar."""
    chance = rng.random()
    options = [row for row in FIGURES if row.beats == beats and name in (None, row.name)]
    if options:
        return options[int(chance * len(options))].strokes
    starts = accumulate(groups(beats), initial=Fraction(0))
    return [(start, SHORT) for start in starts if start < beats]


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
    strokes: Sequence[_Stroke], placed: Sequence[PlacedChord], voiced: Sequence[Voicing]
) -> Iterator[Sounding]:
    """Yield the notes of each stroke, which ends before the next stroke and before the change."""
    following = [*(stroke.start for stroke in strokes[1:]), placed[-1].end]
    for stroke, after in zip(strokes, following, strict=True):
        latest = min(after, placed[stroke.place].end)
        end = min(stroke.end, latest - min(BREATH, (latest - stroke.start) / 4))
        loudness = LOUD if stroke.start.denominator > 1 else SOFT
        for midi in voiced[stroke.place].midis:
            yield Sounding(stroke.start, end - stroke.start, midi, loudness)
