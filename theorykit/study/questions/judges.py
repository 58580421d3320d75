"""Judges of notes, degrees, chords and words: whether they are right, and what they are."""

from __future__ import annotations

from dataclasses import dataclass

from theorykit.errors import TheoryError, shown
from theorykit.harmony.resolution import Move
from theorykit.harmony.tensions import degrees_over
from theorykit.harmony.wording import listed, ordinal, sentence
from theorykit.lines.guide_tones import guide_tones
from theorykit.notes.chord import Chord
from theorykit.notes.degree import Degree, above, written_above
from theorykit.notes.note import Note
from theorykit.study.questions.colour_judges import called, names
from theorykit.study.questions.question import Given, Judgement
from theorykit.study.questions.typed import (
    chords_typed,
    degree_typed,
    is_degree,
    note_typed,
    notes_typed,
    plain,
)

SEVENTH, FLAT_SEVENTH = Degree(7), Degree(7, -1)
A_THIRD = (3, 4)  # half steps above a root


@dataclass(frozen=True, slots=True)
class DegreeJudge:
    """Judges a degree by its sound over a chord; ``what`` is the note, as it was shown or played.

    A plain number is read as the chord has it: the 7th of a dominant is its ♭7.
    """

    chord: Chord
    degree: Degree
    what: str

    def judge(self, given: Given) -> Judgement:
        """Return whether a degree is that of the note, and what the given one would be."""
        typed = degree_typed(given)
        note = written_above(self.chord.root, self.degree).pretty
        subject = self.what if self.what == note else f"{self.what}, {note},"
        held = sentence(f"{subject} is {called(self.degree)} of {self.chord.pretty}")
        if self.degree.semitone in (typed.semitone, as_held(typed, self.chord).semitone):
            return Judgement(True, held)
        other = written_above(self.chord.root, typed).pretty
        return Judgement(
            False, f"{sentence(f'{called(typed)} of {self.chord.pretty} is {other}')} {held}"
        )


def as_held(degree: Degree, chord: Chord) -> Degree:
    """Return a plain number as the member of a chord that it names.

    >>> str(as_held(Degree(7), Chord.parse("G7"))), str(as_held(Degree(3), Chord.parse("Cm6")))
    ('b7', 'b3')
    """
    if degree.alteration or degree in chord.degrees:
        return degree
    return next((d for d in chord.degrees if d.number == degree.number), degree)


@dataclass(frozen=True, slots=True)
class NoteJudge:
    """Judges the note that stands on a degree of a chord, by its sound; ``near`` is how to find it.

    Whoever is wrong is told so much, and not the note alone.
    """

    chord: Chord
    degree: Degree
    near: str = ""

    def judge(self, given: Given) -> Judgement:
        """Return whether a note stands there, and what it is instead."""
        note = note_typed(given)
        wanted = written_above(self.chord.root, self.degree)
        held = sentence(f"{called(self.degree)} of {self.chord.pretty} is {wanted.pretty}")
        if note.semitone == wanted.semitone:
            other = f" {note.pretty} is the same key." if note != wanted else ""
            return Judgement(True, held + other)
        (own,) = degrees_over(self.chord, [note])
        near = f" It lies {self.near}." if self.near else ""
        place = f"{note.pretty} is {called(own)} of {self.chord.pretty}."
        return Judgement(False, f"{place} {held}{near}")


@dataclass(frozen=True, slots=True)
class GoalJudge:
    """Judges where a note of V goes: the tone of the next chord, as a note or as its degree.

    Another tone that lies just as near is right as well, unless the note has a way of its own; and
    what may stay may go a half step all the same, as a leading note does.
    """

    target: Chord
    move: Move

    def judge(self, given: Given) -> Judgement:
        """Return whether the note goes there, and what was named instead."""
        note = self._named(given)
        (own,) = degrees_over(self.target, [note])
        move = self.move
        held = self._held
        if note.semitone == move.to_note.semitone:
            return Judgement(True, held)
        place = f"{note.pretty} is {_place(own, self.target)} of {self.target.pretty}"
        tones = {tone.semitone for tone in self.target.notes}
        near = apart(note, move.note) == abs(move.semitones) and move.through is None
        if note.semitone in tones and near:
            return Judgement(True, f"{place} and lies just as near. {held}")
        if note.semitone in tones and not move.semitones and apart(note, move.note) == 1:
            return Judgement(True, f"{place}, a half step away: so it may go. {held}")
        return Judgement(False, f"{place}. {held}")

    @property
    def _held(self) -> str:
        """Say where the note goes, or that it stays."""
        move = self.move
        subject = f"{move.note.pretty}, {called(move.degree)},"
        if move.semitones:
            return f"{subject} goes to {move.to_note.pretty}: {move.words}."
        _, _, stays = move.words.partition(" ")
        return f"{subject} {stays}."

    def _named(self, given: Given) -> Note:
        """Return the note that was named, by name or as a degree of the next chord."""
        if isinstance(given, str) and is_degree(given):
            return above(self.target.root, as_held(degree_typed(given), self.target))
        return note_typed(given)


def _place(degree: Degree, chord: Chord) -> str:
    """Return a degree of a chord with its article: the root, the ♭3rd, the 11."""
    if degree.number > SEVENTH.number or (FLAT_SEVENTH in chord.degrees and degree == SEVENTH):
        return called(degree)
    return f"the {ordinal(degree)}"


def apart(one: Note, other: Note) -> int:
    """Return how many half steps two notes lie apart, the nearer way."""
    way = (one.semitone - other.semitone) % 12
    return min(way, 12 - way)


@dataclass(frozen=True, slots=True)
class ChordsJudge:
    """Judges chords one by one; ``what`` is what they are: the ii of G7.

    A chord may leave out or add tones as long as it has the root, and its third if it has more.
    ``place`` is where the first root stands; ``may_be_last`` lets the last chord stand for all.
    """

    chords: tuple[Chord, ...]
    what: str
    v: Chord
    place: str
    may_be_last: bool = False

    def judge(self, given: Given) -> Judgement:
        """Return whether the chords are those, and what the first other one is."""
        typed = chords_typed(given)
        shown_as = " ".join(chord.pretty for chord in self.chords)
        first = f"its root is {self.place}"
        if len(self.chords) > 1:
            first = f"the first root is {self.place}"
        held = sentence(f"{self.what} is {shown_as}: {first}")
        wanted = self.chords
        if self.may_be_last and len(typed) == 1:
            wanted = self.chords[-1:]
        if len(typed) != len(wanted):
            count = f"{len(self.chords)} chord{'s' * (len(self.chords) > 1)}"
            return Judgement(False, f"You gave {len(typed)}, and it takes {count}. {held}")
        for one, other in zip(typed, wanted, strict=True):
            if not is_meant(one, other):
                return Judgement(False, f"{self._apart(one, other)} {held}")
        return Judgement(True, held)

    def _apart(self, one: Chord, other: Chord) -> str:
        """Say what a wrong chord is."""
        if {n.semitone for n in one.notes} == {n.semitone for n in other.notes}:
            return f"{one.pretty} has the notes of {other.pretty} on another root."
        over = names(degrees_over(self.v, one.notes))
        notes = listed(note.pretty for note in one.notes)
        return f"{one.pretty} is {notes}; over {self.v.pretty} that is {over}."


def is_meant(one: Chord, other: Chord) -> bool:
    """Tell whether a chord is another by sound, or the same with fewer or more tones above.

    >>> meant = [("C#7", "Db7"), ("Db", "Db7"), ("Dm9", "Dm7"), ("Dm", "Dm7b5"), ("D7", "Dm7")]
    >>> [is_meant(Chord.parse(one), Chord.parse(other)) for one, other in meant]
    [True, True, True, False, False]
    """
    ours, theirs = ({d.semitone for d in chord.degrees} for chord in (one, other))
    same_root = one.root.semitone == other.root.semitone
    has_third = any(third in ours for third in A_THIRD)
    return same_root and has_third and (ours <= theirs or theirs <= ours)


@dataclass(frozen=True, slots=True)
class GuideToneJudge:
    """Judges the guide tones of three chords: a pair for each, in either order."""

    chords: tuple[Chord, ...]

    def judge(self, given: Given) -> Judgement:
        """Return whether all pairs are right, and what the first wrong note is."""
        notes = notes_typed(given)
        if len(notes) != 2 * len(self.chords):
            raise TheoryError(
                f"not guide tones: {shown(given)} (want two notes for each chord, such as "
                "F C | F B | E B)"
            )
        for place, chord in enumerate(self.chords):
            for note in notes[2 * place : 2 * place + 2]:
                if note.semitone not in {tone.semitone for tone in guide_tones(chord)}:
                    (own,) = degrees_over(chord, [note])
                    wrong = f"{note.pretty} is {_place(own, chord)} of {chord.pretty}."
                    return Judgement(False, f"{wrong} {self._held}")
            if notes[2 * place].semitone == notes[2 * place + 1].semitone:
                twice = f"{notes[2 * place].pretty} comes twice over {chord.pretty}."
                return Judgement(False, f"{twice} {self._held}")
        return Judgement(True, self._held)

    @property
    def _held(self) -> str:
        """Say what they are."""
        pairs = (
            f"{chord.pretty} {' and '.join(note.pretty for note in guide_tones(chord))}"
            for chord in self.chords
        )
        return f"{'; '.join(pairs)}."


@dataclass(frozen=True, slots=True)
class WordJudge:
    """Judges one of some words; each option has what is said of it, and other names.

    ``options`` are the word, its other names and a sentence that holds where it is the answer,
    ``would`` for each a sentence on what it would have been.
    """

    right: str
    options: tuple[tuple[str, tuple[str, ...]], ...]
    because: str
    would: tuple[str, ...]

    def judge(self, given: Given) -> Judgement:
        """Return whether the word is right, and what the given one would have been."""
        text = plain(given, listed((word for word, _ in self.options), "or")).lower().rstrip(".!")
        for (word, aliases), would in zip(self.options, self.would, strict=True):
            if text in (word.lower(), *(alias.lower() for alias in aliases)):
                right = word == self.right
                return Judgement(right, self.because if right else f"{would} {self.because}")
        wanted = listed((word for word, _ in self.options), "or")
        raise TheoryError(f"not an answer: {shown(given)} (want {wanted})")
