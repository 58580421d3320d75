"""Reasons for substitutes, in sentences that follow from their notes."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from itertools import pairwise

from theorykit.harmony.resolution import Resolution
from theorykit.harmony.shapes import SHAPES
from theorykit.harmony.shortcuts import Shortcut
from theorykit.harmony.substitution.substitute_roots import (
    DOMINANT,
    MINOR_SEVENTH,
    Facts,
    held_notes,
    sensible_root,
    tritone_root,
)
from theorykit.harmony.superimposition import (
    BassStep,
    Clash,
    Reading,
    motion_words,
    move_words,
    tritone_of,
)
from theorykit.harmony.tensions import degrees_over
from theorykit.harmony.wording import counted, listed, ordinal, sentence
from theorykit.notes.chord import Chord
from theorykit.notes.degree import Degree, above, degrees
from theorykit.notes.kinds import ChordKind
from theorykit.notes.note import Note


def sounds(notes: Iterable[Note]) -> str:
    """Return notes for the eye with spaces between.

    >>> sounds(Chord.parse("Db7").notes)
    'D♭ F A♭ C♭'
    """
    return " ".join(note.pretty for note in notes)


def degree_names_of(found: Iterable[Degree]) -> str:
    """Return degrees for the eye with spaces between."""
    return " ".join(degree.pretty for degree in found)


def shared_words(readings: tuple[Reading, ...]) -> tuple[str, ...]:
    """Return what the new chords keep of the original: the notes in common, then the tritone."""
    new = _new(readings)
    return (*(sentence(_common(one)) for one in new), *_tritone(readings, new))


def _new(readings: tuple[Reading, ...]) -> tuple[Reading, ...]:
    """Return the readings of the chords that are not the original itself."""
    return tuple(one for one in readings if not one.is_original)


def _common(one: Reading) -> str:
    """Say which notes a chord has in common with the original."""
    pairs = [_pair(own, original) for own, original in one.shared]
    both = f"{one.chord.pretty} and {one.original.pretty}"
    if not pairs:
        return f"{both} have no note in common"
    noun = counted(len(pairs), "note")
    return f"{both} have {noun} in common: {listed(pairs)}"


def _pair(own: Note, original: Note) -> str:
    """Name a note that two chords hold, and its other spelling if it has one."""
    return original.pretty if own == original else f"{original.pretty} (written {own.pretty})"


def _tritone(readings: tuple[Reading, ...], new: tuple[Reading, ...]) -> Iterator[str]:
    """Say whether the tritone is kept, and what its notes become."""
    original = readings[0].original
    pair = tritone_of(original)
    if not pair:
        yield f"{original.pretty} has no tritone of 3rd and ♭7th to keep."
        return
    notes = f"{pair[0].pretty} and {pair[1].pretty}"
    keepers = [one for one in new if one.keeps_tritone]
    for one in keepers:
        yield _kept(one, notes)
    if not keepers:
        these = listed((one.chord.pretty for one in new), "or")
        comes = f"; it comes with {original.pretty} itself" if len(new) < len(readings) else ""
        yield f"The tritone of {original.pretty}, {notes}, is not in {these}{comes}."


def _kept(one: Reading, notes: str) -> str:
    """Say what the 3 and the b7 of the original are in a chord that keeps them."""
    places = {note.semitone: degree for note, degree in zip(one.chord.notes, one.own, strict=True)}
    third, seventh = (places[note.semitone] for note in tritone_of(one.original))
    return (
        f"The tritone is kept: {notes}, the 3rd and the ♭7th of {one.original.pretty}, are the "
        f"{ordinal(third)} and the {ordinal(seventh)} of {one.chord.pretty}."
    )


def bass_words(steps: tuple[BassStep, ...], plain: BassStep, original: Chord) -> tuple[str, ...]:
    """Return how the bass moves, and how the original's own bass does."""
    way = listed(step.words for step in steps)
    if steps == (plain,):
        return (f"The bass is that of {original.pretty}: {way}.",)
    return (f"In the bass {way}.", f"With {original.pretty} alone, {plain.words}.")


def over_words(readings: tuple[Reading, ...]) -> tuple[str, ...]:
    """Return what the notes are over the original bass and over their own."""
    return tuple(
        f"{one.chord.pretty} ({sounds(one.chord.notes)}) is {degree_names_of(one.over)} over "
        f"{one.original.pretty} and {degree_names_of(one.own)} over its own root."
        for one in _new(readings)
    )


def clash_words(readings: tuple[Reading, ...]) -> tuple[str, ...]:
    """Return what rubs over the original and why it may pass."""
    original = readings[0].original.pretty
    clashes = [clash for one in readings for clash in one.clashes]
    if not clashes:
        return (f"Nothing in it rubs over {original}.",)
    reasons = dict.fromkeys(clash.why for clash in clashes)
    said = [text for why in reasons for text in _one_reason(why, clashes)]
    return (*said, *_gone([clash for clash in clashes if not clash.is_ahead], original))


def _gone(clashes: list[Clash], original: str) -> Iterator[str]:
    """Say what becomes of the rubs where nobody plays the original; what lies ahead stays."""
    if not clashes:
        return
    chords = listed(dict.fromkeys(clash.chord.pretty for clash in clashes))
    many = len({clash.why for clash in clashes}) > 1
    rubs = "those rubs are gone" if many else "that rub is gone"
    yield f"Where the whole band plays {chords} in place of {original}, {rubs}."


def _one_reason(why: str, clashes: list[Clash]) -> Iterator[str]:
    """Say once what rubs, then for each chord that brings it why it may pass."""
    yield sentence(why)
    for clash in clashes:
        if clash.why == why:
            yield sentence(clash.excuse)


def resolution_words(readings: tuple[Reading, ...], plain: Resolution) -> tuple[str, ...]:
    """Return where the notes of each chord go, with the whole motion, beside the original's."""
    said = []
    for one in readings:
        ways = "; ".join(move_words(move) for move in one.moves)
        said.append(f"{one.chord.pretty} to {one.following.pretty}: {ways}. {_sum(one.resolution)}")
    if not readings[-1].is_original:
        way = f"{plain.chord.pretty} to {plain.target.pretty}"
        said.append(f"{way}, for comparison: {motion_words(plain)}.")
    return tuple(said)


def _sum(found: Resolution) -> str:
    """Return the numbers of one resolution as a sentence."""
    return f"In all {motion_words(found)}."


# === Facts of one substitute alone ===

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
    "leading-note diminished chord": _family_facts,
    "chain of dominants": _chain_facts,
}
