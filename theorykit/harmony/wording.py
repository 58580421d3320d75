"""Wording that explanations share: lists, small numbers, degrees and moves."""

from __future__ import annotations

from collections.abc import Iterable

from theorykit.notes.degree import Degree

__all__ = ["STEPS", "bass_move", "counted", "listed", "moved", "ordinal", "sentence"]

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


def sentence(text: str) -> str:
    """Return a clause as a sentence: a capital in front, a full stop behind.

    >>> sentence("the bass falls"), sentence("♭9 falls")
    ('The bass falls.', '♭9 falls.')
    """
    return f"{text[0].upper()}{text[1:]}."
