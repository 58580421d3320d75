"""The smoothest way through choices of pitches: a shortest path, chord by chord."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction

from theorykit.notes.note import Note
from theorykit.notes.pitch import Pitch

__all__ = ["places", "smoothest"]

OCTAVE = 12
HOMESICK = Fraction(1, 1000)  # what a half step away from the middle costs: less than any move

Voices = tuple[Pitch, ...]


def places(note: Note, low: int, high: int) -> Iterator[Pitch]:
    """Run through the pitches of a note from one MIDI number to another.

    >>> [str(pitch) for pitch in places(Note.parse("F"), 57, 77)]
    ['F4', 'F5']
    """
    for midi in range(low + (note.semitone - low) % OCTAVE, high + 1, OCTAVE):
        yield Pitch.numbered(note, midi)


def smoothest(choices: Sequence[Sequence[tuple[Voices, Fraction]]], middle: int) -> list[Voices]:
    """Return one choice for each chord so that the voices move as little as can be in all.

    Each choice is a tuple of pitches with what it costs besides, in half steps; ``middle`` is the
    MIDI number that the voices keep near where all else is equal.

    >>> c, d, b = (Pitch.parse(name) for name in ("C4", "D4", "B4"))
    >>> [str(voice) for (voice,) in smoothest([[((c,), 0)], [((b,), 0), ((d,), 0)]], 60)]
    ['C4', 'D4']
    """
    found: list[tuple[Fraction, list[Voices]]] = [(Fraction(0), [])]
    for row in choices:
        found = [_best(found, voices, extra, middle) for voices, extra in row]
    return min(found, key=lambda way: way[0])[1]


def _best(
    found: Sequence[tuple[Fraction, list[Voices]]], voices: Voices, extra: Fraction, middle: int
) -> tuple[Fraction, list[Voices]]:
    """Return the cheapest way to one choice."""
    here = extra + HOMESICK * sum(abs(pitch.midi - middle) for pitch in voices)
    cost, way = min(
        ((cost + _motion(way, voices), way) for cost, way in found), key=lambda pair: pair[0]
    )
    return cost + here, [*way, voices]


def _motion(way: Sequence[Voices], voices: Voices) -> int:
    """Return how far the voices move in half steps; the first move is free."""
    if not way:
        return 0
    return sum(abs(a.midi - b.midi) for a, b in zip(way[-1], voices, strict=True))
