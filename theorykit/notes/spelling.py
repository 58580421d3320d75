"""Spelling: which letter and accidental a sound gets, and why."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import product

from theorykit.notes.degree import HIGHEST_NUMBER, Degree
from theorykit.notes.note import LETTERS, MOST_ACCIDENTALS, NATURAL_SEMITONES, Note

__all__ = ["AWKWARD", "above", "enharmonics", "plain_root", "readable", "spell_near"]

# Names that a reader stumbles over unless the key signature holds them (common practice).
AWKWARD = frozenset(Note.parse(name) for name in ("E#", "B#", "Cb", "Fb"))

_STEPS = {letter: step for step, letter in enumerate(LETTERS)}
_NATURAL = tuple(NATURAL_SEMITONES[n % 7] + 12 * (n // 7) for n in range(-1, HIGHEST_NUMBER))
_NAMES = {
    (step, alteration): Note(letter, alteration)
    for step, letter in enumerate(LETTERS)
    for alteration in range(-MOST_ACCIDENTALS, MOST_ACCIDENTALS + 1)
}


def above(root: Note, degree: Degree) -> Note:
    """Spell the note that stands ``degree`` above ``root``: the letter is counted, then altered.

    >>> [str(above(Note.parse("Ab"), Degree.parse(d))) for d in "1 b3 b5 bb7".split()]
    ['Ab', 'Cb', 'Ebb', 'Gbb']
    """
    step = _STEPS[root.letter] + degree.number - 1
    natural = NATURAL_SEMITONES[step % 7] + 12 * (step // 7)
    above_root = _NATURAL[degree.number] + degree.alteration
    alteration = _NATURAL[_STEPS[root.letter] + 1] + root.alteration + above_root - natural
    name = _NAMES.get((step % 7, alteration))
    return name if name is not None else Note(LETTERS[step % 7], alteration)


def enharmonics(semitone: int, most: int = 1) -> tuple[Note, ...]:
    """Return the names of a pitch class with at most ``most`` accidentals, plainest first.

    >>> [str(note) for note in enharmonics(6)], [str(note) for note in enharmonics(2, most=2)]
    (['F#', 'Gb'], ['D', 'C##', 'Ebb'])
    """
    named = (
        Note(letter, (semitone - natural + 6) % 12 - 6)
        for letter, natural in zip(LETTERS, NATURAL_SEMITONES, strict=True)
        if abs((semitone - natural + 6) % 12 - 6) <= min(most, MOST_ACCIDENTALS)
    )
    return tuple(sorted(named, key=lambda note: abs(note.alteration)))


def plain_root(note: Note, held: Iterable[Note] = ()) -> Note:
    """Return ``note`` as the root of a chord: never a double accidental, never an awkward name.

    The tritone substitute of Ab7 stands on its b5, E double flat, and is written D7. A name such
    as Cb stays only where the key signature (``held``) has it.

    >>> str(plain_root(Note.parse("Ebb"))), str(plain_root(Note.parse("Cb")))
    ('D', 'B')
    >>> str(plain_root(Note.parse("Cb"), held=[Note.parse("Cb")]))
    'Cb'
    """
    if abs(note.alteration) <= 1 and (note not in AWKWARD or note in held):
        return note
    return spell_near(note.semitone, note)


def spell_near(semitone: int, wish: Note) -> Note:
    """Return the plainest name of a pitch class that leans to the side that ``wish`` leans to.

    >>> str(spell_near(10, Note.parse("Cbb"))), str(spell_near(3, Note.parse("C##")))
    ('Bb', 'D#')
    """
    side = 1 if wish.alteration > 0 else -1
    usable = [note for note in enharmonics(semitone) if note not in AWKWARD]
    return min(usable, key=lambda note: (note.alteration != 0, note.alteration * side < 0))


def readable(notes: Iterable[Note], held: Iterable[Note] = ()) -> tuple[Note, ...]:
    """Respell ``notes`` for the eye: no double accidental, no E# B# Cb Fb, letters kept apart.

    ``held`` are the notes of the key signature: what it holds is never awkward. A name that the
    eye accepts is kept; of the other names the ones win that leave the fewest letters used twice.

    >>> e7 = [Note.parse(name) for name in ("E", "G#", "B", "D", "F##")]
    >>> [str(note) for note in readable(e7)]
    ['E', 'G#', 'B', 'D', 'G']
    >>> gb = [Note.parse(name) for name in ("Gb", "Cb")]
    >>> [str(note) for note in readable(gb)], [str(note) for note in readable(gb, held=gb)]
    (['Gb', 'B'], ['Gb', 'Cb'])
    """
    given = tuple(notes)
    in_key = frozenset(held)
    choices = [_readable_names(note, in_key) for note in given]
    return min(product(*choices), key=_shared_letters)


def _readable_names(note: Note, in_key: frozenset[Note]) -> Sequence[Note]:
    """Return the names that the eye accepts for one note: its own, if that is one of them."""
    if note in in_key or (abs(note.alteration) <= 1 and note not in AWKWARD):
        return (note,)
    names = [n for n in enharmonics(note.semitone) if n in in_key or n not in AWKWARD]
    return sorted(names, key=lambda name: name.alteration * note.alteration < 0)


def _shared_letters(names: tuple[Note, ...]) -> int:
    """Count the letters that serve two different notes."""
    distinct = set(names)
    return len(distinct) - len({name.letter for name in distinct})
