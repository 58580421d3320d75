"""Notes: a letter and an alteration, never a number; and pitches, which are notes in an octave."""

from __future__ import annotations

import re
from dataclasses import dataclass

from theorykit.errors import TheoryError, expect, shown
from theorykit.notes.reader import Reader, reader
from theorykit.notes.values import Value

__all__ = [
    "LETTERS",
    "MOST_ACCIDENTALS",
    "Note",
    "Pitch",
    "ascii_accidentals",
    "pretty_accidentals",
    "pretty_words",
    "spelled_signs",
]

LETTERS = "CDEFGAB"
NATURAL_SEMITONES = (0, 2, 4, 5, 7, 9, 11)  # of C D E F G A B above C
NATURAL_FIFTHS = (0, 2, 4, -1, 1, 3, 5)  # of C D E F G A B on the line of fifths
PLACES = ("places on the line of fifths", "a whole number; from C to G is 1")
MOST_ACCIDENTALS = 3  # the #9 of a dominant on B sharp is C with three sharps
ENHARMONIC = 12  # places on the line of fifths between two names of one sound

_TO_ASCII = str.maketrans({"♭": "b", "♯": "#", "♮": "", "𝄫": "bb", "𝄪": "##"})
_TO_SIGNS = str.maketrans({"b": "♭", "#": "♯"})
_SPOKEN = re.compile(r"(?<=\b[A-G])[ -]?(flat|sharp)\b", re.IGNORECASE | re.ASCII)
_NATURAL_DEGREE = re.compile(r"\bnatural (?=\d)")


def ascii_accidentals(text: str) -> str:
    """Return ``text`` with ♭ ♯ 𝄫 𝄪 written as ``b``, ``#``, ``bb`` and ``##``.

    >>> ascii_accidentals("B♭7(♯9)")
    'Bb7(#9)'
    """
    return text.translate(_TO_ASCII)


def spelled_signs(text: str) -> str:
    """Return ``text`` with the words flat and sharp behind a letter name written as signs.

    >>> spelled_signs("B flat minor"), spelled_signs("F-sharp"), spelled_signs("D minor")
    ('Bb minor', 'F#', 'D minor')
    """
    return _SPOKEN.sub(lambda found: "b" if found[1].lower() == "flat" else "#", text)


def pretty_accidentals(plain: str) -> str:
    """Return a note, degree or chord in plain form with ♭ and ♯ for the eye.

    Double accidentals are two single signs: many fonts lack the double ones.

    >>> pretty_accidentals("Ebb"), pretty_accidentals("Bb7b9")
    ('E♭♭', 'B♭7♭9')
    """
    return plain.translate(_TO_SIGNS)


def pretty_words(text: str) -> str:
    """Put ♭, ♯ and ♮ into the words of a name that are degrees or begin like a note.

    >>> pretty_words("dorian b2"), pretty_words("Ab melodic minor"), pretty_words("blues")
    ('dorian ♭2', 'A♭ melodic minor', 'blues')
    >>> pretty_words("D locrian natural 6"), pretty_words("D natural minor")
    ('D locrian ♮6', 'D natural minor')
    """
    return " ".join(
        pretty_accidentals(word) if word[-1:].isdigit() or word[:1].isupper() else word
        for word in _NATURAL_DEGREE.sub("♮", text).split(" ")
    )


@dataclass(frozen=True, slots=True)
class Note(Value):
    """A note name without an octave.

    ``letter`` is one of ``CDEFGAB``; ``alteration`` counts half steps, flats below zero.

    >>> Note("E", -2)
    Note('E', -2)
    >>> str(Note("E", -2)), Note("F", 2).pretty
    ('Ebb', 'F♯♯')
    """

    letter: str
    alteration: int = 0

    def __post_init__(self) -> None:
        """Refuse what is no note."""
        if not (isinstance(self.letter, str) and len(self.letter) == 1 and self.letter in LETTERS):
            raise TheoryError(f"not a letter name: {shown(self.letter)} (want one of {LETTERS})")
        if not isinstance(self.alteration, int) or abs(self.alteration) > MOST_ACCIDENTALS:
            raise TheoryError(
                f"not an alteration: {shown(self.alteration)} "
                f"(want whole half steps, -{MOST_ACCIDENTALS} to {MOST_ACCIDENTALS})"
            )

    @classmethod
    def parse(cls, text: str) -> Note:
        """Read a note name: a capital letter, then flats or sharps. The reverse of ``str``.

        >>> Note.parse("Bb"), Note.parse("F♯"), Note.parse("Cx"), Note.parse("E flat")
        (Note('B', -1), Note('F', 1), Note('C', 2), Note('E', -1))
        >>> Note.parse("H")
        Traceback (most recent call last):
        theorykit.errors.TheoryError: not a note name: 'H' (want a letter A-G, then b's or #'s)
        """
        if not isinstance(text, str):
            raise TheoryError(f"not a note name: {shown(text)} (want text such as 'Bb')")
        found = _BY_NAME.get(text)
        if found is None and len(text) < 12:
            found = _BY_NAME.get(_plain_name(text))
        if found is None:
            raise TheoryError(
                f"not a note name: {shown(text)} (want a letter A-G, then b's or #'s)"
            )
        return found

    @classmethod
    def from_fifths(cls, place: int) -> Note:
        """Return the note at a place on the line of fifths: the reverse of ``fifths``.

        >>> str(Note.from_fifths(6)), str(Note.from_fifths(-9))
        ('F#', 'Bbb')
        """
        place = expect(place, int, *PLACES)
        alteration, column = divmod(place + 1, 7)
        return cls("FCGDAEB"[column], alteration)

    def moved(self, old: Note, new: Note) -> Note:
        """Return what this note becomes when ``old`` becomes ``new``, letters counted.

        >>> str(Note.parse("F#").moved(Note.parse("D"), Note.parse("Eb")))
        'G'
        """
        if not isinstance(old, Note) or not isinstance(new, Note):
            raise TheoryError(f"not two notes: {shown((old, new))} (want a Note and a Note)")
        return Note.from_fifths(self.fifths + new.fifths - old.fifths)

    def along(self, places: int) -> Note:
        """Return the name so many places further on the line of fifths.

        >>> str(Note.parse("Bb").along(2))
        'C'
        """
        return Note.from_fifths(self.fifths + expect(places, int, *PLACES))

    def written_for(self, who: Reader | str) -> Note:
        """Return the name on the page of a reader, such as ``"B flat"`` or ``"alto saxophone"``.

        >>> str(Note.parse("Eb").written_for("B flat")), str(Note.parse("A#").written_for("tenor"))
        ('F', 'C')
        """
        return reader(who).written_note(self)

    @property
    def step(self) -> int:
        """The place of the letter counted from C, 0 to 6.

        >>> [Note.parse(name).step for name in ("C", "Eb", "F#", "Bbb")]
        [0, 2, 3, 6]
        """
        return LETTERS.index(self.letter)

    @property
    def semitone(self) -> int:
        """The pitch class, 0 (C) to 11 (B).

        >>> Note.parse("Cb").semitone
        11
        """
        return (NATURAL_SEMITONES[LETTERS.index(self.letter)] + self.alteration) % 12

    @property
    def fifths(self) -> int:
        """The place on the line of fifths: C is 0, G is 1, F is -1.

        >>> Note.parse("F#").fifths, Note.parse("Bb").fifths
        (6, -2)
        """
        return NATURAL_FIFTHS[self.step] + 7 * self.alteration

    @property
    def pretty(self) -> str:
        """The name with ♭ and ♯.

        >>> Note.parse("Bb").pretty, Note.parse("F##").pretty
        ('B♭', 'F♯♯')
        """
        return self.letter + (
            "♭" * -self.alteration if self.alteration < 0 else "♯" * self.alteration
        )

    def __str__(self) -> str:
        if self.alteration < 0:
            return self.letter + "b" * -self.alteration
        return self.letter + "#" * self.alteration

    def __repr__(self) -> str:
        return f"Note({self.letter!r}, {self.alteration})"


def _plain_name(text: str) -> str:
    """Return a note name with its signs as b and #, however they came."""
    return spelled_signs(ascii_accidentals(text.strip()).replace("x", "##"))


_BY_NAME = {
    str(note): note
    for note in (
        Note(letter, alteration)
        for letter in LETTERS
        for alteration in range(-MOST_ACCIDENTALS, MOST_ACCIDENTALS + 1)
    )
}


LOWEST_OCTAVE, HIGHEST_OCTAVE = -2, 10
# === Pitches ===

CONCERT_A = 440.0  # Hz, ISO 16:1975
CONCERT_A_MIDI = 69  # MIDI 1.0 Detailed Specification: A above middle C


@dataclass(frozen=True, slots=True)
class Pitch(Value):
    """A note and its octave; the octave belongs to the letter, and C4 is middle C.

    >>> Pitch.parse("Cb4").midi, Pitch.parse("B3").midi
    (59, 59)
    """

    note: Note
    octave: int

    def __post_init__(self) -> None:
        """Refuse what is no pitch."""
        if not isinstance(self.note, Note):
            raise TheoryError(f"not a note: {shown(self.note)} (want a Note)")
        if not isinstance(self.octave, int) or not LOWEST_OCTAVE <= self.octave <= HIGHEST_OCTAVE:
            raise TheoryError(
                f"not an octave: {shown(self.octave)} "
                f"(want a whole number, {LOWEST_OCTAVE} to {HIGHEST_OCTAVE})"
            )

    @classmethod
    def parse(cls, text: str) -> Pitch:
        """Read a note name with its octave. The reverse of ``str``.

        >>> str(Pitch.parse("E♭5")), Pitch.parse("C-1").midi
        ('Eb5', 0)
        >>> Pitch.parse("Eb")
        Traceback (most recent call last):
        theorykit.errors.TheoryError: not a pitch: 'Eb' (want a note name, then an octave: Eb4)
        """
        name = text.strip() if isinstance(text, str) and len(text) < 16 else ""
        cut = len(name.rstrip("0123456789"))
        if cut and name[cut - 1] == "-":
            cut -= 1
        try:
            note, octave = Note.parse(name[:cut]), int(name[cut:])
        except ValueError:
            raise TheoryError(
                f"not a pitch: {shown(text)} (want a note name, then an octave: Eb4)"
            ) from None
        return cls(note, octave)

    @classmethod
    def at_or_above(cls, note: Note, midi: int) -> Pitch:
        """Return the lowest pitch named ``note`` that is not below MIDI number ``midi``.

        >>> str(Pitch.at_or_above(Note.parse("Cb"), 59))
        'Cb4'
        """
        _check_named(note, midi)
        return cls.numbered(note, midi + (note.semitone - midi) % 12)

    @classmethod
    def numbered(cls, note: Note, midi: int) -> Pitch:
        """Return the pitch named ``note`` whose MIDI number is ``midi``.

        >>> str(Pitch.numbered(Note.parse("B#"), 60))
        'B#3'
        """
        _check_named(note, midi)
        octave, off = divmod(midi - NATURAL_SEMITONES[note.step] - note.alteration, 12)
        if off:
            raise TheoryError(f"{note} does not sound MIDI {midi} (want a number that it names)")
        return cls(note, octave - 1)

    def written_for(self, who: Reader | str) -> Pitch:
        """Return the pitch on the page of a reader, such as ``"B flat"`` or ``"guitar"``.

        >>> str(Pitch.parse("Eb4").written_for("trumpet"))
        'F4'
        """
        one = reader(who)
        return Pitch.numbered(one.written_note(self.note), self.midi + one.semitones)

    @property
    def midi(self) -> int:
        """The MIDI note number: middle C is 60, A4 is 69 (MIDI 1.0 specification).

        >>> [Pitch.parse(name).midi for name in ("C4", "Db4", "A4", "B#4", "C5")]
        [60, 61, 69, 72, 72]
        """
        return 12 * (self.octave + 1) + NATURAL_SEMITONES[self.note.step] + self.note.alteration

    @property
    def frequency(self) -> float:
        """The frequency in hertz, equal temperament on A4 = 440 Hz (ISO 16).

        >>> round(Pitch.parse("C4").frequency, 2)
        261.63
        """
        return float(CONCERT_A * 2 ** ((self.midi - CONCERT_A_MIDI) / 12))

    @property
    def pretty(self) -> str:
        """The name with ♭ and ♯, and the octave.

        >>> Pitch.parse("Gb3").pretty
        'G♭3'
        """
        return f"{self.note.pretty}{self.octave}"

    def __str__(self) -> str:
        return f"{self.note}{self.octave}"


def _check_named(note: object, midi: object) -> None:
    """Refuse what is no note with a MIDI number."""
    if not isinstance(note, Note) or not isinstance(midi, int):
        raise TheoryError(
            f"not a note and a MIDI number: {shown((note, midi))} (want such as Note('C') and 60)"
        )
