"""A phrase through all twelve keys."""

from __future__ import annotations

import random
from dataclasses import replace
from fractions import Fraction
from typing import Any

from theorykit.errors import TheoryError, shown
from theorykit.lines.band.accompaniment import bars_of_pickup, performance, then
from theorykit.lines.parts import Part, Performance
from theorykit.lines.text import Line
from theorykit.notes.key import KEYS, Key
from theorykit.tunes.progression import Progression

# Half steps from key to key: falling fifths, as most tunes move; rising half steps; falling whole
# steps, which meet only six keys and begin again a half step higher for the other six.
STEPS = {"fifths": 5, "half steps": 1, "whole steps": 10}
ALL = 12


def keys_by(start: Key | str, step: str = "fifths", count: int = ALL) -> tuple[Key, ...]:
    """Return keys of one mode, each a step from the one before, with the fewest signs.

    ``step`` is one of ``STEPS``: falling fifths, rising half steps or falling whole steps.

    >>> [str(key.tonic) for key in keys_by("C")]
    ['C', 'F', 'Bb', 'Eb', 'Ab', 'Db', 'Gb', 'B', 'E', 'A', 'D', 'G']
    >>> [str(key.tonic) for key in keys_by("A minor", "whole steps")]
    ['A', 'G', 'F', 'Eb', 'C#', 'B', 'Bb', 'G#', 'F#', 'E', 'D', 'C']
    """
    first = Key.parse(start) if isinstance(start, str) else start
    if step not in STEPS:
        raise TheoryError(f"no such step: {shown(step)} (want {', '.join(STEPS)})")
    if not isinstance(count, int) or not 1 <= count <= ALL:
        raise TheoryError(f"no such number of keys: {shown(count)} (want 1 to {ALL})")
    size = STEPS[step]
    again = ALL if size % 2 else ALL // 2  # after how many keys the first would come back
    tonic = first.tonic.semitone
    places = (tonic + size * number + number // again for number in range(1, count))
    return (first, *(_plainest(place % 12, first.mode) for place in places))


def _plainest(semitone: int, mode: str) -> Key:
    """Return the key on a pitch class with the fewest signs, of two as plain the flat one."""
    named = (key for key in KEYS if key.mode == mode and key.tonic.semitone == semitone)
    return min(named, key=lambda key: (abs(key.fifths), key.fifths))


def through_keys(
    line: Line | None,
    progression: Progression,
    *,
    step: str = "fifths",
    keys: int = ALL,
    count_in: int = 1,
    seed: int | random.Random = 0,
    **wishes: Any,
) -> Performance:
    """Return a performance of the same phrase in key after key, counted in once.

    The bass of each key leads into the next. Every other wish is that of ``performance``.

    >>> from theorykit.tunes.progression import two_five_one
    >>> str(through_keys(None, two_five_one("C"), keys=3, answer_bars=True).beats)
    '76'
    """
    rng = seed if isinstance(seed, random.Random) else random.Random(seed)
    order = keys_by(progression.key, step, keys)
    moved = [progression.transposed(key) for key in order]
    following = [*(one.chords[0].chord for one in moved[1:]), None]
    rounds: list[Performance] = []
    for key, over, ahead in zip(order, moved, following, strict=True):
        phrase = line.transposed(key) if line is not None else None
        counted = 0 if rounds else count_in
        one = performance(phrase, over, count_in=counted, leads_to=ahead, seed=rng, **wishes)
        count = bars_of_pickup(phrase) * over.bars[0].beats
        rounds.append(_uncounted(one, count) if rounds else one)
    return then(*rounds)


def _uncounted(played: Performance, count: Fraction) -> Performance:
    """Return a performance without the count-in that its pickup made; the pickup stays."""
    parts = (
        Part(
            part.name,
            tuple(
                replace(note, start=note.start - count)
                for note in part.notes
                if part.name == "line" or note.start >= count
            ),
        )
        for part in played.parts
    )
    return replace(played, parts=tuple(parts), beats=played.beats - count)
