"""How the roots of substitutes are spelled: for the key, for the eye, and pairs alike."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache

from theorykit.errors import TheoryError
from theorykit.notes.chord import Chord
from theorykit.notes.degree import Degree
from theorykit.notes.key import Key
from theorykit.notes.kinds import ChordKind
from theorykit.notes.note import Note
from theorykit.notes.spelling import AWKWARD, above, plain_root, spell_near

__all__ = ["held_notes", "sensible_root", "sensible_roots"]

FIFTH, LEADING, MINOR_THIRD = Degree(5), Degree(7), Degree(3, -1)


@lru_cache(maxsize=64)
def held_notes(target: Chord) -> tuple[Note, ...]:
    """Return the notes of the target's key, the leading note of minor among them.

    >>> [str(note) for note in held_notes(Chord.parse("F#m6"))]
    ['F#', 'G#', 'A', 'B', 'C#', 'D', 'E', 'E#']
    """
    mode = "minor" if MINOR_THIRD in target.degrees else "major"
    try:
        notes = Key(target.root, mode).notes
    except TheoryError:  # a target such as G sharp major, which no signature writes
        return ()
    return (*notes, above(target.root, LEADING)) if mode == "minor" else notes


def sensible_root(wish: Note, kind: ChordKind, held: Sequence[Note] = ()) -> Note:
    """Return a root that reads well under a kind of chord: as wished for, or its other name.

    A root that the key holds stays, unless its chord would carry a double flat: in B flat minor the
    minor seventh chord on G flat is written F#m7, in F sharp the III7 stays A#7, with its C double
    sharp. Any other root gives way where the other name saves double accidentals.

    >>> m7 = ChordKind.of("1 b3 5 b7")
    >>> str(sensible_root(Note.parse("Gb"), m7)), str(sensible_root(Note.parse("Ab"), m7))
    ('F#', 'Ab')
    """
    root = plain_root(wish, [note for note in held if abs(note.alteration) <= 1])
    other = _other_name(root)
    flattened = any(above(root, degree).alteration < -1 for degree in kind.degrees)
    if other == root or (root in held and not flattened):
        return root
    return min((root, other), key=lambda name: (_doubles(name, kind), name != root))


def sensible_roots(
    chords: Sequence[tuple[Note, ChordKind]], held: Sequence[Note] = ()
) -> tuple[Note, ...]:
    """Return the roots of a row of chords, the roots a fifth apart written a fifth apart.

    Where that would bring an awkward name, such as E sharp in C sharp minor, or a double
    accidental, the other name stands.

    >>> m7, dominant = ChordKind.of("1 b3 5 b7"), ChordKind.of("1 3 5 b7")
    >>> pair = ((Note.parse("Gb"), m7), (Note.parse("Cb"), dominant))
    >>> [str(root) for root in sensible_roots(pair)]
    ['F#', 'B']
    """
    roots: list[Note] = []
    for wish, kind in reversed(chords):
        root = sensible_root(wish, kind, held)
        tied = bool(roots) and (root.semitone - roots[0].semitone) % 12 == FIFTH.semitone
        if tied:
            root = above(roots[0], FIFTH)
            awkward = abs(root.alteration) > 1 or (root in AWKWARD and root not in held)
            root = _other_name(root) if awkward else root
        roots.insert(0, root)
    return tuple(roots)


def _other_name(root: Note) -> Note:
    """Return the name from the other side: A sharp for B flat; a natural stays."""
    return spell_near(root.semitone, Note(root.letter, -root.alteration))


def _doubles(root: Note, kind: ChordKind) -> int:
    """Count the double accidentals of a chord."""
    return sum(abs(above(root, degree).alteration) > 1 for degree in kind.degrees)
