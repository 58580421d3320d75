"""What a teacher types: text that is data, checked when it comes in and printed as it stands."""

from __future__ import annotations

import re
import unicodedata
from datetime import date

from theorykit.errors import TheoryError, shown

__all__ = [
    "LONGEST_TEXT",
    "LONGEST_TITLE",
    "capital",
    "checked_line",
    "checked_text",
    "day_in_words",
    "direction",
    "paragraphs",
    "with_breaks",
]

LONGEST_TITLE, LONGEST_TEXT = 160, 20_000  # characters
UNBROKEN, PIECE = 24, 12  # a longer word may be broken after so many letters
SOFT_BREAK = "\u200b"  # the zero width space

_LONG_WORD = re.compile(rf"[^\s{SOFT_BREAK}]{{{UNBROKEN + 1},}}")


def checked_line(text: object, name: str, *, longest: int = LONGEST_TITLE) -> str:
    """Return a text of one line, or refuse what is none; ``name`` is what the message calls it.

    >>> checked_line("The #1 way to <b>think</b>", "title")
    'The #1 way to <b>think</b>'
    >>> checked_line("x" * 10_000, "title")
    Traceback (most recent call last):
    theorykit.errors.TheoryError: title is too long: 10000 characters (want at most 160)
    """
    line = checked_text(text, name, longest=longest)
    if "\n" in line:
        raise TheoryError(f"{name} has a line break: {shown(line)} (want one line)")
    return line


def checked_text(text: object, name: str, *, longest: int = LONGEST_TEXT) -> str:
    """Return a text of any number of lines, or refuse what no page can show.

    >>> checked_text("bell \\x07", "note")
    Traceback (most recent call last):
    theorykit.errors.TheoryError: note holds a character that no page shows: U+0007 (want letters, \
signs, spaces and line breaks)
    """
    if not isinstance(text, str):
        raise TheoryError(f"{name} is no text: {shown(text)} (want text in quotes)")
    if len(text) > longest:
        raise TheoryError(f"{name} is too long: {len(text)} characters (want at most {longest})")
    for letter in text:
        if letter not in "\n\t" and unicodedata.category(letter) in ("Cc", "Cs", "Co", "Cn"):
            raise TheoryError(
                f"{name} holds a character that no page shows: U+{ord(letter):04X} "
                "(want letters, signs, spaces and line breaks)"
            )
    return text


def paragraphs(text: str) -> tuple[str, ...]:
    """Return the paragraphs of a text; an empty line parts two of them.

    >>> paragraphs("Listen first.\\n\\nThen sing,\\nthen play.\\n")
    ('Listen first.', 'Then sing,\\nthen play.')
    """
    parts = re.split(r"\n[ \t]*\n", text)
    return tuple(part.strip("\n") for part in parts if part.strip())


def with_breaks(text: str) -> str:
    """Return a text in which a very long word may be broken, so that it stays on the page.

    >>> with_breaks("short words"), with_breaks("a" * 26).count("\\u200b")
    ('short words', 2)
    """
    return _LONG_WORD.sub(lambda match: SOFT_BREAK.join(_pieces(match[0])), text)


def _pieces(word: str) -> list[str]:
    """Cut a word, and leave signs that belong to the letter before them with it."""
    pieces = [""]
    for letter in word:
        joined = unicodedata.combining(letter) or unicodedata.category(letter) in ("Mn", "Cf")
        if len(pieces[-1]) >= PIECE and not joined:
            pieces.append("")
        pieces[-1] += letter
    return pieces


def direction(text: str) -> str:
    """Return the way a text runs, ``"ltr"`` or ``"rtl"``, after its first letter that has one.

    Source of the rule: Unicode Standard Annex 9, *Unicode Bidirectional Algorithm*, P2 and P3.

    >>> direction("12 bars"), direction("(שלום)")
    ('ltr', 'rtl')
    """
    for letter in text:
        kind = unicodedata.bidirectional(letter)
        if kind in ("L", "R", "AL"):
            return "ltr" if kind == "L" else "rtl"
    return "ltr"


_MONTHS = (
    "January February March April May June July August September October November December"
).split()


def day_in_words(day: date | str) -> str:
    """Return a day as it is printed; what was typed as text stays as typed.

    >>> day_in_words(date(2026, 3, 5)), day_in_words("in spring")
    ('5 March 2026', 'in spring')
    """
    return day if isinstance(day, str) else f"{day.day} {_MONTHS[day.month - 1]} {day.year}"


def capital(text: str) -> str:
    """Return a text with a capital letter at its beginning.

    >>> capital("altered over G7"), capital("♭9 over G7")
    ('Altered over G7', '♭9 over G7')
    """
    return text[:1].upper() + text[1:]
