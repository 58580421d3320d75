"""Spelling a written line: each note by its degree, unless the line reads better otherwise.

A name costs something where it is not the first of its degree, a pair of names where their letters
do not lie as far apart as the notes sound; the cheapest spelling of the whole line wins. So the
altered notes over G7 fall as Eb Db Bb Ab, while a raised 9 under the third stays A sharp.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from theorykit.notes.note import Note
from theorykit.notes.spelling import AWKWARD, enharmonics

__all__ = ["spelled"]

OTHER_NAME = 0.3  # another name of a degree than its first
DOUBLE, STRANGE, SIGN = 1.0, 1.2, 0.05  # a double accidental, E# B# Cb Fb, any accidental
WRONG_STEP = 1.0  # for each letter that two names lie too near or too far
SAME_LETTER = (0.3, 0.6)  # a half step on one letter: into a chromatic note, out of it
# How many letters lie between two notes, by half steps; a tritone is a fourth or a fifth.
_LETTERS_APART = ((0,), (1,), (1,), (2,), (2,), (3,), (3, 4), (4,), (5,), (5,), (6,), (6,), (7,))

Sound = tuple[int, tuple[Note, ...]]
Way = tuple[float, tuple[Note, ...]]


def spelled(sounds: Sequence[Sound], held: Iterable[Note]) -> tuple[Note, ...]:
    """Return the names of a line's notes; ``held`` are the notes of the key signature.

    ``sounds`` gives for each note its MIDI number and the names that its degree may have, none for
    a chromatic note.

    >>> c, d = (Note.parse("C"),), (Note.parse("D"),)
    >>> [str(n) for n in spelled([(60, c), (61, ()), (62, d)], ())]
    ['C', 'C#', 'D']
    >>> [str(n) for n in spelled([(62, d), (61, ()), (60, c)], ())]
    ['D', 'Db', 'C']
    """
    in_key = frozenset(held)
    ways: list[Way] = [(0.0, ())]
    before: Sound | None = None
    for sound in sounds:
        ways = [_cheapest(ways, name, before, sound, in_key) for name in _names(sound)]
        before = sound
    return min(ways, key=lambda way: way[0])[1]


def _names(sound: Sound) -> tuple[Note, ...]:
    """Return the names that a note may have."""
    midi, names = sound
    return names or enharmonics(midi % 12)


def _cheapest(
    ways: Sequence[Way], name: Note, before: Sound | None, sound: Sound, held: frozenset[Note]
) -> Way:
    """Return the cheapest way that ends with a name."""
    own = _strange(name, held) + OTHER_NAME * (sound[1][:1] not in ((), (name,)))
    if before is None:
        return own, (name,)
    cost, way = min(
        ((cost + _between(way[-1], name, before, sound), way) for cost, way in ways),
        key=lambda pair: pair[0],
    )
    return cost + own, (*way, name)


def _strange(name: Note, held: frozenset[Note]) -> float:
    """Return what a name costs the eye; what the key signature has costs nothing."""
    if name in held:
        return 0.0
    signs = abs(name.alteration)
    return SIGN * signs + DOUBLE * (signs > 1) + STRANGE * (name in AWKWARD)


def _between(last: Note, name: Note, before: Sound, sound: Sound) -> float:
    """Return what it costs that a name follows another."""
    size = sound[0] - before[0]
    apart = (name.step - last.step) * (1 if size >= 0 else -1) % 7
    if abs(size) == 1 and apart == 0:
        return SAME_LETTER[bool(sound[1]) and not before[1]]
    wanted = _LETTERS_APART[min(abs(size), 12)]
    return WRONG_STEP * min(min((apart - w) % 7, (w - apart) % 7) for w in wanted)
