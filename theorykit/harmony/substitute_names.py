"""A dominant and the chords in its place, and the names that sentences about them mention."""

from __future__ import annotations

from dataclasses import dataclass

from theorykit.harmony.resolution import TONIC_NAMES, of_target
from theorykit.harmony.substitute_roots import (
    held_notes,
    name_in_key,
    sensible_root,
    signature_notes,
)
from theorykit.harmony.wording import listed
from theorykit.notes.chord import Chord
from theorykit.notes.degree import Degree, degrees
from theorykit.notes.kinds import ChordKind
from theorykit.notes.note import Note
from theorykit.notes.spelling import above, plain_root

__all__ = ["DOMINANT", "MINOR_SEVENTH", "Facts", "tritone_root"]

DOMINANT, MINOR_SEVENTH = ChordKind.of("1 3 5 b7"), ChordKind.of("1 b3 5 b7")
THIRD, FOURTH, SIXTH = degrees("3 4 6")
FIFTH = Degree(5)
MINOR_THIRD = Degree(3, -1)
FLAT_SEVENTH = Degree(7, -1)


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
