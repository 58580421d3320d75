"""A chord: root, kind and bass. The reader takes what lead sheets use and prints one spelling."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from theorykit.errors import TheoryError, expect, expect_all, shown
from theorykit.notes.degree import Degree, above, enharmonics, plain_root
from theorykit.notes.kinds import ChordKind
from theorykit.notes.note import ENHARMONIC, Note, pretty_accidentals
from theorykit.notes.reader import Reader, reader
from theorykit.notes.symbol import ACCEPTED, plain_symbol, read_symbol
from theorykit.notes.values import Value

__all__ = ["NO_CHORD", "Chord"]

MOST_PLAIN = 5  # third and fifth: without them a chord is not read; a Bbb as the 7 of Cb7 is
MIDDLE, FARTHEST = 2, 24  # fifths: D, and how far names lie from it, up to three signs
NO_CHORD_TEXTS = frozenset(("N.C.", "NC", "N.C", "n.c.", "nc"))


@dataclass(frozen=True, slots=True, repr=False)
class Chord(Value):
    """A chord symbol: what it is built on, what it is made of, what stands in the bass.

    ``bass`` is None where the root is in the bass.

    >>> chord = Chord.parse("B♭7(♭9)/A♭")
    >>> str(chord), chord.pretty, [str(note) for note in chord.notes]
    ('Bb7b9/Ab', 'B♭7♭9/A♭', ['Bb', 'D', 'F', 'Ab', 'Cb'])
    """

    _reads_back = "Chord.parse"

    root: Note
    kind: ChordKind
    bass: Note | None = None

    def __post_init__(self) -> None:
        """Check the parts; a root in the bass is no slash chord."""
        if not isinstance(self.root, Note) or not isinstance(self.kind, ChordKind):
            raise TheoryError(
                f"not a root and a kind: {shown((self.root, self.kind))} "
                "(want a Note and a ChordKind, or use Chord.parse)"
            )
        if abs(self.root.alteration) > 1:
            raise TheoryError(
                f"a chord root has at most one accidental, not {self.root} (want {ACCEPTED})"
            )
        if self.bass is not None and not isinstance(self.bass, Note):
            raise TheoryError(f"not a bass: {shown(self.bass)} (want a Note or None)")
        if self.bass == self.root:
            object.__setattr__(self, "bass", None)

    @classmethod
    def parse(cls, text: str, *others: object) -> Chord:
        """Read a chord symbol, one at a time. The reverse of ``str``.

        >>> [str(Chord.parse(s)) for s in ("C-7", "F△7", "Bø", "G7(♯9,♭13)", "C6/9", "D/F#")]
        ['Cm7', 'Fmaj7', 'Bm7b5', 'G7#9b13', 'C6/9', 'D/F#']
        >>> Chord.parse("N.C.").notes
        ()
        >>> Chord.parse("Cmaj7b")
        Traceback (most recent call last):
        theorykit.errors.TheoryError: not a chord: 'Cmaj7b' (at character 6: 'b' is no mark that \
can follow; want b5 #5 b9 #9 #11 b13, add9, sus4, no3, or a bass such as /E)
        """
        if others:
            raise TheoryError(
                f"not one chord: {shown((text, *others))} (want one text with root, kind and bass, "
                "such as Chord.parse('Cm7/Bb'))"
            )
        plain = plain_symbol(text)
        if plain in NO_CHORD_TEXTS:
            return NO_CHORD
        return cls(*read_symbol(text, plain))

    @property
    def degrees(self) -> tuple[Degree, ...]:
        """The degrees of the kind, root first; nothing for N.C.

        >>> " ".join(str(degree) for degree in Chord.parse("Db7alt").degrees)
        '1 3 b7 b9 #9 #11 b13'
        """
        return self.kind.degrees

    @property
    def notes(self) -> tuple[Note, ...]:
        """The chord's notes spelled by degree, root first. A foreign bass is not among them.

        >>> [" ".join(map(str, Chord.parse(symbol).notes)) for symbol in ("Abdim7", "F#m7b5")]
        ['Ab Cb Ebb Gbb', 'F# A C E']
        """
        root = self.root
        return tuple([above(root, degree) for degree in self.kind.degrees])

    @property
    def lowest(self) -> Note:
        """The note in the bass.

        >>> str(Chord.parse("Gb/Bb").lowest), str(Chord.parse("Ebm7").lowest)
        ('Bb', 'Eb')
        """
        return self.bass if self.bass is not None else self.root

    @property
    def is_silent(self) -> bool:
        """True for N.C., which keeps C as a root that nothing prints.

        >>> Chord.parse("N.C.").is_silent, Chord.parse("C6").is_silent
        (True, False)
        """
        return not self.kind.degrees

    @property
    def pretty(self) -> str:
        """The symbol with ♭ and ♯.

        >>> Chord.parse("Bb7b9").pretty, Chord.parse("F#m7b5/E").pretty
        ('B♭7♭9', 'F♯m7♭5/E')
        """
        if self.is_silent:
            return str(self)
        bass = f"/{self.bass.pretty}" if self.bass else ""
        return f"{self.root.pretty}{pretty_accidentals(self.kind.symbol)}{bass}"

    def on(self, root: Note) -> Chord:
        """Return the same kind of chord on another root, without a bass of its own.

        >>> str(Chord.parse("G7b9").on(Note.parse("Db")))
        'Db7b9'
        """
        return replace(self, root=root, bass=None)

    def transposed(self, old: Note, new: Note, held: Iterable[Note] = ()) -> Chord:
        """Return the chord as it stands when ``old`` becomes ``new``.

        A root or bass that would carry a double accidental or an awkward name is respelled,
        unless the new key (``held`` are its notes) has it and the chord reads easily on it.

        >>> c, gb = Note.parse("C"), Note.parse("Gb")
        >>> str(Chord.parse("Db7").transposed(c, gb)), str(Chord.parse("G7/B").transposed(c, gb))
        ('G7', 'Db7/F')
        """
        if self.is_silent:
            return self
        in_key = frozenset(_held(held))
        moved = self.root.moved(old, new)
        root = self.readable_root(moved, in_key)
        bass = self._bass_below(root) if self.bass else None
        return Chord(root, self.kind, plain_root(bass, _roots(in_key)) if bass else None)

    def written_for(self, who: Reader | str) -> Chord:
        """Return the chord on the page of a reader, such as ``"B flat"`` or ``"alto saxophone"``.

        A chord that moving would give double accidentals stands on the other name of its root.

        >>> [str(Chord.parse(one).written_for("B flat")) for one in ("G7/B", "C#7", "N.C.")]
        ['A7/C#', 'Eb7', 'N.C.']
        >>> str(Chord.parse("Cm7b5").written_for("alto saxophone"))
        'Am7b5'
        """
        one = reader(who)
        if self.is_silent or not one.transposes:
            return self
        root = self._plainest(one.written_note(self.root))
        return self.transposed(self.root, root)

    def _plainest(self, root: Note) -> Note:
        """Return the name of a root on which the chord has fewest double accidentals."""
        names = sorted(enharmonics(root.semitone), key=lambda name: name != root)
        return min(names, key=lambda name: self._doubles(name))

    def _doubles(self, root: Note) -> int:
        """Count the double accidentals that the chord has on a root."""
        return sum(abs(above(root, degree).alteration) > 1 for degree in self.degrees)

    def readable_root(self, wish: Note, held: Iterable[Note] = ()) -> Note:
        """Return the root that this kind of chord is written on where ``wish`` is asked for.

        An awkward name stays where the key (``held`` are its notes) has it, unless the third, the
        fifth or the bass of the chord would carry a double accidental there: in G flat the IV is
        Cbmaj7 or Cb7, but the iv is Bm7.

        >>> gb = [Note.parse(name) for name in "Gb Ab Bb Cb Db Eb F".split()]
        >>> given = [Chord.parse(name) for name in ("Cmaj7", "C7", "Cm7")]
        >>> [str(one.readable_root(Note.parse("Cb"), gb)) for one in given]
        ['Cb', 'Cb', 'B']
        """
        in_key = frozenset(_held(held))
        if abs(expect(wish, Note, "a root", "a Note").alteration) > 1:  # its third may have no name
            return plain_root(wish)
        tones = [above(wish, degree) for degree in self.degrees if degree.number <= MOST_PLAIN]
        if self.bass is not None:
            tones.append(self._bass_below(wish))
        strange = any(abs(note.alteration) > 1 and note not in in_key for note in tones)
        return plain_root(wish, () if strange else _roots(in_key))

    def _bass_below(self, root: Note) -> Note:
        """Return the bass under another root, letters counted as far as names go.

        >>> far = Chord.parse("Db/E#")
        >>> [str(far._bass_below(Note.parse(root))) for root in ("C", "E#")]
        ['D##', 'G##']
        """
        place = self.lowest.fifths + root.fifths - self.root.fifths
        beyond = max(0, abs(place - MIDDLE) - FARTHEST)
        turns = -(-beyond // ENHARMONIC)
        return Note.from_fifths(place - ENHARMONIC * (turns if place > 0 else -turns))

    def __str__(self) -> str:
        if self.is_silent:
            return self.kind.symbol
        bass = f"/{self.bass}" if self.bass else ""
        return f"{self.root}{self.kind.symbol}{bass}"


def _roots(held: Iterable[Note]) -> frozenset[Note]:
    """Return the notes of a key on which chords stand: not the C## of D# minor."""
    return frozenset(note for note in held if abs(note.alteration) <= 1)


def _held(held: object) -> Iterable[Note]:
    """Return the notes of a key, or refuse what they are not."""
    if isinstance(held, frozenset):  # notes that were looked at before
        return held
    return expect_all(held, Note, "notes of a key", "notes such as Key.parse('C').notes")


NO_CHORD = Chord(Note("C"), ChordKind(()))
