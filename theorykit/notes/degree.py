"""Degrees above a root, and the spelling of the notes that stand there."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import product

from theorykit.errors import TheoryError, shown
from theorykit.notes.note import (
    LETTERS,
    MOST_ACCIDENTALS,
    NATURAL_SEMITONES,
    Note,
    ascii_accidentals,
    pretty_accidentals,
)
from theorykit.notes.values import Value

__all__ = [
    "AWKWARD",
    "Degree",
    "above",
    "degrees",
    "enharmonics",
    "plain_root",
    "readable",
    "single",
    "spell_near",
    "written_above",
]

HIGHEST_NUMBER = 15
MOST_ALTERED = 3
_TEXT = re.compile(r"(b{0,3}|#{0,3})([1-9]|1[0-5])")


@dataclass(frozen=True, slots=True)
class Degree(Value):
    """A number from 1 to 15 and an alteration in half steps.

    >>> str(Degree(9, -1)), Degree(11, 1).pretty, Degree.parse("b9").semitones
    ('b9', '♯11', 13)
    """

    number: int
    alteration: int = 0

    def __post_init__(self) -> None:
        """Refuse what is no degree."""
        if not isinstance(self.number, int) or not 1 <= self.number <= HIGHEST_NUMBER:
            raise TheoryError(
                f"not a degree number: {shown(self.number)} (want 1 to {HIGHEST_NUMBER})"
            )
        if not isinstance(self.alteration, int) or abs(self.alteration) > MOST_ALTERED:
            raise TheoryError(
                f"not an alteration: {shown(self.alteration)} "
                f"(want whole half steps, -{MOST_ALTERED} to {MOST_ALTERED})"
            )

    @classmethod
    def parse(cls, text: str) -> Degree:
        """Read a degree such as ``b9``, ``♯11`` or ``13``. The reverse of ``str``.

        >>> Degree.parse("♯11")
        Degree(number=11, alteration=1)
        >>> Degree.parse("16")
        Traceback (most recent call last):
        theorykit.errors.TheoryError: not a degree: '16' (want b's or #'s, then 1 to 15)
        """
        found = _read(text) if isinstance(text, str) and len(text) < 9 else None
        if found is None:
            raise TheoryError(f"not a degree: {shown(text)} (want b's or #'s, then 1 to 15)")
        return found

    @property
    def step(self) -> int:
        """The number of letters above the root, 0 to 6.

        >>> Degree.parse("b9").step, Degree.parse("#11").step, Degree.parse("bb7").step
        (1, 3, 6)
        """
        return (self.number - 1) % 7

    @property
    def semitones(self) -> int:
        """Half steps above the root, octaves counted: the b9 is 13.

        >>> Degree.parse("b9").semitones, Degree.parse("b7").semitones
        (13, 10)
        """
        octaves, step = divmod(self.number - 1, 7)
        return NATURAL_SEMITONES[step] + 12 * octaves + self.alteration

    @property
    def semitone(self) -> int:
        """Half steps above the root within one octave, 0 to 11: the b9 is 1.

        >>> Degree.parse("b9").semitone, Degree.parse("#11").semitone
        (1, 6)
        """
        return (NATURAL_SEMITONES[(self.number - 1) % 7] + self.alteration) % 12

    @property
    def pretty(self) -> str:
        """The degree with ♭ and ♯.

        >>> Degree.parse("#11").pretty, Degree.parse("bb7").pretty
        ('♯11', '♭♭7')
        """
        return pretty_accidentals(str(self))

    def __hash__(self) -> int:
        return 16 * self.number + self.alteration

    def __str__(self) -> str:
        sign = "b" if self.alteration < 0 else "#"
        return sign * abs(self.alteration) + str(self.number)


@lru_cache(maxsize=256)  # the tables ask for the same few again and again
def _read(text: str) -> Degree | None:
    """Return the degree that a short text says, or None."""
    match = _TEXT.fullmatch(ascii_accidentals(text.strip()))
    if match is None:
        return None
    signs, number = match.groups()
    return Degree(int(number), len(signs) * (-1 if signs.startswith("b") else 1))


def degrees(text: str) -> tuple[Degree, ...]:
    """Read several degrees, separated by spaces.

    >>> [str(d) for d in degrees("1 b3 b5 bb7")]
    ['1', 'b3', 'b5', 'bb7']
    """
    if not isinstance(text, str):
        raise TheoryError(f"not degrees: {shown(text)} (want text such as '1 b3 b5 bb7')")
    return tuple(Degree.parse(word) for word in text.split())


# === Spelling ===

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


def written_above(root: Note, degree: Degree) -> Note:
    """Return the note that stands ``degree`` above ``root`` as a page can hold it.

    A name of three accidentals, such as the #9 of E#7, gives way to a plain one.

    >>> sharp_nine = Degree.parse("#9")
    >>> [str(written_above(Note.parse(root), sharp_nine)) for root in ("E#", "A")]
    ['G#', 'B#']
    """
    name = above(root, degree)
    return name if abs(name.alteration) < MOST_ACCIDENTALS else spell_near(name.semitone, name)


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


def single(note: Note) -> Note:
    """Return ``note``, by a plain name where it has more than one accidental.

    >>> str(single(Note.parse("Bbb"))), str(single(Note.parse("Cb")))
    ('A', 'Cb')
    """
    return note if abs(note.alteration) <= 1 else spell_near(note.semitone, note)


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
