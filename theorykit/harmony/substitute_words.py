"""What is said of a substitute, sentence by sentence, each out of the facts it tells."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from theorykit.harmony.readings import (
    BassStep,
    Clash,
    Reading,
    motion_words,
    move_words,
    tritone_of,
)
from theorykit.harmony.resolution import Resolution
from theorykit.harmony.wording import counted, listed, ordinal, sentence
from theorykit.notes.chord import Chord
from theorykit.notes.degree import Degree
from theorykit.notes.note import Note

__all__ = [
    "bass_words",
    "clash_words",
    "degree_names_of",
    "over_words",
    "resolution_words",
    "shared_words",
    "sounds",
]


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
