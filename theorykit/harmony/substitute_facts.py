"""What is true of one substitute alone, told in sentences of its own."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from itertools import pairwise

from theorykit.harmony.shapes import SHAPES
from theorykit.harmony.shortcut import Shortcut
from theorykit.harmony.substitute_names import DOMINANT, MINOR_SEVENTH, Facts, tritone_root
from theorykit.harmony.substitute_roots import held_notes, sensible_root
from theorykit.harmony.substitute_words import degree_names_of, sounds
from theorykit.harmony.tensions import degrees_over
from theorykit.harmony.wording import listed
from theorykit.notes.chord import Chord
from theorykit.notes.degree import Degree, degrees
from theorykit.notes.kinds import ChordKind
from theorykit.notes.note import Note
from theorykit.notes.spelling import above

__all__ = ["FACTS", "shared_diminished", "slide_chord"]

DIMINISHED = ChordKind.of("1 b3 b5 bb7")
MAJOR_SEVENTH = next(row for row in SHAPES if row.suffix == "maj7")
THIRD, FOURTH, FIFTH = degrees("3 4 5")
FAMILY = degrees("1 b3 b5 6")  # roots a minor third apart
FLAT_SEVENTH = Degree(7, -1)


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
    root, sub = facts.dominant.root, substitute.root
    hanging, falls = above(root, Degree(7)), above(root, FLAT_SEVENTH)
    eleventh = _other_name(above(sub, FOURTH), hanging)
    seventh = _other_name(falls, above(sub, THIRD))
    return (
        f"Its notes {sounds(slide.notes)} are {over} of {facts.dominant.pretty}.",
        f"The same notes are {inside} of {second.pretty}, the related ii of the tritone substitute "
        f"{substitute.pretty}: {slide.pretty} is {second.pretty} with its 9 and without its root.",
        f"The natural 7 of {facts.dominant.pretty}, {hanging.pretty}, is the 11 of "
        f"{substitute.pretty}{eleventh}; there it wants to fall a half step to the 3rd, "
        f"{above(sub, THIRD).pretty}, which is the ♭7 of {facts.dominant.pretty}{seventh}.",
        f"Over {substitute.root.pretty} the whole chord is "
        f"{degree_names_of(degrees_over(substitute, slide.notes))}: the suspended sound of "
        f"{substitute.pretty}.",
    )


def _other_name(asked: Note, named: Note) -> str:
    """Return the name that a place asks for behind a note that was named otherwise."""
    return f" ({asked.pretty})" if asked != named else ""


def _second_of(facts: Facts) -> Chord:
    """Return the related ii of the tritone substitute."""
    return Chord(above(facts.substitute.root, FIFTH), MINOR_SEVENTH)


def _upper_facts(facts: Facts) -> tuple[str, ...]:
    """Tell what the related ii of the substitute is without its root and with its 9."""
    slide, second = slide_chord(facts.dominant, facts.target), facts.chords[0]
    place = Facts(facts.dominant, facts.target, (slide,)).third
    return (
        f"With its 9 and without its root, {second.pretty} is {slide.pretty}, a major seventh "
        f"chord on {place}, a half step below {facts.home.pretty}: "
        f"{degree_names_of(degrees_over(facts.dominant, slide.notes))} over "
        f"{facts.dominant.root.pretty}.",
    )


def _chain_facts(facts: Facts) -> tuple[str, ...]:
    """Tell what the chain becomes with a tritone substitute in every other place."""
    chain = [chord.on(chord.root) for chord in facts.chords]
    mixed = [
        Chord(tritone_root(chord, facts.target), DOMINANT) if place % 2 == 0 else chord
        for place, chord in enumerate(chain)
    ]
    return (
        f"With the tritone substitute in every other place the bass falls in half steps: "
        f"{', '.join(chord.pretty for chord in mixed)}.",
        *_breaks(chain),
    )


def _breaks(chain: list[Chord]) -> Iterator[str]:
    """Say where a chain changes from flats to sharps: written so, a fifth looks like none."""
    for chord, following in pairwise(chain):
        asked = above(chord.root, FOURTH)
        if asked != following.root:
            goal = following.on(asked).pretty
            yield f"{chord.pretty} is the V of {goal}, which is written {following.pretty} here."


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
