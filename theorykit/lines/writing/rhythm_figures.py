"""Rhythms of written lines, drawn out of the figures of ``writing.rhythm_tables``."""

from __future__ import annotations

from bisect import bisect_right
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import lru_cache
from itertools import pairwise
from math import floor
from random import Random
from typing import TypeVar

from theorykit.harmony.counts import tally
from theorykit.lines.chord_palette import ChordPalette
from theorykit.lines.writing.rhythm_tables import (
    BEAT,
    BEGINNINGS,
    ENDINGS,
    FIGURES,
    THIRD,
    Beginning,
    Ending,
    Figure,
)
from theorykit.lines.writing.wishes import AMOUNTS, DENSITIES, Wishes

T = TypeVar("T")
RARE = 0.3
_LEVELS = {"full": 0, "medium": 1, "sparse": 2, "none": 0, "a little": 1, "a lot": 2}
# What the first chord keeps of its beats when a line begins late, and if it has two at most.
FEWEST_BEFORE, FEWEST_LATE = 2 * BEAT, BEAT
BARE = ("short", "off the beat")  # wishes for the end that a bare note grants
MOST_AFTER = 3  # notes from the landing on where long ones are wished for
LONGEST, HELD = Fraction(3), 2 * BEAT  # of a last note: at most, at least where that is asked for
MOST_TRIES, FRAME_TRIES = 48, 8  # the second: with one beginning and one end
WITH_REST = {"none": 0.0, "a little": 0.5, "a lot": 1.0}  # how often a rest must be in a line
FEWEST_TOGETHER, SAID = 3, Fraction(2)  # notes between two rests, or beats of fewer notes
TRIPLET, FOR_TWO = 3, 3  # notes in a bar with room for a triplet, beats with room for two
SPARSE = Fraction(5, 4)  # notes a beat at most; lines that nobody asks for have 1.5
LATE_BEGINNINGS = ("off the beat", "after a rest")  # wishes for a rest before the first note
BEATS_OF_REST, BEATS_A_REST = 8, 5  # with a beat of rest if much is asked for; with one at most


@dataclass(frozen=True, slots=True)
class Onset:
    """A place for a note: start and length in beats, the chord it stands over, by its number."""

    start: Fraction
    beats: Fraction
    chord: int

    @property
    def end(self) -> Fraction:
        """The beat on which it ends."""
        return self.start + self.beats


Rhythm = tuple[Onset, ...]


def draw_rhythm(
    chords: Sequence[ChordPalette],
    wishes: Wishes,
    rng: Random,
    *,
    needed: Sequence[int],
    edges: Sequence[Fraction] = (),
) -> Rhythm | None:
    """Return a rhythm over all chords, or None where none was found.

    ``needed`` is the least number of notes over each chord, ``edges`` where bars begin and end. A
    chord begins with a note on its first beat, but for the first, which may have a pickup or begin
    late; the last chord is reached from a note right before it. There is none where no beginning
    or no end is as it is wished for.
    """
    begins = _beginnings(chords[0], wishes, needed[0], edges) if len(chords) > 1 else _AT_ONCE
    ends = _endings(chords[-1], wishes)
    spare: Rhythm | None = None
    rested = rng.random() < WITH_REST[wishes.rests]
    for tries in range(MOST_TRIES if begins and ends else 0):
        if tries % FRAME_TRIES == 0:
            framed = _weighted(begins, rng), _weighted(ends, rng)
        found = tuple(_onsets(chords, wishes, rng, needed, edges, framed))
        if not _is_good(found, chords, wishes, needed, edges):
            continue
        if not rested or (_rests_much(found) if wishes.rests == "a lot" else _rests(found)):
            return found
        spare = found
    return None if wishes.rests == "a lot" else spare


def _is_good(
    rhythm: Rhythm,
    chords: Sequence[ChordPalette],
    wishes: Wishes,
    needed: Sequence[int],
    edges: Sequence[Fraction],
) -> bool:
    """Tell whether a rhythm has the notes that are needed, is not torn, mixed, or unlike asked."""
    counts = Counter(onset.chord for onset in rhythm)
    few = any(counts[place] < least for place, least in enumerate(needed))
    if few or (wishes.rests != "a lot" and _is_torn(rhythm)):
        return False
    loose = [o for o in rhythm if needed[o.chord] <= 2 * chords[o.chord].placed.beats]
    if wishes.triplets != "a lot" and _is_mixed(loose, edges):
        return False
    sparse = wishes.density != "sparse" or _is_sparse(rhythm, chords, needed)
    return sparse and _is_as_wished(rhythm, chords, wishes, edges)


def _rests(rhythm: Rhythm) -> bool:
    """Tell whether there is a rest between the first and the last note."""
    return any(after.start > onset.end for onset, after in pairwise(rhythm))


def _rests_much(rhythm: Rhythm) -> bool:
    """Tell whether so much of a rhythm is rest that one hears it."""
    rests = sum((b.start - a.end for a, b in pairwise(rhythm)), Fraction(0))
    return rests * BEATS_OF_REST >= rhythm[-1].end - rhythm[0].start


def _is_as_wished(
    rhythm: Rhythm, chords: Sequence[ChordPalette], wishes: Wishes, edges: Sequence[Fraction]
) -> bool:
    """Tell whether a rhythm has the triplets, or the long note before the end, as asked for."""
    least = 1 + (chords[-1].placed.start - rhythm[0].start >= FOR_TWO)
    quick = len(_triplets(rhythm)) >= least and all(
        any(map(_is_quick, bar)) for bar in _bars(rhythm, chords, edges) if len(bar) >= TRIPLET
    )
    long = any(onset.beats >= BEAT and onset.chord < len(chords) - 1 for onset in rhythm)
    full = wishes.density != DENSITIES[0] or _is_full(rhythm, chords, wishes, edges)
    return full and (quick or wishes.triplets != "a lot") and (long or wishes.density != "sparse")


def _is_full(
    rhythm: Rhythm, chords: Sequence[ChordPalette], wishes: Wishes, edges: Sequence[Fraction]
) -> bool:
    """Tell whether no bar before the landing rests for more than a beat.

    A rest that was asked for does not count: many of them, or one before the first note.
    """
    landing = chords[-1].placed.start
    late = wishes.begins in LATE_BEGINNINGS
    for start, end in pairwise([*(edge for edge in edges if edge < landing), landing]):
        begin = max(start, rhythm[0].start) if late else start
        spans = ((max(onset.start, begin), min(onset.end, end)) for onset in rhythm)
        if end - begin - sum(b - a for a, b in spans if a < b) > BEAT:
            return wishes.rests == AMOUNTS[-1]
    return True


def _triplets(rhythm: Sequence[Onset]) -> list[Fraction]:
    """Return the beats on which groups of three begin: over one beat, then those over two."""
    quick = {Fraction(floor(onset.start)) for onset in rhythm if onset.beats == THIRD}
    return [*quick, *(onset.start for onset in rhythm if _is_wide(onset))]


def _is_wide(onset: Onset) -> bool:
    """Tell whether a note is the first of three over two beats."""
    return onset.beats == 2 * THIRD and onset.start.denominator == 1


def _is_quick(onset: Onset) -> bool:
    """Tell whether a note stands inside a triplet."""
    return onset.start.denominator == THIRD.denominator


def _bars(
    rhythm: Rhythm, chords: Sequence[ChordPalette], edges: Sequence[Fraction]
) -> Iterator[list[Onset]]:
    """Run through the notes of each bar up to the landing."""
    landing = chords[-1].placed.start
    for start, end in pairwise(edges):
        yield [onset for onset in rhythm if start <= onset.start < min(end, landing)]


def _is_sparse(rhythm: Rhythm, chords: Sequence[ChordPalette], needed: Sequence[int]) -> bool:
    """Tell whether no more notes lead to the landing than are sparse, but for those needed.

    A pickup counts as well.
    """
    most = sum(
        max(Fraction(least), SPARSE * chord.placed.beats)
        for chord, least in zip(chords[:-1], needed, strict=False)
    )
    landing = chords[-1].placed.start
    return len(chords) < 2 or sum(onset.start < landing for onset in rhythm) <= most


def _is_torn(rhythm: Rhythm) -> bool:
    """Tell whether rests tear a rhythm to pieces: they part scraps, or come too often."""
    groups, since = [], 0
    for at in range(1, len(rhythm) + 1):
        if at == len(rhythm) or rhythm[at].start > rhythm[at - 1].end:
            groups.append(rhythm[since:at])
            since = at
    beats = rhythm[-1].end - rhythm[0].start
    return any(map(_is_scrap, groups)) or (len(groups) - 1) * BEATS_A_REST > beats


def _is_scrap(group: Rhythm) -> bool:
    """Tell whether notes between two rests are too few to say anything."""
    brief = group[-1].end - group[0].start < SAID
    return len(group) < 2 or (len(group) < FEWEST_TOGETHER and brief)


def _is_mixed(rhythm: Sequence[Onset], edges: Sequence[Fraction]) -> bool:
    """Tell whether triplets crowd a line: two in a bar, or three over two more than once."""
    bars = [bisect_right(edges, beat) for beat in _triplets(rhythm)]
    return sum(map(_is_wide, rhythm)) > 1 or len(bars) > len(set(bars))


def room_over(chord: ChordPalette, wishes: Wishes) -> int:
    """Return the most notes that a rhythm can have over a chord.

    >>> from theorykit.lines.chord_palette import palettes
    >>> from theorykit.tunes.progression import two_five_one
    >>> room_over(palettes(two_five_one("C", "split"), None)[1], Wishes(triplets="none"))
    4
    """
    most = max(len(f.notes) for f in FIGURES if f.beats == 1 and _odds(f, wishes))
    return int(chord.placed.beats * most)


def _odds(figure: Figure, wishes: Wishes) -> float:
    """Return the odds of a figure; triplets are rare where long notes are wished for."""
    rare = RARE if figure.wish == "triplets" and wishes.density == "sparse" else 1.0
    return figure.odds[_LEVELS[getattr(wishes, figure.wish)]] * rare


def _onsets(
    chords: Sequence[ChordPalette],
    wishes: Wishes,
    rng: Random,
    needed: Sequence[int],
    edges: Sequence[Fraction],
    framed: tuple[Beginning, Ending],
) -> Iterator[Onset]:
    """Draw the figures between a beginning and an end."""
    last = len(chords) - 1
    beginning, ending = framed
    begins = chords[0].placed.start
    for start, beats in beginning.notes:
        yield Onset(begins + start, beats, 0)
    begins += beginning.ends
    for place, chord in enumerate(chords[:last]):
        stretch = _Stretch(max(begins, chord.placed.start), chord, place, place == last - 1)
        yield from _over(stretch, wishes, rng, needed[place], edges)
    yield from _ended(chords[last], last, ending, rng, wishes)


@dataclass(frozen=True, slots=True)
class _Stretch:
    """What is to be filled with figures: a chord from a beat on; the last one leads to I."""

    begins: Fraction
    chord: ChordPalette
    place: int
    leads: bool


_AT_ONCE: Sequence[tuple[Beginning, float]] = [(BEGINNINGS[0], 1.0)]


def _beginnings(
    chord: ChordPalette, wishes: Wishes, needed: int, edges: Sequence[Fraction]
) -> Sequence[tuple[Beginning, float]]:
    """Return how a line may begin, with the odds of each.

    No pickup is as long as the bar, and none begins late where notes are needed.
    """
    counted = tally("places of first notes")
    placed = chord.placed
    bar = edges[1] - edges[0] if len(edges) > 1 else 4 * BEAT
    late = placed.beats - (FEWEST_LATE if placed.beats <= FEWEST_BEFORE else FEWEST_BEFORE)
    fitting = [
        (one, counted.count(one.place) * one.share)
        for one in BEGINNINGS
        if one.ends <= late
        and (not one.ends or not (needed or chord.resolves))
        and (not one.notes or (one.notes[0][0] > -bar and placed.start == 0) or one.ends)
        and (one.place != "triplet" or wishes.triplets != "none")
        and (wishes.density != "sparse" or len(one.notes) < 3)
        and (wishes.density != "full" or wishes.begins != "free" or one.ends <= BEAT)
        and (wishes.rests != "none" or wishes.begins != "free" or not one.ends)
    ]
    return [pair for pair in fitting if wishes.begins in ("free", *pair[0].words)]


def _over(
    stretch: _Stretch, wishes: Wishes, rng: Random, needed: int, edges: Sequence[Fraction]
) -> Iterator[Onset]:
    """Draw the figures over a chord, dense where the notes that are needed fill it."""
    beat, end = stretch.begins, stretch.chord.placed.end
    while beat < end:
        figure = _draw(stretch, wishes, rng, beat, needed, edges)
        for start, beats in figure.notes:
            if beat + start < end:
                yield Onset(beat + start, min(beats, end - beat - start), stretch.place)
                needed -= 1
        beat += figure.beats


def _draw(
    stretch: _Stretch,
    wishes: Wishes,
    rng: Random,
    beat: Fraction,
    needed: int,
    edges: Sequence[Fraction],
) -> Figure:
    """Draw one figure; a chord begins on the beat, and nothing parts it from I."""
    left = stretch.chord.placed.end - beat
    first = beat == max(stretch.begins, stretch.chord.placed.start)
    after = bisect_right(edges, beat)
    bar = edges[after - 1] if after else Fraction(0)
    room = (edges[after] if after < len(edges) else stretch.chord.placed.end) - beat
    even = (beat - bar) % 2 == 0 and min(left, room) >= 2
    place = _Room(left, first, even, stretch.leads, stretch.chord.resolves, max(0, needed))
    fitting = _fitting(place, wishes.density, wishes.rests, wishes.triplets)
    return _weighted(fitting, rng) if fitting else FIGURES[0]


@dataclass(frozen=True, slots=True)
class _Room:
    """The room for a figure: the beats ``left`` of its chord, and what stands around it.

    ``first`` is the place of the chord's first note, ``even`` one where two beats begin, ``leads``
    tells that I follows the chord, ``resolves`` that it is a dominant that goes on, ``needed`` how
    many notes it still needs.
    """

    left: Fraction
    first: bool
    even: bool
    leads: bool
    resolves: bool
    needed: int


@lru_cache(maxsize=4096)
def _fitting(
    room: _Room, density: str, rests: str, triplets: str
) -> tuple[tuple[Figure, float], ...]:
    """Return the figures that fit, with the odds of each."""
    wishes = Wishes(density=density, rests=rests, triplets=triplets)
    most = 2 if room.needed <= 2 * room.left else 3
    return tuple(
        (figure, _odds(figure, wishes))
        for figure in FIGURES
        if (figure.beats == 1 or room.even)
        and not (room.first and (not figure.notes or figure.notes[0][0]))
        and not (room.leads and room.left <= figure.beats and not _fills(figure))
        and not (room.resolves and figure.wish == "rests" and rests != "a lot")
        and len(figure.notes) >= room.needed - most * (room.left - figure.beats)
    )


def _fills(figure: Figure) -> bool:
    """Tell whether a figure sounds up to its end."""
    return bool(figure.notes) and sum(figure.notes[-1]) == figure.beats


def _endings(chord: ChordPalette, wishes: Wishes) -> Sequence[tuple[Ending, float]]:
    """Return how a line may end, with the odds of each."""
    fitting = [
        (one, one.odds)
        for one in ENDINGS
        if one.notes[-1][0] < chord.placed.beats
        and not (wishes.landing and len(one.notes) > 1)
        and (wishes.ends in BARE or not one.is_bare)
        and (wishes.density != "sparse" or len(one.notes) <= MOST_AFTER)
        and (wishes.ends != "held" or one.notes[-1][0] + HELD <= max(HELD, chord.placed.beats))
    ]
    return [pair for pair in fitting if wishes.ends in ("free", *pair[0].words)]


def _ended(
    chord: ChordPalette, place: int, ending: Ending, rng: Random, wishes: Wishes
) -> Iterator[Onset]:
    """Yield the landing and what follows it."""
    start, room = chord.placed.start, chord.placed.beats
    for begins, beats in ending.notes:
        held = beats or Fraction(rng.choice((2, 3))) - begins % 1
        if wishes.ends == "held" and not beats and held < HELD:
            held += BEAT
        yield Onset(start + begins, min(held, room - begins), place)


def _weighted(choices: Sequence[tuple[T, float]], rng: Random) -> T:
    """Draw one of some choices by their weights."""
    point = rng.random() * sum(odds for _, odds in choices)
    for choice, odds in choices:
        point -= odds
        if point < 0:
            return choice
    return choices[-1][0]
