"""Judges of colours and shapes over V: what they bring, lack and bring besides."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from theorykit.errors import TheoryError
from theorykit.harmony.colours import CHORD_TONES, COLOURS, Colour
from theorykit.harmony.shortcuts import Shortcut
from theorykit.harmony.tensions import degrees_over
from theorykit.harmony.wording import listed, sentence
from theorykit.notes.chord import Chord
from theorykit.notes.degree import Degree, written_above
from theorykit.notes.note import Note
from theorykit.study.questions.question import Given, Judgement
from theorykit.study.questions.typed import colour_typed, note_typed, shape_typed

SEVENTH, THIRD, ELEVENTH = Degree(7), Degree(3), Degree(11)
FEWEST = 3  # notes of a shape


def names(found: Iterable[Degree]) -> str:
    """List degrees for the eye: the natural 7 is called so, beside the flat one.

    >>> from theorykit.notes.degree import degrees
    >>> names(degrees("1 b9 13")), names(degrees("7"))
    ('1, ♭9 and 13', 'natural 7')
    """
    return listed(f"{'natural ' * (degree == SEVENTH)}{degree.pretty}" for degree in found)


def called(degree: Degree) -> str:
    """Return a degree with its article: the root, the ♭9, the natural 7."""
    return "the root" if degree == Degree(1) else f"the {names([degree])}"


def tensions_of(found: Iterable[Degree]) -> frozenset[int]:
    """Return what degrees add to a plain dominant, in half steps above its root."""
    plain_tones = {degree.semitone for degree in CHORD_TONES}
    return frozenset(degree.semitone for degree in found) - plain_tones


def thought(best: Shortcut) -> str:
    """Return what to think of without its name: the shape, and the ways to where it stands.

    >>> from theorykit import shortcuts
    >>> thought(shortcuts("G7", "b9 13")[0]), thought(shortcuts("G7", "b9 #11")[0])
    ('a major triad on the 6th of V or the 3rd of I', \
'a major triad a half step above I, the ♯11 of V')
    """
    near = [one for one in best.routes if one.startswith("a half step")]
    first, second = [one for one in best.routes if one not in near][:2]
    noun = f"{'an' if best.row.noun[0] in 'aeiou' else 'a'} {best.row.noun}"
    if best.second is not None:
        return f"two {best.row.noun}s, the first on {first} or {second}"
    if near:
        return f"{noun} {near[0]}, {first}"
    return f"{noun} on {first} or {second}"


def _suspends(row: Colour) -> bool:
    """Tell whether a colour holds the 11 in the place of the 3."""
    return ELEVENTH in row.degrees and THIRD not in row.degrees


@dataclass(frozen=True, slots=True)
class ShapeJudge:
    """Judges a shape by its sound: it brings the colour, and nothing besides but chord tones."""

    v: Chord
    colour: Colour
    best: Shortcut

    def judge(self, given: Given) -> Judgement:
        """Return whether a shape brings the colour, and what it is over V."""
        brought = shape_typed(given)
        if brought.symbol is not None and brought.symbol.root == self.v.root:
            raise TheoryError(
                f"{brought.name} is {self.v.pretty} itself with a colour "
                "(want the shape to think of, such as E, Abm or Ab melodic minor)"
            )
        found = degrees_over(self.v, brought.notes)
        lacks, extra = self._lacks(found), self._extra(found)
        other = self._other(found)
        verb = "are" if " and " in brought.name else "is"
        said = f"Over {self.v.pretty}, {brought.name} {verb} {names(found)}"
        if len(found) >= FEWEST and not lacks and not extra and other is None:
            return Judgement(
                True, f"{said}: that is {self.colour.spoken}. {self._way(brought.notes)}"
            )
        faults = [f"it lacks {_the(lacks)}"] if lacks else []
        faults += [f"it brings {_the(extra)} besides"] if extra else []
        if not faults and len(found) < FEWEST:
            faults = ["a shape has three notes and more"]
        instead = f"; that is {other.spoken}" if other is not None else ""
        fault = f"{said}: {' and '.join(faults)}{instead}.".replace(": ;", ";")
        return Judgement(False, f"{fault} Think of {thought(self.best)}.")

    def _way(self, notes: tuple[Note, ...]) -> str:
        """Return where the plainest shape stands: the one that was given, or another."""
        same = {note.semitone for note in notes} == {note.semitone for note in self.best.notes}
        return sentence(self.best.words if same else f"the plainest way: {self.best.words}")

    def _lacks(self, found: Sequence[Degree]) -> tuple[Degree, ...]:
        """Return the tensions of the colour that do not sound."""
        sounds = {degree.semitone for degree in found}
        return tuple(d for d in self.colour.tensions if d.semitone not in sounds)

    def _extra(self, found: Sequence[Degree]) -> tuple[Degree, ...]:
        """Return what sounds and is neither of the colour nor of the chord."""
        own = {d.semitone for d in (*self.colour.degrees, *self.colour.passing)}
        free = own | ({d.semitone for d in CHORD_TONES} - self._suspended())
        return tuple(degree for degree in found if degree.semitone not in free)

    def _suspended(self) -> set[int]:
        """Return the 3rd where the colour suspends it."""
        return {THIRD.semitone} if _suspends(self.colour) else set()

    def _other(self, found: Sequence[Degree]) -> Colour | None:
        """Return another colour that is just these notes, where this one is not."""
        sounds = {degree.semitone for degree in found}
        if sounds == {degree.semitone for degree in self.colour.degrees}:
            return None
        same = (r for r in COLOURS if {d.semitone for d in r.degrees} == sounds)
        return next((row for row in same if row != self.colour), None)


def _the(found: Sequence[Degree]) -> str:
    """List degrees with their articles."""
    return listed(called(degree) for degree in found)


@dataclass(frozen=True, slots=True)
class ColourJudge:
    """Judges the name of a colour: right is every one that adds the same to V.

    ``what`` is what was shown or played, as subject and verb of a sentence: ``E is``. ``passing``
    are the degrees that it has besides.
    """

    v: Chord
    colour: Colour
    what: str
    passing: tuple[Degree, ...] = ()

    def judge(self, given: Given) -> Judgement:
        """Return whether a colour is the one, and what the given one would be."""
        typed = colour_typed(given)
        degrees = typed.degrees if isinstance(typed, Colour) else typed
        name = typed.pretty if isinstance(typed, Colour) else names(typed)
        own = self.colour
        besides = f", with {_the(self.passing)} in passing," if self.passing else ""
        held = sentence(
            f"{self.what} {names(own.degrees)}{besides} over {self.v.pretty}: {own.spoken}"
        )
        if tensions_of(degrees) == tensions_of(own.degrees):
            return Judgement(True, held)
        notes = listed(written_above(self.v.root, degree).pretty for degree in degrees)
        would = f"{name} would be {notes} over {self.v.pretty}"
        return Judgement(False, f"{sentence(would)} {held}")


@dataclass(frozen=True, slots=True)
class WrongNoteJudge:
    """Judges which of some shown notes does not belong to a colour over V."""

    v: Chord
    colour: Colour
    shown: tuple[Note, ...]
    wrong: Note
    meant: Degree

    def judge(self, given: Given) -> Judgement:
        """Return whether the note is the wrong one, and what the given one is."""
        note = note_typed(given)
        (own,) = degrees_over(self.v, [self.wrong])
        should = written_above(self.v.root, self.meant).pretty
        held = (
            f"{self.wrong.pretty} is {called(own)} of {self.v.pretty}; "
            f"{self.colour.spoken} has {should}, {called(self.meant)}."
        )
        if note.semitone == self.wrong.semitone:
            return Judgement(True, held)
        (other,) = degrees_over(self.v, [note])
        place = f"{note.pretty} is {called(other)} of {self.v.pretty}"
        if note.semitone in {one.semitone for one in self.shown}:
            return Judgement(False, f"{place} and belongs to the colour. {held}")
        return Judgement(False, f"{place} and is not among the notes that are shown. {held}")
