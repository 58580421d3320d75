"""Wording that explanations share: lists, small numbers, degrees and moves."""

from __future__ import annotations

from collections.abc import Iterable

from theorykit.notes.degree import Degree, degrees
from theorykit.notes.note import Note

__all__ = [
    "STEPS",
    "TONIC_NAMES",
    "bass_move",
    "counted",
    "doubled_words",
    "listed",
    "moved",
    "ordinal",
    "route",
    "sentence",
]

# A move by the number of half steps (common practice).
STEPS = {
    1: "a half step",
    2: "a whole step",
    3: "a minor third",
    4: "a major third",
    5: "a fourth",
    6: "a tritone",
}
_ORDINALS = {1: "root", 2: "2nd", 3: "3rd"}
_NUMBERS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten")

# How a bass moves, by half steps up from the note it leaves: the fifth falls (common practice).
_BASS_MOVES = (
    "stays on {}",
    "rises a half step to {}",
    "rises a whole step to {}",
    "rises a minor third to {}",
    "rises a major third to {}",
    "falls a fifth to {}",
    "moves a tritone to {}",
    "rises a fifth to {}",
    "falls a major third to {}",
    "falls a minor third to {}",
    "falls a whole step to {}",
    "falls a half step to {}",
)


TONIC_NAMES = ("I", "i")  # what sentences call the tonic of a major and of a minor key
_OVER_A_CHORD = "root ♭9 9th ♭3rd 3rd 4th ♯11 5th ♭6th 6th ♭7th 7th".split()
_IN_THE_KEY = "root ♭2nd 2nd ♭3rd 3rd 4th ♯4th 5th ♭6th 6th ♭7th 7th".split()
THIRD, SEVENTH = degrees("3 7")


def route(semitone: int, whose: str, tones: tuple[Degree, ...] = ()) -> str:
    """Say which degree of a chord a note is, by half steps above that chord's root.

    Over I the degrees of the key are meant: nobody starts on the 9th of I. ``tones`` are the
    degrees that the chord holds: where its 3rd or 7th is flat, the other one is told apart.

    >>> route(9, "V"), route(4, "I"), route(2, "V"), route(2, "I")
    ('the 6th of V', 'the 3rd of I', 'the 9th of V', 'the 2nd of I')
    >>> route(4, "i", degrees("1 b3 5")), route(11, "V", degrees("1 3 5 b7"))
    ('the major 3rd of i', 'the major 7th of V')
    """
    names = _IN_THE_KEY if whose in TONIC_NAMES else _OVER_A_CHORD
    place = semitone % 12
    apart = "major " if place in (THIRD.semitone, SEVENTH.semitone) else ""
    flat = {tone.semitone for tone in tones} & {place - 1, place} == {place - 1}
    return f"the {apart * flat}{names[place]} of {whose}"


def ordinal(degree: Degree) -> str:
    """Return a degree as a word of a sentence.

    >>> ordinal(Degree.parse("1")), ordinal(Degree.parse("b3")), ordinal(Degree.parse("13"))
    ('root', '♭3rd', '13th')
    """
    sign = degree.pretty.rstrip("0123456789")
    return sign + _ORDINALS.get(degree.number, f"{degree.number}th")


def counted(count: int, noun: str) -> str:
    """Return a small number and a noun, in the plural unless it is one.

    >>> counted(0, "pull"), counted(1, "pull"), counted(12, "pull")
    ('no pull', 'one pull', '12 pulls')
    """
    number = _NUMBERS[count] if count < len(_NUMBERS) else str(count)
    return f"{number} {noun}{'s' * (count > 1)}"


def listed(items: Iterable[str], joint: str = "and") -> str:
    """Return items as a list in a sentence.

    >>> listed(["B"]), listed("BD"), listed("BDF")
    ('B', 'B and D', 'B, D and F')
    """
    *most, last = items
    return f"{', '.join(most)} {joint} {last}" if most else last


def moved(semitones: int) -> str:
    """Say how a note moves, by half steps: above 0 it rises, below 0 it falls.

    >>> moved(-1), moved(2), moved(0)
    ('falls a half step', 'rises a whole step', 'stays')
    """
    if semitones == 0:
        return "stays"
    return f"{'rises' if semitones > 0 else 'falls'} {STEPS[abs(semitones)]}"


def bass_move(semitones: int, goal: str) -> str:
    """Say how a bass moves to ``goal``, by half steps up from the note it leaves, 0 to 11.

    >>> bass_move(5, "C"), bass_move(11, "C")
    ('falls a fifth to C', 'falls a half step to C')
    """
    return _BASS_MOVES[semitones % 12].format(goal)


def doubled_words(notes: Iterable[Note]) -> str:
    """Say why notes are written with double accidentals; nothing where none is.

    >>> doubled_words(map(Note.parse, ("Ab", "Bbb", "C", "Bbb")))
    'B♭♭ has a double accidental because by function every note keeps the letter of its degree.'
    >>> doubled_words([Note.parse("Ab")])
    ''
    """
    names = dict.fromkeys(note.pretty for note in notes if abs(note.alteration) > 1)
    if not names:
        return ""
    has = "have double accidentals" if len(names) > 1 else "has a double accidental"
    return f"{listed(names)} {has} because by function every note keeps the letter of its degree."


def sentence(text: str) -> str:
    """Return a clause as a sentence: a capital in front, a full stop behind.

    >>> sentence("the bass falls"), sentence("♭9 falls")
    ('The bass falls.', '♭9 falls.')
    """
    return f"{text[0].upper()}{text[1:]}."
