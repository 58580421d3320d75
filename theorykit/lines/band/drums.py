"""Drums: a drummer who plays the form, bar by bar, out of the rows of a feel.

Every bar draws its rows by chance: the ride, the feathered bass drum, now and then the snare that
answers. The last bar of a section is a fill, and the first of the next begins with its weight. The
same seed gives the same bars, and a bar does not depend on the ones before it.
"""

from __future__ import annotations

import random
from collections.abc import Collection, Iterator
from fractions import Fraction
from functools import lru_cache

from theorykit.lines.band.feels import (
    CRASH,
    KICK,
    PEDAL_HI_HAT,
    RIDE,
    SIDE_STICK,
    SNARE,
    Feel,
    Groove,
    Stroke,
    feel_named,
    strokes,
)
from theorykit.lines.band.rhythm import groups
from theorykit.lines.parts import Sounding
from theorykit.tunes.progression import Progression

STRUCK = Fraction(1, 4)  # beats: a struck cymbal rings by itself
SKIP = Fraction(1, 2)
CLICK = 116
SECTION = 8  # bars, where nothing else is known of the form (common practice)
FEWEST_FOR_FILL = 4  # bars: a shorter section has no room for a fill
ANSWERS = (0, 0, 0, 1, 1, 1, 2)  # how often the snare answers in a bar, by chance
SNARE_SOFT, SNARE_LOUD = 30, 52
BOMB, BOMB_LOUDNESS = 0.12, 74  # how often the bass drum joins an answer, and how loud
CRASHES = 0.4  # how often a section begins with a crash


def count(beats: Fraction, bars: int) -> tuple[Sounding, ...]:
    """Return clicks for some bars before the music: the last bar in beats, those before in groups.

    >>> [str(note.start) for note in count(Fraction(4), 2)]
    ['0', '2', '4', '5', '6', '7']
    """
    notes = []
    for bar in range(bars):
        step = Fraction(1) if bar == bars - 1 or beats % 2 else Fraction(2)
        clicks = -(-beats // step)
        notes += [
            Sounding(bar * beats + step * click, STRUCK, SIDE_STICK, CLICK, counts_in=True)
            for click in range(clicks)
        ]
    return tuple(notes)


def sections_of(bars: int) -> tuple[int, ...]:
    """Return where sections begin if nothing is known of the form: every eight bars.

    >>> sections_of(12), sections_of(3)
    ((0, 8), (0,))
    """
    return tuple(range(0, bars, SECTION))


def time_keeping(
    progression: Progression,
    *,
    feel: str = "four",
    sections: Collection[int] | None = None,
    goes_on: bool = False,
    seed: int | random.Random = 0,
) -> tuple[Sounding, ...]:
    """Return the drums over a progression, in written beats.

    ``feel`` is one of ``FEELS``; ``sections`` are the bars, from 0, on which a section begins, by
    default every eighth; with ``goes_on`` the last bar leads into what follows, as into a section,
    without it nothing is struck after the last beat. Bars that no row of the feel fits keep plain
    time. The same seed gives the same bars.

    >>> from theorykit.tunes.progression import two_five_one
    >>> notes = time_keeping(two_five_one("C"))
    >>> [str(n.start + 1) for n in notes if n.midi == PEDAL_HI_HAT and n.start < 4]
    ['2', '4']
    """
    rng = seed if isinstance(seed, random.Random) else random.Random(seed)
    drawn = rng.random()
    row = feel_named(feel)
    begins = sorted(sections_of(len(progression.bars)) if sections is None else sections)
    filled = _filled(begins, len(progression.bars), goes_on)
    notes: list[Sounding] = []
    for number, (at, bar) in enumerate(zip(progression.bar_starts, progression.bars, strict=False)):
        chance = random.Random(f"{drawn} {number}")
        struck = _bar(row, bar.beats, number, number in filled, chance)
        if number in begins and number - 1 in filled:
            struck = _weighted(struck, row, chance)
        if not goes_on and number == len(progression.bars) - 1:
            last = -(-bar.beats // 1) - 1  # its beat; what comes after it would lead to nothing
            struck = tuple(one for one in struck if one.beat <= last)
        notes += [Sounding(at + s.beat, STRUCK, s.midi, s.loudness) for s in struck]
    return tuple(sorted(notes, key=lambda note: (note.start, note.midi)))


def _filled(begins: list[int], bars: int, goes_on: bool) -> frozenset[int]:
    """Return the bars that are fills: the last of each section but the last of all."""
    ends = [*begins[1:], *([bars] if goes_on else [])]
    starts = begins[: len(ends)]
    return frozenset(
        end - 1 for start, end in zip(starts, ends, strict=True) if end - start >= FEWEST_FOR_FILL
    )


def _bar(
    feel: Feel, beats: Fraction, number: int, fills: bool, chance: random.Random
) -> tuple[Stroke, ...]:
    """Return the strokes of one bar."""
    groove = feel.groove(beats)
    if groove is None:
        return tuple(_plain(beats))
    if fills and groove.fills:
        return strokes(chance.choice(groove.fills))
    rows = [chance.choice(layer) for layer in groove.layers]
    if groove.cycle:
        rows.append(groove.cycle[number % len(groove.cycle)])
    return _once((*strokes(" ".join(rows)), *_answers(groove, chance)))


def _answers(groove: Groove, chance: random.Random) -> Iterator[Stroke]:
    """Yield what the snare answers in a bar, and the bass drum with it."""
    places = groove.comping.split()
    if not places:
        return
    for place in chance.sample(places, chance.choice(ANSWERS)):
        loudness = chance.randint(SNARE_SOFT, SNARE_LOUD)
        yield Stroke(Fraction(place) - 1, SNARE, loudness)
        if chance.random() < BOMB and Fraction(place).denominator > 1:
            yield Stroke(Fraction(place) - 1, KICK, BOMB_LOUDNESS)


def _once(struck: tuple[Stroke, ...]) -> tuple[Stroke, ...]:
    """Return strokes, of two on the same drum at once the louder one."""
    best: dict[tuple[Fraction, int], Stroke] = {}
    for one in struck:
        place = one.beat, one.midi
        if place not in best or best[place].loudness < one.loudness:
            best[place] = one
    return tuple(best.values())


def _weighted(struck: tuple[Stroke, ...], feel: Feel, chance: random.Random) -> tuple[Stroke, ...]:
    """Return the first bar of a section, with weight on its first beat."""
    cymbal = RIDE if feel.kit is not None or chance.random() > CRASHES else CRASH
    loudness = 70 if feel.kit is None else 54
    rest = (one for one in struck if one.beat or one.midi not in (KICK, cymbal))
    return (Stroke(Fraction(0), KICK, loudness), Stroke(Fraction(0), cymbal, loudness), *rest)


@lru_cache(maxsize=64)
def _plain(beats: Fraction) -> tuple[Stroke, ...]:
    """Return time for a bar of any length, by its groups.

    The ride plays every beat, and after the second beat of each group of two the skipped note that
    leads to the next; the hi-hat closes on the second beat of each group.
    """
    found: list[Stroke] = []
    at = Fraction(0)
    for length in groups(beats):
        for beat in range(-(-length // 1)):
            found.append(Stroke(at + beat, RIDE, 84 if beat == 1 else 74))
            if beat == 1:
                found.append(Stroke(at + beat, PEDAL_HI_HAT, 68))
                if length >= 2:
                    found.append(Stroke(at + beat + SKIP, RIDE, 60))
        found.append(Stroke(at, KICK, 34))
        at += length
    return tuple(found)
