"""How the roots of substitutes are spelled: for the key, for the eye, and pairs alike."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from itertools import takewhile

from theorykit.errors import TheoryError
from theorykit.notes.chord import Chord
from theorykit.notes.degree import Degree
from theorykit.notes.key import Key
from theorykit.notes.kinds import ChordKind
from theorykit.notes.note import Note
from theorykit.notes.spelling import AWKWARD, above, plain_root, spell_near

__all__ = ["held_notes", "name_in_key", "sensible_root", "sensible_roots", "signature_notes"]

FIFTH = Degree(5)
MINOR_THIRD = Degree(3, -1)
LEADING = Degree(7)
DIMINISHED_SEVENTH = Degree(7, -2)


@lru_cache(maxsize=64)
def held_notes(target: Chord) -> tuple[Note, ...]:
    """Return the notes of the target's key, the leading note of minor among them.

    >>> [str(note) for note in held_notes(Chord.parse("F#m6"))]
    ['F#', 'G#', 'A', 'B', 'C#', 'D', 'E', 'E#']
    """
    notes = signature_notes(target)
    minor = MINOR_THIRD in target.degrees
    return (*notes, above(target.root, LEADING)) if notes and minor else notes


def signature_notes(target: Chord) -> tuple[Note, ...]:
    """Return the notes of the signature of the target's key; none where no signature writes it.

    >>> [str(note) for note in signature_notes(Chord.parse("F#m6"))]
    ['F#', 'G#', 'A', 'B', 'C#', 'D', 'E']
    >>> signature_notes(Chord.parse("G#"))
    ()
    """
    try:
        return Key(target.root, "minor" if MINOR_THIRD in target.degrees else "major").notes
    except TheoryError:
        return ()


def sensible_root(wish: Note, kind: ChordKind, held: Sequence[Note] = ()) -> Note:
    """Return a root that reads well under a kind of chord: as wished for, or its other name.

    A root that the key holds stays, unless its chord would carry a double flat: in B flat minor the
    minor seventh chord on G flat is written F#m7, in F sharp the III7 stays A#7, with its C double
    sharp. Any other root gives way where the other name saves double accidentals. A diminished
    seventh chord brings its double flat along: before C flat it stands on B flat, not on A sharp.

    >>> m7, dim7 = ChordKind.of("1 b3 5 b7"), ChordKind.of("1 b3 b5 bb7")
    >>> str(sensible_root(Note.parse("Gb"), m7)), str(sensible_root(Note.parse("Ab"), m7))
    ('F#', 'Ab')
    >>> str(sensible_root(Note.parse("Bb"), dim7, Key.parse("Cb").notes))
    'Bb'
    """
    root = plain_root(wish, [note for note in held if abs(note.alteration) <= 1])
    other = _other_name(root)
    fully = DIMINISHED_SEVENTH in kind.degrees
    flattened = not fully and any(above(root, d).alteration < -1 for d in kind.degrees)
    if other == root or (root in held and not flattened):
        return root
    return min((root, other), key=lambda name: (_doubles(name, kind), name != root))


def sensible_roots(
    chords: Sequence[tuple[Note, ChordKind]], held: Sequence[Note] = ()
) -> tuple[Note, ...]:
    """Return the roots of a row of chords, the roots a fifth apart written a fifth apart.

    Where that would bring an awkward name, such as E sharp in C sharp minor, or a double
    accidental, the other name stands, and what follows it up to the first root that the key holds
    takes its plainer name too: F7 B♭7 D♯7 G♯7 into C sharp minor.

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
            if awkward:
                root = _other_name(root)
                roots = _plainer(roots, [kind for _, kind in chords[-len(roots) :]], held)
        roots.insert(0, root)
    return tuple(roots)


def _plainer(roots: Sequence[Note], kinds: Sequence[ChordKind], held: Sequence[Note]) -> list[Note]:
    """Return roots with the plainer name of each up to the first that the key holds."""
    free = list(takewhile(lambda root: root not in held, roots))
    plain = [
        min((root, _other_name(root)), key=lambda name: (_doubles(name, kind), name != root))
        for root, kind in zip(free, kinds, strict=False)
    ]
    return [*plain, *roots[len(free) :]]


def name_in_key(root: Note, kind: ChordKind, held: Sequence[Note]) -> Note:
    """Return the key's own name for a root, unless it is awkward or costs a double accidental.

    >>> held, dominant = Key.parse("G# minor").notes, ChordKind.of("1 3 5 b7")
    >>> str(name_in_key(Note.parse("Gb"), dominant, held))
    'F#'
    """
    other = _other_name(root)
    plain = other in held and other not in AWKWARD
    return other if plain and _doubles(other, kind) <= _doubles(root, kind) else root


def _other_name(root: Note) -> Note:
    """Return the name from the other side: A sharp for B flat; a natural stays."""
    return spell_near(root.semitone, Note(root.letter, -root.alteration))


def _doubles(root: Note, kind: ChordKind) -> int:
    """Count the double accidentals of a chord."""
    return sum(abs(above(root, degree).alteration) > 1 for degree in kind.degrees)
