"""Roots and names of the chords in the place of a dominant."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import takewhile

from theorykit.errors import TheoryError
from theorykit.harmony.resolution import of_target
from theorykit.harmony.wording import TONIC_NAMES, listed
from theorykit.notes.chord import Chord
from theorykit.notes.degree import AWKWARD, Degree, above, degrees, plain_root, spell_near
from theorykit.notes.key import Key
from theorykit.notes.kinds import ChordKind
from theorykit.notes.note import Note

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


DOMINANT, MINOR_SEVENTH = ChordKind.of("1 3 5 b7"), ChordKind.of("1 b3 5 b7")
THIRD, FOURTH, SIXTH = degrees("3 4 6")
FLAT_SEVENTH = Degree(7, -1)


# === Names in sentences ===


@dataclass(frozen=True, slots=True)
class Facts:
    """A dominant, its target and the chords in its place: what sentences are made of."""

    dominant: Chord
    target: Chord
    chords: tuple[Chord, ...]

    @property
    def home(self) -> Note:
        """The note a fifth below the dominant, as the target spells it if it stands there."""
        below = above(self.dominant.root, FOURTH)
        same = below.semitone == self.target.root.semitone
        return self.target.root if same else plain_root(below)

    @property
    def substitute(self) -> Chord:
        """The tritone substitute, spelled a fifth below the first chord if that is its ii."""
        first = self.chords[0]
        root = tritone_root(self.dominant, self.target)
        if first.kind == MINOR_SEVENTH and above(first.root, FOURTH).semitone == root.semitone:
            root = plain_root(above(first.root, FOURTH))
        return Chord(root, DOMINANT)

    @property
    def plain(self) -> Chord:
        """The dominant seventh chord on the root of the dominant, whatever that one holds."""
        return Chord(self.dominant.root, DOMINANT)

    @property
    def at_home(self) -> bool:
        """Tell whether the dominant goes to the chord a fifth below."""
        return self.home.semitone == self.target.root.semitone

    @property
    def third(self) -> str:
        """Where a first chord on the 3rd of the dominant stands, with that note's own name."""
        whose = self.dominant if THIRD in self.dominant.degrees else self.plain
        asked, root = above(self.dominant.root, THIRD), self.chords[0].root
        other = "" if asked == root else f", {asked.pretty} (written {root.pretty})"
        return f"the 3rd of {whose.pretty}{other}"

    @property
    def names(self) -> dict[str, object]:
        """The names that a sentence of the table may hold, for the eye."""
        root, goal = self.dominant.root, of_target(self.dominant, self.target)
        return {
            "c": [chord.pretty for chord in self.chords],
            "r": [chord.root.pretty for chord in self.chords],
            "v": self.dominant.pretty,
            "plain": self.plain.pretty,
            "root": root.pretty,
            "on_third": self.third,
            "home": self.home.pretty,
            "key": self.home.pretty + " minor" * self._is_minor_home,
            "one": goal if self.at_home and goal in TONIC_NAMES else self.home.pretty,
            "goal": goal,
            "end": "home" if self.at_home else f"to {self.target.pretty}",
            "ii": above(root, FIFTH).pretty,
            "third": above(root, THIRD).pretty,
            "fourth": above(root, FOURTH).pretty,
            "under": plain_root(above(self.home, FLAT_SEVENTH)).pretty,
            "chain": listed(chord.pretty for chord in self.chords),
            **self._far_names,
        }

    @property
    def _is_minor_home(self) -> bool:
        """Tell whether the dominant goes to the minor chord a fifth below."""
        return self.at_home and MINOR_THIRD in self.target.degrees

    @property
    def _far_names(self) -> dict[str, str]:
        """The names of chords and notes away from the key, with those that they are written for."""
        chords, root, sub = self.chords, self.dominant.root, self.substitute
        far, goes = above(sub.root, FOURTH), self.target.root
        there = "there" if far.semitone == goes.semitone else f"to {goes.pretty}"
        leads = plain_root(above(chords[0].root, FOURTH))
        return {
            "four": _written_for(chords[0], above(self.home, FOURTH)),
            "seven": _written_for(chords[-1], above(self.home, FLAT_SEVENTH)),
            "above": _written_for(chords[0], above(root, MINOR_THIRD)),
            "below": _written_for(chords[0], above(root, SIXTH)),
            "sixth": _note_written_for(leads, above(self.home, SIXTH)),
            "sub": sub.pretty,
            "far": far.pretty,
            "goes": there,
        }

    def common(self, text: str) -> str:
        """Fill in where a substitute is common; told of home, it says so where V goes elsewhere."""
        said = text.format_map(self.names)
        if self.at_home or not ("{home}" in text or "{one}" in text):
            return said
        return (
            f"Where {self.dominant.pretty} goes to {self.home.pretty}: {said[0].lower()}{said[1:]}"
        )


def _written_for(chord: Chord, asked: Note) -> str:
    """Name a chord, with the name that its place in the key asks for where it is another one."""
    other = f" (written for {asked.pretty}{chord.kind.pretty})" if asked != chord.root else ""
    return chord.pretty + other


def _note_written_for(note: Note, asked: Note) -> str:
    """Name a note, with the name that its place in the key asks for where it is another one."""
    return note.pretty + (f" (written for {asked.pretty})" if asked != note else "")


def tritone_root(dominant: Chord, target: Chord) -> Note:
    """Return the root of the tritone substitute, spelled for the target's key.

    A name that the signature holds goes before the one that the tritone asks for: in G sharp minor
    the substitute of C7 is F#7.

    >>> str(tritone_root(Chord.parse("C7"), Chord.parse("G#m")))
    'F#'
    """
    root = sensible_root(above(dominant.root, Degree(5, -1)), DOMINANT, held_notes(target))
    return name_in_key(root, DOMINANT, signature_notes(target))
