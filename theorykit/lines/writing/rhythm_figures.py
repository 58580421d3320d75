"""Rhythm figures of a written line, drawn beat by beat from a table."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from random import Random
from typing import TypeVar

from theorykit.lines.chord_palette import ChordPalette
from theorykit.lines.writing.wishes import Wishes

HALF, THIRD, BEAT = Fraction(1, 2), Fraction(1, 3), Fraction(1)


@dataclass(frozen=True, slots=True)
class Figure:
    """What one beat may hold: its notes as start and length, and how often it comes.

    ``odds`` is the weight for each amount that is wished for of what ``wish`` names: density for
    what needs no asking, rests or triplets for the rest.
    """

    name: str
    notes: tuple[tuple[Fraction, Fraction], ...]
    wish: str
    odds: tuple[float, float, float]


FIGURES = (
    Figure("two eighths", ((Fraction(0), HALF), (HALF, HALF)), "density", (1.0, 0.6, 0.25)),
    Figure("a quarter", ((Fraction(0), BEAT),), "density", (0.0, 0.4, 0.75)),
    Figure(
        "a triplet",
        ((Fraction(0), THIRD), (THIRD, THIRD), (2 * THIRD, THIRD)),
        "triplets",
        (0.0, 0.15, 0.6),
    ),
    Figure("an eighth after a rest", ((HALF, HALF),), "rests", (0.0, 0.09, 0.25)),
    Figure("an eighth and a rest", ((Fraction(0), HALF),), "rests", (0.0, 0.06, 0.2)),
    Figure("a rest", (), "rests", (0.0, 0.03, 0.12)),
)
_LEVELS = {"full": 0, "medium": 1, "sparse": 2, "none": 0, "a little": 1, "a lot": 2}

# How the line goes on after it has landed: eighths after the landing note, the last one held, and
# how often. Most phrases end with the landing, or a beat or two later (common practice).
TAILS = ((0, 0.45), (1, 0.12), (2, 0.2), (3, 0.08), (4, 0.15))
LAST_NOTE = Fraction(2)  # beats: how long the last note lasts, if the chord has them
MOST_TRIES = 40


@dataclass(frozen=True, slots=True)
class Onset:
    """A place for a note: start and length in beats, the chord it stands over, by its number."""

    start: Fraction
    beats: Fraction
    chord: int


Rhythm = tuple[Onset, ...]
T = TypeVar("T")


def draw_rhythm(
    chords: Sequence[ChordPalette], wishes: Wishes, rng: Random, *, needed: Sequence[int]
) -> Rhythm | None:
    """Return a rhythm over all chords, or None where none was found.

    ``needed`` is the least number of notes over each chord. A chord begins with a note on its first
    beat, the last chord is reached from a note right before it.
    """
    for _ in range(MOST_TRIES):
        found = tuple(_onsets(chords, wishes, rng))
        counts = [sum(onset.chord == place for onset in found) for place in range(len(chords))]
        if all(count >= least for count, least in zip(counts, needed, strict=True)):
            return found
    return None


def room_over(chord: ChordPalette, wishes: Wishes) -> int:
    """Return the most notes that a rhythm can have over a chord.

    >>> from theorykit.lines.chord_palette import palettes
    >>> from theorykit.tunes.progression import two_five_one
    >>> room_over(palettes(two_five_one("C", "split"), None)[1], Wishes())
    4
    """
    most = max(len(f.notes) for f in FIGURES if f.odds[_LEVELS[getattr(wishes, f.wish)]])
    return int(chord.placed.beats * most)


def _onsets(chords: Sequence[ChordPalette], wishes: Wishes, rng: Random) -> Iterator[Onset]:
    """Draw the figures of every beat up to the last chord, then the end."""
    last = len(chords) - 1
    for place, chord in enumerate(chords[:last]):
        beat = chord.placed.start
        while beat < chord.placed.end:
            first = place > 0 and beat == chord.placed.start
            closing = place == last - 1 and beat + 1 >= chord.placed.end
            figure = _draw(wishes, rng, first, closing)
            for start, beats in figure.notes:
                if beat + start < chord.placed.end:
                    yield Onset(beat + start, min(beats, chord.placed.end - beat - start), place)
            beat += 1
    yield from _ending(chords[last], last, wishes, rng)


def _draw(wishes: Wishes, rng: Random, first: bool, closing: bool) -> Figure:
    """Draw the figure of one beat; a chord begins on the beat, and nothing parts it from I."""
    fitting = [
        (figure, figure.odds[_LEVELS[getattr(wishes, figure.wish)]])
        for figure in FIGURES
        if not (first and (not figure.notes or figure.notes[0][0]))
        and not (closing and (not figure.notes or sum(figure.notes[-1]) < 1))
    ]
    return _weighted(fitting, rng)


def _ending(chord: ChordPalette, place: int, wishes: Wishes, rng: Random) -> Iterator[Onset]:
    """Draw the landing and what follows it."""
    start, room = chord.placed.start, chord.placed.beats
    tails = [(n, odds) for n, odds in TAILS if n == 0 or (not wishes.landing and n * HALF < room)]
    after = _weighted(tails, rng)
    for number in range(after):
        yield Onset(start + number * HALF, HALF, place)
    begins = after * HALF
    whole = HALF if begins.denominator > 1 else min(LAST_NOTE, room - begins)
    yield Onset(start + begins, whole, place)


def _weighted(choices: Sequence[tuple[T, float]], rng: Random) -> T:
    """Draw one of some choices by their weights."""
    point = rng.random() * sum(odds for _, odds in choices)
    for choice, odds in choices:
        point -= odds
        if point < 0:
            return choice
    return choices[-1][0]
