"""The bass: roots on the changes, the line of each feel, and the tones it may take.

Sources: root or fifth on the first beat of a chord, half notes in a two-feel, quarters in a
four-feel, and before a change a note that leads into it by a half or whole step or from its fifth
(common practice; so too Ed Friedland, *Building Walking Bass Lines*, 1993, from memory). Where the
drums accent 2 and 4 the bass does. Bossa: a dotted quarter and an eighth, root and fifth by turns,
the eighth a pickup of what comes. Straight eighths: broken rhythms around 1 and the eighth after 2.
Waltz: one, two or three notes a bar (common practice).
"""

from __future__ import annotations

import random
from bisect import bisect_right
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import pairwise

from theorykit.lines.band.feels import Feel, feel_named
from theorykit.lines.band.rhythm import beats_of, group_starts
from theorykit.lines.band.voicing_styles import Tones, tones_of
from theorykit.lines.band.voicings import Colours
from theorykit.lines.parts import Sounding
from theorykit.notes.chord import Chord
from theorykit.notes.degree import Degree, above
from theorykit.notes.key import Key
from theorykit.notes.note import Note
from theorykit.tunes.progression import PlacedChord, Progression


@dataclass(frozen=True, slots=True)
class BassTones:
    """``first`` may begin the chord, best first; ``fifth``, ``third`` are empty without one."""

    first: tuple[int, ...]
    fifth: tuple[int, ...]
    third: tuple[int, ...]
    chord: frozenset[int]
    passing: frozenset[int]


def bass_tones(progression: Progression, colours: Colours) -> tuple[BassTones | None, ...]:
    """Return the tones of each chord; None for N.C.

    A chord begins on its root, or on the bass of its slash. Where it stands a second time in a row
    it may begin on its fifth.

    >>> from theorykit.tunes.progression import two_five_one
    >>> tones = bass_tones(two_five_one("C", "split"), {})
    >>> [one.first for one in tones if one]
    [(2,), (2, 9), (7,), (0,)]
    """
    chords = [placed.chord for placed in progression.chords]
    return tuple(
        None
        if chord.is_silent
        else _tones(
            chord,
            tuple(colours.get(place, ())),
            place > 0 and chords[place - 1] == chord,
            progression.key,
        )
        for place, chord in enumerate(chords)
    )


def _tones(chord: Chord, colour: tuple[Degree, ...], again: bool, key: Key) -> BassTones:
    """Return the tones of one chord."""
    tones = tones_of(chord, colour=colour, key=key)
    held = [above(chord.root, degree) for degree in _held(tones)]
    low = chord.lowest
    fifths = [d for d in tones.all if d.number == 5 and chord.bass is None]
    fifth = tuple(above(chord.root, degree).semitone for degree in fifths[:1])
    coloured = [above(chord.root, degree) for degree in colour]
    free = _free([low, *held, *coloured], key)
    rubs = {(note.semitone + step) % 12 for note in coloured for step in (1, -1)}
    return BassTones(
        (low.semitone, *(fifth if again else ())),
        fifth,
        tuple(above(chord.root, degree).semitone for degree in tones.all if degree.number == 3),
        frozenset(note.semitone for note in (low, *held)),
        frozenset(
            {note.semitone for note in coloured}
            | {note.semitone for note in free if note.semitone not in rubs}
        ),
    )


def _held(tones: Tones) -> tuple[Degree, ...]:
    """Return third, fifth, sixth and seventh of a chord, and its root."""
    return tuple(degree for degree in tones.all if degree.number <= 7)


def _free(named: list[Note], key: Key) -> tuple[Note, ...]:
    """Return the key's own notes for the letters that the chord leaves free."""
    letters = {note.letter for note in named}
    return tuple(note for note in key.notes if note.letter not in letters)


# === The line ===

LOWEST, HIGHEST = 28, 55  # MIDI: E1, the open low string of a double bass, to G3
HIGHEST_START = 48  # C3: a chord begins no higher, so that there is room above
MIDDLE = 38  # D2, around which a line stays

# Half steps from a leading note up to the note that it leads to, and what the choice costs: a half
# step from below or above, a whole step, the fifth of what follows from below or above.
APPROACHES = {1: 0.0, -1: 0.3, 2: 0.6, -2: 0.4, 5: 1.3, -7: 1.6}
# What a move costs by its size in half steps; a move that is not listed costs WIDE.
MOVES = {0: 1.0, 1: 0.2, 2: 0.0, 3: 0.8, 4: 0.9, 5: 1.4, 7: 1.8, 12: 2.6}
WIDE = 4.5
PASSING_ON_STRONG, PASSING = 2.0, 0.5  # of a note that is no chord tone, by its beat
THIRD = 0.7  # by how much a third is cheaper: it tells the chord
OFF_CENTRE = 0.04  # for each half step away from the middle of the range
WHIM = 1.6  # how far chance may lift a cost
OFTEN = 0.6  # how often a two-feel holds a note that leads into the change by itself

LOUD, SOFT, PICKUP = 86, 77, 66
# Moments of a bar, or of a part of one, by its length in beats: what chance may choose.
MOMENTS: dict[str, dict[int, tuple[str, ...]]] = {
    "waltz": {3: ("1 3", "1 3", "1 2 3", "1 2 3", "1 5/2 3")},
    "broken": {
        4: ("1 5/2 4", "1 5/2 4", "1 5/2 9/2", "1 5/2 7/2 9/2", "1 3 9/2"),
        2: ("1 5/2", "1 2"),
    },
}
ODD = Fraction(3)  # beats of a group whose first is the strong one
EIGHTH = Fraction(1, 2)
GAP = Fraction(1, 16)  # of a beat between two notes


class _Whims:
    """Chance by beat and note, so that another chord changes nothing elsewhere in the line."""

    def __init__(self, rng: random.Random) -> None:
        self.seed = rng.random()

    def on(self, beat: Fraction) -> dict[int, float]:
        """Return a number from 0 to 1 for every note on a beat."""
        rng = random.Random(f"{self.seed} {beat}")
        return {midi: rng.random() for midi in range(LOWEST, HIGHEST + 1)}

    def at(self, beat: Fraction) -> float:
        """Return one number from 0 to 1 for a beat."""
        return self.on(beat)[LOWEST]


@dataclass(frozen=True, slots=True)
class _Step:
    """A chord under the bass, the moments on which it plays, and the first of its notes."""

    tones: BassTones
    moments: tuple[Fraction, ...]
    end: Fraction
    first: int


def bass_line(
    progression: Progression,
    *,
    feel: str = "four",
    colours: Colours | None = None,
    leads_to: Chord | None = None,
    seed: int | random.Random = 0,
) -> tuple[Sounding, ...]:
    """Return a bass line in written beats, in one of the feels of ``feels.py``.

    ``colours`` gives degrees over chords by their place: what contradicts them is not played.
    ``leads_to`` is the chord that follows the last one; without it the last note is held. N.C. is
    silent. The same seed gives the same line.

    >>> from theorykit.tunes.progression import two_five_one
    >>> [(str(note.start), note.midi) for note in bass_line(two_five_one("C", "short"))]
    [('0', 38), ('1', 42), ('2', 43), ('3', 38), ('4', 36)]
    """
    row = feel_named(feel)
    rng = seed if isinstance(seed, random.Random) else random.Random(seed)
    whims = _Whims(rng)
    placed = progression.chords
    tones = bass_tones(progression, colours or {})
    firsts = _firsts(placed, tones, leads_to, whims)
    play = {"halves": _two, "bossa": _bossa}.get(row.bass, _walk)
    notes: list[Sounding] = []
    for place, (chord, under) in enumerate(zip(placed, tones, strict=True)):
        if under is None:
            continue
        ahead = firsts[place + 1]
        if ahead is None and place == len(placed) - 1:
            moments: tuple[Fraction, ...] = (chord.start,)
        else:
            moments = _moments(row.bass, progression, chord, whims)
        notes += play(_Step(under, moments, chord.end, firsts[place] or 0), ahead, whims)
    return tuple(_accented(notes, progression, row))


def _moments(
    way: str, progression: Progression, chord: PlacedChord, whims: _Whims
) -> tuple[Fraction, ...]:
    """Return when the bass plays under a chord."""
    beats = beats_of(progression, chord)
    if way in ("halves", "bossa"):
        halves = frozenset(start for start, _ in group_starts(progression))
        return tuple(m for m in beats if m in halves or m == chord.start)
    rows = MOMENTS.get(way)
    if rows is None:
        return beats
    found: list[Fraction] = []
    edges = progression.bar_starts
    for start, end in pairwise(edges[chord.bar :]):
        begin, stop = max(start, chord.start), min(end, chord.end)
        if begin >= stop:
            break
        options = rows.get(int(stop - begin)) if (stop - begin).denominator == 1 else None
        if options is None:
            found += [beat for beat in beats if begin <= beat < stop]
        else:
            row = options[int(whims.at(begin) * len(options))]
            found += [begin + Fraction(beat) - 1 for beat in row.split()]
    return tuple(found)


def _accented(
    notes: Iterable[Sounding], progression: Progression, feel: Feel
) -> Iterator[Sounding]:
    """Yield notes with the accents of a bar: 2 and 4 in swing, the strong beats where it is even.

    In bars of three beats the first is the strong one. What stands off the beat is softer.
    """
    groups = tuple(group_starts(progression))
    starts = [start for start, _ in groups]
    for note in notes:
        start, length = groups[bisect_right(starts, note.start) - 1]
        beat = note.start - start
        strong = beat == 0 if feel.even or length == ODD else beat == 1
        loudness = PICKUP if beat.denominator > 1 else LOUD if strong else SOFT
        yield replace(note, loudness=loudness)


def _firsts(
    placed: Sequence[PlacedChord],
    tones: Sequence[BassTones | None],
    leads_to: Chord | None,
    whims: _Whims,
) -> list[int | None]:
    """Return the first note of each chord, and after the last that of the chord it leads to.

    What follows begins like any line, near the middle of the range.
    """
    wanted = [under.first if under else () for under in tones]
    wanted.append((leads_to.lowest.semitone,) if leads_to and not leads_to.is_silent else ())
    firsts: list[int | None] = []
    at = MIDDLE
    for place, classes in enumerate(wanted):
        beat = placed[place].start if place < len(placed) else placed[-1].end
        again = len(classes) > 1 and whims.at(beat) < 0.5
        near = _nearest(
            classes[1:] if again else classes[:1], at if place < len(placed) else MIDDLE
        )
        firsts.append(near)
        at = near if near is not None else at
    return firsts


def _nearest(classes: Sequence[int], at: int) -> int | None:
    """Return the note of these pitch classes nearest to the hand; None if there is none."""
    options = [midi for midi in range(LOWEST, HIGHEST_START + 1) if midi % 12 in classes]
    if not options:
        return None
    return min(options, key=lambda midi: (abs(midi - at) + 0.5 * abs(midi - MIDDLE), midi))


def _walk(step: _Step, ahead: int | None, whims: _Whims) -> list[Sounding]:
    """Return a note on each moment, the last one leading into what is ahead.

    The cheapest way is found by weighing, moment by moment, the best way to reach each note.
    """
    ways: dict[int, tuple[float, tuple[int, ...]]] = {step.first: (0.0, (step.first,))}
    last = len(step.moments) - 1
    for place, moment in enumerate(step.moments[1:], 1):
        leads = place == last and ahead is not None
        options = _leading(ahead or 0) if leads else _inner(step, place)
        whim = whims.on(moment)
        ways = {
            midi: min(
                (cost + price + _move(way[-1], midi, way[0]) + WHIM * whim[midi], (*way, midi))
                for cost, way in ways.values()
            )
            for midi, price in options
            if midi != ahead
        }
    return _played(step.moments, step.end, min(ways.values())[1])


def _leading(ahead: int) -> Iterable[tuple[int, float]]:
    """Return the notes that lead to a note, and what each costs."""
    return [
        (ahead - up, cost) for up, cost in APPROACHES.items() if LOWEST <= ahead - up <= HIGHEST
    ]


def _inner(step: _Step, place: int) -> Iterable[tuple[int, float]]:
    """Return the notes that may stand inside a chord, and what each costs."""
    passing = PASSING_ON_STRONG if place % 2 == 0 else PASSING
    tones = step.tones
    return [
        (
            midi,
            OFF_CENTRE * abs(midi - MIDDLE)
            + passing * (midi % 12 not in tones.chord)
            - THIRD * (midi % 12 in tones.third),
        )
        for midi in range(max(LOWEST, step.first - 12), min(HIGHEST, step.first + 12) + 1)
        if midi % 12 in tones.chord or midi % 12 in tones.passing
    ]


def _move(before: int, after: int, first: int) -> float:
    """Return what a move costs; to come back to the first note is dull."""
    return MOVES.get(abs(after - before), WIDE) + 1.0 * (after == first)


def _two(step: _Step, ahead: int | None, whims: _Whims) -> list[Sounding]:
    """Return a note for each half of a bar, root and fifth by turns, and one that leads on."""
    midis = [step.first]
    for _ in step.moments[1:]:
        midis.append(_turn(step, midis[-1], ahead))
    moments = step.moments
    if ahead is None or (ahead - midis[-1] in APPROACHES and whims.at(step.end) < OFTEN):
        return _played(moments, step.end, midis)
    if step.end - moments[-1] > 1:
        moments = (*moments, step.end - 1)
    elif len(midis) > 1:
        midis.pop()  # no room for one more: the leading note takes the place of the last
    else:
        return _played(moments, step.end, midis)
    lead = _leads_from(midis[-1], ahead, whims, moments[-1])
    return _played(moments, step.end, [*midis, *([] if lead is None else [lead])])


def _bossa(step: _Step, ahead: int | None, whims: _Whims) -> list[Sounding]:
    """Return root and fifth by turns, an eighth before each what comes, and one that leads on."""
    midis = [step.first]
    for _ in step.moments[1:]:
        midis.append(_turn(step, midis[-1], None))
    moments: list[Fraction] = []
    played: list[int] = []
    ends = (*step.moments[1:], step.end)
    for at, after, midi, coming in zip(step.moments, ends, midis, (*midis[1:], None), strict=True):
        moments.append(at)
        played.append(midi)
        pickup = coming if coming is not None else _leads_from(midi, ahead, whims, after)
        if pickup is not None and after - at >= 1:
            moments.append(after - EIGHTH)
            played.append(pickup)
    return _played(moments, step.end, played)


def _leads_from(midi: int, ahead: int | None, whims: _Whims, beat: Fraction) -> int | None:
    """Return what leads from a note to what is ahead; None if nothing is."""
    if ahead is None:
        return None
    whim = whims.on(beat)
    costs = {m: c + _move(midi, m, ahead) + WHIM * whim[m] for m, c in _leading(ahead)}
    return min(costs, key=lambda m: (costs[m], m))


def _turn(step: _Step, before: int, ahead: int | None) -> int:
    """Return the fifth below or above the first note, or the first note after a fifth.

    Of the two fifths the one is taken that leads into what is ahead.
    """
    fifths = [midi for midi in range(LOWEST, HIGHEST + 1) if midi % 12 in step.tones.fifth]
    if before != step.first or not fifths:
        return step.first
    leads = {midi: ahead is not None and ahead - midi in APPROACHES for midi in fifths}
    return min(
        fifths, key=lambda midi: (abs(midi - before) > 12, not leads[midi], abs(midi - before))
    )


def _played(moments: Sequence[Fraction], end: Fraction, midis: Sequence[int]) -> list[Sounding]:
    """Return the notes as played: each held until just before the next."""
    ends = (*moments[1:], end)
    return [
        Sounding(start, after - start - min(GAP, (after - start) / 4), midi)
        for start, after, midi in zip(moments, ends, midis, strict=True)
    ]
