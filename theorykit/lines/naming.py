"""Names for notes that belong to no chord: which letter a chromatic step takes."""

from __future__ import annotations

from collections.abc import Iterable

from theorykit.notes.note import LETTERS, MOST_ACCIDENTALS, NATURAL_SEMITONES, Note
from theorykit.notes.spelling import AWKWARD, enharmonics

__all__ = ["half_step_name"]


def half_step_name(goal: Note, rising: bool, held: Iterable[Note] = ()) -> Note:
    """Return the name of the note a half step before ``goal``, below it if the step is ``rising``.

    A rising half step takes the letter below, a falling one the letter above (common practice);
    where that name is awkward, a plain one, unless the key signature (``held``) has it.

    >>> [str(half_step_name(Note.parse(n), True)) for n in ("E", "F", "Bb", "G#")]
    ['D#', 'E', 'A', 'G']
    >>> [str(half_step_name(Note.parse(n), False)) for n in ("E", "D", "G", "B")]
    ['F', 'Eb', 'Ab', 'C']
    """
    step = (goal.step + (-1 if rising else 1)) % 7
    semitone = (goal.semitone + (-1 if rising else 1)) % 12
    alteration = (semitone - NATURAL_SEMITONES[step] + 6) % 12 - 6
    if abs(alteration) < MOST_ACCIDENTALS:
        name = Note(LETTERS[step], alteration)
        if name in held or (abs(alteration) < 2 and name not in AWKWARD):
            return name
    return next(name for name in enharmonics(semitone) if name not in AWKWARD)
