"""One voice: of all that was played, the notes of one melody."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

TOGETHER = 0.06  # beats within which notes start together
INSIDE = 0.06  # beats by which a note must lie inside a held one to be under it


@dataclass(frozen=True, slots=True)
class Played:
    """A note as it was played: start and end in beats, MIDI number."""

    start: float
    end: float
    midi: int


def one_voice(played: Sequence[Played]) -> list[Played]:
    """Return one melody, in order: the highest of notes that start together, none under a held one.

    A note is under a higher one when it begins after it and is let go before it. A melody that is
    played legato overlaps too, but its old note is let go first. A held note lasts until the next.

    >>> held, under, after = Played(0, 2, 76), Played(1, 1.5, 60), Played(1.9, 3, 74)
    >>> one_voice([held, under, after]) == [held, after]
    True
    """
    ordered = sorted(played, key=lambda note: (note.start, -note.midi))
    found: list[Played] = []
    for note in ordered:
        before = found[-1] if found else None
        if before is None or not _are_one(before, note):
            found.append(note)
        elif note.start - before.start <= TOGETHER and note.midi > before.midi:
            found[-1] = Played(before.start, note.end, note.midi)
    return found


def _are_one(before: Played, note: Played) -> bool:
    """Tell whether only one of two notes is of the melody: they start together, or one is under."""
    if note.start - before.start <= TOGETHER:
        return True
    return note.midi < before.midi and note.end < before.end - INSIDE
