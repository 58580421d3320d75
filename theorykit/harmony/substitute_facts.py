"""What is true of one substitute alone, and the names that its sentences mention."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from theorykit.harmony.resolution import of_target
from theorykit.harmony.shapes import SHAPES
from theorykit.harmony.shortcut import Shortcut
from theorykit.harmony.substitute_roots import held_notes, sensible_root
from theorykit.harmony.substitute_words import degree_names_of, sounds
from theorykit.harmony.tensions import degrees_over
from theorykit.harmony.wording import listed
from theorykit.notes.chord import Chord
from theorykit.notes.degree import Degree, degrees
from theorykit.notes.kinds import ChordKind
from theorykit.notes.note import Note
from theorykit.notes.spelling import above, plain_root

__all__ = ["FACTS", "Facts", "shared_diminished", "slide_chord"]

DOMINANT, MINOR_SEVENTH = ChordKind.of("1 3 5 b7"), ChordKind.of("1 b3 5 b7")
DIMINISHED, FLAT_NINE = ChordKind.of("1 b3 b5 bb7"), ChordKind.of("1 3 5 b7 b9")
MAJOR_SEVENTH = next(row for row in SHAPES if row.suffix == "maj7")
THIRD, FOURTH, FIFTH, SIXTH = degrees("3 4 5 6")
FAMILY = degrees("1 b3 b5 6")  # roots a minor third apart
FLAT_SEVENTH, FLAT_NINTH = Degree(7, -1), Degree(9, -1)


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
    def names(self) -> dict[str, object]:
        """The names that a sentence of the table may hold, for the eye."""
        root = self.dominant.root
        goal = of_target(self.dominant, self.target)
        substitute = self.substitute
        return {
            "c": [chord.pretty for chord in self.chords],
            "r": [chord.root.pretty for chord in self.chords],
            "v": self.dominant.pretty,
            "root": root.pretty,
            "home": self.home.pretty,
            "goal": goal,
            "goes": self.target.root.pretty,
            "ii": above(root, FIFTH).pretty,
            "third": above(root, THIRD).pretty,
            "fourth": above(root, FOURTH).pretty,
            "under": plain_root(above(self.home, FLAT_SEVENTH)).pretty,
            "four": _as_four(self.chords[0], self.home),
            "sixth": plain_root(above(self.home, SIXTH)).pretty,
            "sub": substitute.pretty,
            "far": above(substitute.root, FOURTH).pretty,
            "chain": listed(chord.pretty for chord in self.chords),
        }


def _as_four(chord: Chord, home: Note) -> str:
    """Name a chord as the iv of a key, with the name that its function asks for."""
    asked = above(home, FOURTH)
    other = f" (written for {asked.pretty}{chord.kind.pretty})" if asked != chord.root else ""
    return chord.pretty + other


def tritone_root(dominant: Chord, target: Chord) -> Note:
    """Return the root of the tritone substitute, spelled for the target's key."""
    return sensible_root(above(dominant.root, Degree(5, -1)), DOMINANT, held_notes(target))


def slide_chord(dominant: Chord, target: Chord) -> Chord:
    """Return the major seventh chord on the 3rd of a dominant, in the spelling that reads best.

    >>> [str(slide_chord(Chord.parse(v), Chord.parse(i))) for v, i in (("G7", "C"), ("C#7", "F#"))]
    ['Bmaj7', 'Fmaj7']
    """
    found = Shortcut(dominant, target, MAJOR_SEVENTH, THIRD.semitone)
    return Chord(found.root, ChordKind(MAJOR_SEVENTH.degrees))


def shared_diminished(dominant: Chord, target: Chord) -> tuple[Chord, tuple[Chord, ...]]:
    """Return a diminished seventh chord and the four dominants that hold it with their b9.

    >>> shared, family = shared_diminished(Chord.parse("G7"), Chord.parse("C"))
    >>> str(shared), [str(chord) for chord in family]
    ('Bdim7', ['G7', 'Bb7', 'Db7', 'E7'])
    """
    held = held_notes(target)
    roots = (sensible_root(above(dominant.root, d), DOMINANT, held) for d in FAMILY[1:])
    family = (Chord(dominant.root, DOMINANT), *(Chord(root, DOMINANT) for root in roots))
    third = sensible_root(above(dominant.root, THIRD), DIMINISHED, held)
    return Chord(third, DIMINISHED), family


def _family_facts(facts: Facts) -> tuple[str, ...]:
    """Tell which dominants share the diminished seventh chord, and what each brings."""
    shared, family = shared_diminished(facts.dominant, facts.target)
    root = facts.dominant.root.pretty
    brings = [
        f"{chord.pretty} brings {degree_names_of(degrees_over(facts.dominant, chord.notes))}"
        for chord in family[1:]
    ]
    return (
        f"{listed(chord.pretty for chord in family)}, each with its ♭9 and without its root, are "
        f"the same diminished seventh chord: {shared.pretty}, {sounds(shared.notes)}.",
        f"Over {root}, {listed(brings)}.",
    )


def _slide_facts(facts: Facts) -> tuple[str, ...]:
    """Explain the major seventh chord a half step below I, from both sides."""
    slide, substitute = facts.chords[0], facts.substitute
    second = _second_of(facts)
    over = degree_names_of(degrees_over(facts.dominant, slide.notes))
    inside = degree_names_of(degrees_over(second, slide.notes))
    hanging = above(facts.dominant.root, Degree(7))
    falls = above(facts.dominant.root, FLAT_SEVENTH)
    return (
        f"Its notes {sounds(slide.notes)} are {over} of {facts.dominant.pretty}.",
        f"The same notes are {inside} of {second.pretty}, the related ii of the tritone substitute "
        f"{substitute.pretty}: {slide.pretty} is {second.pretty} with its 9 and without its root.",
        f"The natural 7 of {facts.dominant.pretty}, {hanging.pretty}, is the 11 of "
        f"{substitute.pretty}, and falls a half step to its 3rd, {falls.pretty}, which is the ♭7 "
        f"of {facts.dominant.pretty}.",
        f"Over {substitute.root.pretty} the whole chord is "
        f"{degree_names_of(degrees_over(substitute, slide.notes))}: the suspended sound of "
        f"{substitute.pretty}.",
    )


def _second_of(facts: Facts) -> Chord:
    """Return the related ii of the tritone substitute."""
    return Chord(above(facts.substitute.root, FIFTH), MINOR_SEVENTH)


def _upper_facts(facts: Facts) -> tuple[str, ...]:
    """Tell what the related ii of the substitute is without its root and with its 9."""
    slide, second = slide_chord(facts.dominant, facts.target), facts.chords[0]
    return (
        f"With its 9 and without its root, {second.pretty} is {slide.pretty}, a major seventh "
        f"chord on the 3rd of {facts.dominant.pretty}, a half step below {facts.home.pretty}: "
        f"{degree_names_of(degrees_over(facts.dominant, slide.notes))} over "
        f"{facts.dominant.root.pretty}.",
    )


def _chain_facts(facts: Facts) -> tuple[str, ...]:
    """Tell what the chain becomes with a tritone substitute in every other place."""
    first = facts.chords
    mixed = [
        Chord(tritone_root(chord, facts.target), DOMINANT) if place % 2 == 0 else chord
        for place, chord in enumerate(first)
    ]
    return (
        f"With the tritone substitute in every other place the bass falls in half steps: "
        f"{', '.join(chord.pretty for chord in mixed)}.",
    )


FACTS: dict[str, Callable[[Facts], tuple[str, ...]]] = {
    "tritone substitute": _family_facts,
    "related ii of the tritone substitute": _upper_facts,
    "ii-V of the tritone substitute": _upper_facts,
    "major seventh chord a half step below I": _slide_facts,
    "dominant a minor third above": _family_facts,
    "dominant a minor third below": _family_facts,
    "passing diminished chord": _family_facts,
    "chain of dominants": _chain_facts,
}
