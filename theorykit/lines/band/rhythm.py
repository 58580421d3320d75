"""Rhythm: the beats of a bar, the drums on them, and the figures in which a piano comps.

Source of the numbers and their names: General MIDI Level 1 percussion map (MMA, 1991). Source of
the patterns: common practice.

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
from theorykit.lines.band.voicings import Voicing
from theorykit.lines.parts import Sounding
from theorykit.tunes.progression import PlacedChord, Progression

# Bars by their length in beats, common practice; any other bar falls into twos and what is left.
GROUPS = {3: (3,), 5: (3, 2), 6: (3, 3), 7: (2, 2, 3), 9: (3, 3, 3), 12: (3, 3, 3, 3)}


def groups(beats: Fraction) -> tuple[Fraction, ...]:
    """Return the lengths into which a bar falls.

    >>> [str(length) for length in groups(Fraction(5))], [str(g) for g in groups(Fraction(7, 2))]
    (['3', '2'], ['2', '3/2'])
    """
    known = GROUPS.get(int(beats)) if beats.denominator == 1 else None
    if known is not None:
        return tuple(map(Fraction, known))
    twos, rest = divmod(beats, 2)
    return (Fraction(2),) * twos + ((rest,) if rest else ())


def group_starts(progression: Progression) -> Iterator[tuple[Fraction, Fraction]]:
    """Yield where each group of a progression begins, and its length."""
    for start, bar in zip(progression.bar_starts, progression.bars, strict=False):
        at = start
        for length in groups(bar.beats):
            yield at, length
            at += length


def beats_of(progression: Progression, placed: PlacedChord) -> tuple[Fraction, ...]:
    """Return the moments of a chord on which a beat falls; its own start is always the first.

    >>> from theorykit.tunes.progression import two_five_one
    >>> over = two_five_one("C", "short")
    >>> [str(beat) for beat in beats_of(over, over.chords[1])]
    ['2', '3']
    """
    bar = progression.bar_starts[placed.bar]
    first = bar + (placed.start - bar) // 1 + 1
    count = -((first - placed.end) // 1) if first < placed.end else 0
    return (placed.start, *(first + step for step in range(count)))


# === Drums ===

SIDE_STICK, PEDAL_HI_HAT, RIDE_CYMBAL_1 = 37, 44, 51

STRUCK = Fraction(1, 4)  # beats: a struck cymbal rings by itself
SKIP = Fraction(1, 2)
RIDE, RIDE_ACCENT, RIDE_SKIP, HI_HAT, CLICK = 74, 84, 62, 70, 64


def time_keeping(progression: Progression) -> tuple[Sounding, ...]:
    """Return ride and hi-hat over a progression, in written beats.

    The ride plays every beat, and after the second beat of each group of two the skipped note that
    leads to the next; the hi-hat closes on the second beat of each group: on 2 and 4 in 4/4, on 2
    in 3/4.

    >>> from theorykit.tunes.progression import two_five_one
    >>> notes = time_keeping(two_five_one("C"))
    >>> [str(n.start + 1) for n in notes if n.midi == PEDAL_HI_HAT and n.start < 4]
    ['2', '4']
    >>> [str(n.start + 1) for n in notes if n.midi == RIDE_CYMBAL_1 and n.start < 4]
    ['1', '2', '5/2', '3', '4', '9/2']
    """
    notes = (note for start, length in group_starts(progression) for note in _group(start, length))
    return tuple(sorted(notes, key=lambda note: (note.start, note.midi)))


def _group(start: Fraction, length: Fraction) -> Iterator[Sounding]:
    """Yield what is struck in one group of beats."""
    whole = -(-length // 1)
    for beat in range(whole):
        second = beat == 1
        yield Sounding(start + beat, STRUCK, RIDE_CYMBAL_1, RIDE_ACCENT if second else RIDE)
        if second:
            yield Sounding(start + beat, STRUCK, PEDAL_HI_HAT, HI_HAT)
            if length >= 2:
                yield Sounding(start + beat + SKIP, STRUCK, RIDE_CYMBAL_1, RIDE_SKIP)


def count(beats: Fraction, bars: int) -> tuple[Sounding, ...]:
    """Return clicks for some bars before the music: the last bar in beats, those before in groups.

    >>> [str(note.start) for note in count(Fraction(4), 2)]
    ['0', '2', '4', '5', '6', '7']
    """
    notes = []
    for bar in range(bars):
        step = Fraction(1) if bar == bars - 1 or beats % 2 else Fraction(2)
        strokes = -(-beats // step)
        notes += [
            Sounding(bar * beats + step * stroke, STRUCK, SIDE_STICK, CLICK)
            for stroke in range(strokes)
        ]
    return tuple(notes)


# === Comping ===

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
