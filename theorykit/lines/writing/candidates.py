"""Candidates: the notes that may stand at each place of a written line."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Collection, Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import exp, inf

from theorykit.lines.chord_palette import CHORD, CHROMATIC, COLOUR, GUIDE, RUBS, SCALE, ChordPalette
from theorykit.lines.placed import HALF_BAR, OFF_BEAT, beat_strength
from theorykit.lines.writing.melody import preparing
from theorykit.lines.writing.rhythm_figures import Onset
from theorykit.lines.writing.step_costs import (
    ASIDE,
    AT_CHANGES,
    CHROMATIC_TASTE,
    DIRECTION,
    DROP,
    HELD,
    INTERVAL_COSTS,
    LANDINGS,
    LAST_NOTES,
    LINKS,
    OFF_CENTRE,
    PLACES,
    SHORT_END,
    STILL,
    WIDE_DROP,
    WIDE_LINK,
    move_of,
)
from theorykit.lines.writing.tonic_bar import at_rest
from theorykit.lines.writing.wishes import Wishes
from theorykit.notes.degree import Degree
from theorykit.notes.note import Pitch
from theorykit.tunes.progression import Progression

WIDEST = 12  # half steps: no leap over an octave
STEP, FOURTH, FIFTH, SIXTH, TRITONE, MINOR_SEVENTH = 2, 5, 7, 9, 6, 10
EIGHTH, BEAT = Fraction(1, 2), Fraction(1)
NINTH, THIRTEENTH, NATURAL_SEVENTH = 2, 9, 11  # half steps above the root
_SIZES = range(-WIDEST, WIDEST + 1)
_MOVES = {size: move_of(size) for size in _SIZES}
_ODDS = {
    size: exp(-INTERVAL_COSTS[abs(size)] - WIDE_DROP * (size <= -MINOR_SEVENTH)) * (size != DROP)
    for size in _SIZES
}
_SUNG = frozenset((6, 10, 11))  # half steps that are hard to sing
_AGAINST = exp(-DIRECTION)
_WIDE_ODDS = exp(-WIDE_LINK)
_ASIDE_ODDS = exp(-ASIDE)
_STILL_ODDS = exp(-STILL)
_LINK_ODDS = {link: exp(-cost) for link, cost in LINKS.items()}
STABLE = (GUIDE, CHORD, COLOUR)
TONES = (GUIDE, CHORD)
IN_SCALE = (GUIDE, CHORD, COLOUR, SCALE)
_WAYS = {"falling": -1, "rising": 1, "free": 0}

Move = tuple[int, float, int, int]  # to which pitch, with what odds, which move, which hallmark


@dataclass(frozen=True, slots=True)
class Place:
    """One place of the rhythm: the pitches that may stand there.

    ``chord`` is the number of its chord; ``odds``, ``kinds`` and ``hallmarks`` belong to
    ``pitches`` one by one, a hallmark being the bit of the tension that the pitch is, or 0;
    ``wanted`` has the bits that must have sounded when the chord ends; ``lands`` tells whether the
    place resolves a dominant; ``way`` is where the line wishes to go from here: 1, -1 or 0;
    ``quick`` is a note of a triplet, which neither comes again nor leaps; ``again`` tells that the
    note before may be repeated, ``sung`` that the way to it must be easy to sing, ``room`` the
    beats from a long note to the next, else 0; ``slides`` tells of each pitch that it comes and
    goes by half step.
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
    again: bool
    sung: bool
    room: Fraction
    slides: tuple[bool, ...]


@dataclass(frozen=True, slots=True)
class _Stand:
    """Where a place stands: how strong, whether first over its chord, first or last of all.

    ``guide`` tells that the 3rd or 7th is to be heard here, ``held`` that the note stays in the
    ear: a long one, or one before a rest; ``leaves`` tells that it is the last note over its chord,
    ``home`` that its chord is the last, after a dominant.
    """

    palette: ChordPalette
    strength: int
    changes: bool
    lands: bool
    first: bool
    last: bool
    quick: bool
    guide: bool
    held: bool
    beats: Fraction
    room: Fraction
    again: bool
    leaves: bool
    home: bool


def places_of(
    progression: Progression,
    chords: Sequence[ChordPalette],
    rhythm: Sequence[Onset],
    wishes: Wishes,
    *,
    window: tuple[int, int] | None = None,
    guides: Collection[int] = (),
) -> tuple[Place, ...]:
    """Return the places of a rhythm in order.

    ``window`` bounds the pitches, by default as the wishes do; ``guides`` are the numbers of the
    places where the 3rd or 7th of the chord is to be heard.
    """
    starts = places_in_bars(progression, [onset.start for onset in rhythm])
    found = []
    for number, (onset, (place, length)) in enumerate(zip(rhythm, starts, strict=True)):
        before = rhythm[number - 1] if number else onset
        then = rhythm[number + 1].start if number + 1 < len(rhythm) else onset.end
        stand = _Stand(
            chords[onset.chord],
            beat_strength(place, length),
            before.chord != onset.chord,
            before.chord != onset.chord and chords[before.chord].resolves,
            number == 0,
            number == len(rhythm) - 1,
            onset.beats < EIGHTH,
            number in guides,
            onset.beats >= BEAT or then > onset.end,
            onset.beats,
            then - onset.start if onset.beats >= BEAT else Fraction(0),
            _may_repeat(rhythm, number, progression.bar_starts),
            number + 1 < len(rhythm) and rhythm[number + 1].chord != onset.chord,
            0 < onset.chord == len(chords) - 1 and chords[onset.chord - 1].resolves,
        )
        found.append(_place(stand, onset.chord, wishes, window or wishes.compass))
    return tuple(found)


def places_in_bars(
    progression: Progression, starts: Sequence[Fraction]
) -> list[tuple[Fraction, Fraction]]:
    """Return for each beat its place in its bar, and the length of that bar."""
    edges, found = progression.bar_starts, []
    for start in starts:
        bar = bisect_right(edges, start, hi=len(edges) - 1) - 1
        length = edges[max(bar, 0) + 1] - edges[max(bar, 0)]
        found.append((start - edges[bar] if bar >= 0 else length + start, length))
    return found


def _may_repeat(rhythm: Sequence[Onset], number: int, edges: Sequence[Fraction]) -> bool:
    """Tell whether a note may be struck again: as a call, or where it came early for a chord.

    The two first notes of a phrase may be one, and a short note right before a change may be a
    note of the next chord; over a bar line it is held then. The last note of a phrase never comes
    again.
    """
    last = number == len(rhythm) - 1 or rhythm[number + 1].start - rhythm[number].end >= BEAT
    if number == 0 or last:
        return False
    here, before = rhythm[number], rhythm[number - 1]
    if here.start in edges and here.beats < BEAT:
        return False
    calls = number == 1 or before.start - rhythm[number - 2].end >= BEAT
    early = here.chord != before.chord and before.start.denominator == 2
    return here.start == before.end and before.beats >= EIGHTH and (calls or early)


def _place(stand: _Stand, chord: int, wishes: Wishes, window: tuple[int, int]) -> Place:
    """Return one place with all pitches of the range that may stand there."""
    palette = stand.palette
    low, high = window
    middle, half = (low + high) / 2, (high - low) / 2
    costs = {
        midi: _cost(stand, midi, wishes) + OFF_CENTRE * ((midi - middle) / half) ** 2
        for midi in range(low, high + 1)
    }
    pitches = tuple(midi for midi, cost in costs.items() if cost < inf)
    sliding = {palette.sweet, *palette.contrary}
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
        stand.again,
        wishes.manner == "sung",
        stand.room,
        tuple(midi % 12 in sliding for midi in pitches),
    )


def _cost(stand: _Stand, midi: int, wishes: Wishes) -> float:
    """Return what a pitch costs at a place; infinity where it may not stand."""
    kind = stand.palette.kinds[midi % 12]
    if _is_unheard_of(stand, midi % 12, wishes):
        return inf
    if stand.guide and kind != GUIDE:
        return inf
    if (stand.held or stand.strength >= HALF_BAR) and _is_leaning(stand.palette, midi):
        return inf
    column = 0 if stand.strength == OFF_BEAT else 2 if stand.strength >= HALF_BAR else 1
    cost = PLACES[kind][column] + (HELD[kind] if stand.held else 0.0)
    cost += CHROMATIC_TASTE[wishes.chromatic] if kind == CHROMATIC else 0.0
    if stand.changes or stand.first:
        cost += AT_CHANGES[kind]
    if stand.first:
        cost += _asked(stand, midi, wishes.start)
    if stand.last:
        cost += _asked(stand, midi, wishes.landing) + _last_cost(stand.palette, midi)
        cost += SHORT_END * (stand.beats <= EIGHTH and not at_rest(stand.palette, midi))
    if stand.lands and wishes.landing is None and not stand.palette.is_tone(midi % 12):
        return inf
    return cost + (_landing_cost(stand.palette, midi) if stand.lands else 0.0)


def _is_unheard_of(stand: _Stand, sound: int, wishes: Wishes) -> bool:
    """Tell whether a sound may not stand at a place, for the sake of the harmony that is heard."""
    palette = stand.palette
    if sound in palette.barred or (stand.strength >= HALF_BAR and sound in palette.against):
        return True
    if sound in palette.unscaled and (stand.held or stand.leaves):
        return True
    root = palette.placed.chord.root.semitone
    leans = (root + NATURAL_SEVENTH) % 12 in palette.hallmarks
    if wishes.manner == "sung" and leans and sound == (root + TRITONE) % 12:
        return True
    if stand.strength > OFF_BEAT and (
        sound in palette.contrary or (palette.hallmarks and palette.kinds[sound] == CHROMATIC)
    ):
        return True
    if sound in palette.contrary and (stand.held or stand.first or stand.leaves):
        return True
    starts = stand.first and wishes.start is None
    return sound == palette.sweet and (starts or stand.home)  # no major 3rd over a minor tonic


def _landing_cost(palette: ChordPalette, midi: int) -> float:
    """Return what a pitch costs as the note on which a dominant lands."""
    chord = palette.placed.chord
    sound = (midi - chord.root.semitone) % 12
    number = next((d.number for d in chord.degrees if d.semitone == sound), 9)
    return LANDINGS.get(number, 0.0)


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
    if size == 0:
        stable = here.kinds[goal] in TONES and before.kinds[start] in STABLE
        return here.again and stable and not _leans(before, start)
    if here.kinds[goal] == RUBS and abs(size) > STEP:
        return False
    if size == -STEP and _leans(here, goal):  # out of a b9
        return False
    if abs(size) > 1 and here.slides[goal]:
        return False
    if size > 0 and here.lands and _is_altered_nine(before, here, start):
        return False
    if abs(size) >= MINOR_SEVENTH and not _is_prepared(before, here, start, goal):
        return False
    if here.sung and not _singable(before.kinds[start], here.kinds[goal], abs(size)):
        return False
    return size != DROP and (not before.quick or abs(size) <= FOURTH)


def _is_prepared(before: Place, here: Place, start: int, goal: int) -> bool:
    """Tell whether a seventh may be leaped: out of a long note, between tones of one chord."""
    tones = before.kinds[start] in TONES and here.kinds[goal] in TONES
    leap = here.pitches[goal] - before.pitches[start]
    return tones and before.chord == here.chord and before.room >= preparing(leap)


def _singable(one: int, other: int, size: int) -> bool:
    """Tell whether a singer finds a move: no leap that is wide, augmented, or out of the scale.

    A leap of a fifth and more has tones of the chord at both ends.
    """
    known = TONES if size > FOURTH else IN_SCALE
    return size <= STEP or (size <= SIXTH and size not in _SUNG and one in known and other in known)


def _move_odds(before: Place, here: Place, start: int, goal: int, size: int) -> float:
    """Return the odds of a move."""
    odds = _ODDS[size] * here.odds[goal]
    if size == 0 and here.lands:
        odds *= _STILL_ODDS
    if abs(size) > STEP:
        link = before.kinds[start] in STABLE, here.kinds[goal] in STABLE
        odds *= _LINK_ODDS[link]
        if abs(size) > FOURTH and not all(link):
            odds *= _WIDE_ODDS
    if before.kinds[start] == CHROMATIC and here.kinds[goal] not in STABLE:
        odds *= _ASIDE_ODDS
    if before.way * size < 0:
        odds *= _AGAINST
    return odds


def _reach(before: Place, start: int) -> int:
    """Return how far a note may move on: a chromatic one a half step, one that rubs a step."""
    kind = before.kinds[start]
    if kind == CHROMATIC or before.slides[start] or _leans(before, start):
        return 1
    return STEP if kind == RUBS else WIDEST


def _leans(place: Place, start: int) -> bool:
    """Tell whether a pitch is one that passes by a half step."""
    return _is_leaning(place.palette, place.pitches[start])


def _is_altered_nine(v: Place, home: Place, start: int) -> bool:
    """Tell whether a pitch is the b9 or #9 of a V, which does not rise into its I."""
    root, tonic = (place.palette.placed.chord.root.semitone for place in (v, home))
    return (root - tonic) % 12 == FIFTH and (v.pitches[start] - root) % 12 in (1, 3)


def _is_leaning(palette: ChordPalette, midi: int) -> bool:
    """Tell whether a pitch is the natural 7 over a dominant: it passes, by a half step."""
    chord = palette.placed.chord
    return chord.kind.is_dominant and (midi - chord.root.semitone) % 12 == NATURAL_SEVENTH
