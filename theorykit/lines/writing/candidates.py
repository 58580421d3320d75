"""Candidates: the notes that may stand at each place of a written line."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import exp, inf

from theorykit.lines.chord_palette import CHORD, CHROMATIC, COLOUR, GUIDE, RUBS, ChordPalette
from theorykit.lines.placed import HALF_BAR, OFF_BEAT, beat_strength
from theorykit.lines.writing.rhythm_figures import Onset
from theorykit.lines.writing.step_costs import (
    AT_CHANGES,
    CHROMATIC_TASTE,
    DIRECTION,
    INTERVAL_COSTS,
    LAST_NOTES,
    LINKS,
    OFF_CENTRE,
    PLACES,
    WIDE_LINK,
    move_of,
)
from theorykit.lines.writing.wishes import Wishes
from theorykit.notes.degree import Degree
from theorykit.notes.note import Pitch
from theorykit.tunes.progression import Progression

WIDEST = 12  # half steps: no leap over an octave
STEP, FOURTH = 2, 5
EIGHTH = Fraction(1, 2)
NINTH, THIRTEENTH, NATURAL_SEVENTH = 2, 9, 11  # half steps above the root
_SIZES = range(-WIDEST, WIDEST + 1)
_MOVES = {size: move_of(size) for size in _SIZES}
_ODDS = {size: exp(-INTERVAL_COSTS[abs(size)]) for size in _SIZES}
_AGAINST = exp(-DIRECTION)
_WIDE_ODDS = exp(-WIDE_LINK)
_LINK_ODDS = {link: exp(-cost) for link, cost in LINKS.items()}
STABLE = (GUIDE, CHORD, COLOUR)
_WAYS = {"falling": -1, "rising": 1, "free": 0}

Move = tuple[int, float, int, int]  # to which pitch, with what odds, which move, which hallmark


@dataclass(frozen=True, slots=True)
class Place:
    """One place of the rhythm: the pitches that may stand there.

    ``chord`` is the number of its chord; ``odds``, ``kinds`` and ``hallmarks`` belong to
    ``pitches`` one by one, a hallmark being the bit of the tension that the pitch is, or 0;
    ``wanted`` has the bits that must have sounded when the chord ends; ``lands`` tells whether the
    place resolves a dominant; ``way`` is where the line wishes to go from here: 1, -1 or 0;
    ``quick`` is a note of a triplet, which neither comes again nor leaps.
    """

    chord: int
    palette: ChordPalette
    pitches: tuple[int, ...]
    odds: tuple[float, ...]
    kinds: tuple[int, ...]
    hallmarks: tuple[int, ...]
    wanted: int
    lands: bool
    way: int
    quick: bool


@dataclass(frozen=True, slots=True)
class _Stand:
    """Where a place stands: how strong, whether first over its chord, first or last of all."""

    palette: ChordPalette
    strength: int
    changes: bool
    lands: bool
    first: bool
    last: bool
    quick: bool


def places_of(
    progression: Progression,
    chords: Sequence[ChordPalette],
    rhythm: Sequence[Onset],
    wishes: Wishes,
) -> tuple[Place, ...]:
    """Return the places of a rhythm in order."""
    edges = progression.bar_starts
    found = []
    for number, onset in enumerate(rhythm):
        before = rhythm[number - 1].chord if number else onset.chord
        bar = max(edge for edge in edges[:-1] if edge <= onset.start)
        length = min(edge for edge in edges if edge > bar) - bar
        stand = _Stand(
            chords[onset.chord],
            beat_strength(onset.start - bar, length),
            before != onset.chord,
            before != onset.chord and chords[before].resolves,
            number == 0,
            number == len(rhythm) - 1,
            onset.beats < EIGHTH,
        )
        found.append(_place(stand, onset.chord, wishes))
    return tuple(found)


def _place(stand: _Stand, chord: int, wishes: Wishes) -> Place:
    """Return one place with all pitches of the range that may stand there."""
    palette = stand.palette
    low, high = wishes.compass
    middle, half = (low + high) / 2, (high - low) / 2
    costs = {
        midi: _cost(stand, midi, wishes) + OFF_CENTRE * ((midi - middle) / half) ** 2
        for midi in range(low, high + 1)
    }
    pitches = tuple(midi for midi, cost in costs.items() if cost < inf)
    bits = {sound: 1 << place for place, sound in enumerate(palette.hallmarks)}
    return Place(
        chord,
        palette,
        pitches,
        tuple(exp(-costs[midi]) for midi in pitches),
        tuple(palette.kinds[midi % 12] for midi in pitches),
        tuple(bits.get(midi % 12, 0) for midi in pitches),
        (1 << len(bits)) - 1,
        stand.lands,
        _WAYS[wishes.direction] if palette.resolves else 0,
        stand.quick,
    )


def _cost(stand: _Stand, midi: int, wishes: Wishes) -> float:
    """Return what a pitch costs at a place; infinity where it may not stand."""
    kind = stand.palette.kinds[midi % 12]
    if stand.strength >= HALF_BAR and midi % 12 in stand.palette.against:
        return inf
    column = 0 if stand.strength == OFF_BEAT else 2 if stand.strength >= HALF_BAR else 1
    cost = PLACES[kind][column]
    if kind == CHROMATIC:
        cost += CHROMATIC_TASTE[wishes.chromatic]
    if stand.changes or stand.first:
        cost += AT_CHANGES[kind]
    if stand.first:
        cost += _asked(stand, midi, wishes.start)
    if stand.last:
        cost += _asked(stand, midi, wishes.landing) + _last_cost(stand.palette, midi)
    elif stand.lands and not (stand.palette.is_tone(midi % 12) or _is_ninth(stand.palette, midi)):
        return inf
    return cost


def _asked(stand: _Stand, midi: int, anchor: Pitch | Degree | str | None) -> float:
    """Return 0 for the note that was asked for, infinity for any other."""
    if isinstance(anchor, Pitch):
        return 0.0 if anchor.midi == midi else inf
    if isinstance(anchor, Degree):
        root = stand.palette.placed.chord.root.semitone
        return 0.0 if (root + anchor.semitone - midi) % 12 == 0 else inf
    return 0.0


def _is_ninth(palette: ChordPalette, midi: int) -> bool:
    """Tell whether a pitch is the natural 9 over a chord that has it in its scale."""
    root = palette.placed.chord.root.semitone
    return (midi - root) % 12 == NINTH and palette.kinds[midi % 12] != CHROMATIC


def _last_cost(palette: ChordPalette, midi: int) -> float:
    """Return what a pitch costs as the last note: chord tones, the 9, seldom the 13."""
    chord = palette.placed.chord
    sound = (midi - chord.root.semitone) % 12
    if palette.is_tone(midi % 12):
        number = next(d.number for d in chord.degrees if d.semitone == sound)
        return LAST_NOTES.get(number, inf)
    if _is_ninth(palette, midi):
        return LAST_NOTES[9]
    in_scale = palette.kinds[midi % 12] != CHROMATIC
    return LAST_NOTES[13] if sound == THIRTEENTH and in_scale else inf


def moves_between(before: Place, here: Place) -> list[list[Move]]:
    """Return the moves from each pitch of one place to pitches of the next."""
    return [_moves_from(before, here, start) for start in range(len(before.pitches))]


def _moves_from(before: Place, here: Place, start: int) -> list[Move]:
    """Return the moves from one pitch."""
    midi, reach = before.pitches[start], _reach(before, start)
    widest = min(reach, STEP) if here.lands else reach
    first = bisect_left(here.pitches, midi - widest)
    after = bisect_right(here.pitches, midi + widest)
    no_ninth = here.lands and not here.palette.is_tone(midi % 12)
    found = []
    for goal in range(first, after):
        size = here.pitches[goal] - midi
        if _may_move(before, here, start, goal, size) and not (
            no_ninth and _is_ninth(here.palette, here.pitches[goal])
        ):
            odds = _move_odds(before, here, start, goal, size)
            found.append((goal, odds, _MOVES[size], here.hallmarks[goal]))
    return found


def _may_move(before: Place, here: Place, start: int, goal: int, size: int) -> bool:
    """Tell whether a chromatic note moves on to the scale, and a quick one on, but not far."""
    if before.kinds[start] == CHROMATIC and (size == 0 or here.kinds[goal] == CHROMATIC):
        return False
    if size == 0 and _leans(before, start):
        return False
    return not before.quick or 0 < abs(size) <= FOURTH


def _move_odds(before: Place, here: Place, start: int, goal: int, size: int) -> float:
    """Return the odds of a move."""
    odds = _ODDS[size] * here.odds[goal]
    if abs(size) > STEP:
        link = before.kinds[start] in STABLE, here.kinds[goal] in STABLE
        odds *= _LINK_ODDS[link]
        if abs(size) > FOURTH and not all(link):
            odds *= _WIDE_ODDS
    if before.way * size < 0:
        odds *= _AGAINST
    return odds


def _reach(before: Place, start: int) -> int:
    """Return how far a note may move on: a chromatic one a half step, one that rubs a step."""
    kind = before.kinds[start]
    if kind == CHROMATIC or _leans(before, start):
        return 1
    return STEP if kind == RUBS else WIDEST


def _leans(place: Place, start: int) -> bool:
    """Tell whether a pitch is the natural 7 over a dominant: it passes, by a half step."""
    chord = place.palette.placed.chord
    sound = (place.pitches[start] - chord.root.semitone) % 12
    return sound == NATURAL_SEVENTH and chord.kind.is_dominant
