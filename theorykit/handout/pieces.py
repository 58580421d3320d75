"""Pieces of a page: a teacher's words, checked; tables, staves, sections.

They are data and never markup.

A piece is the same for paper and for the browser, and knows neither. Texts are plain text.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from datetime import date

from theorykit.errors import TheoryError, shown
from theorykit.show.pictures import staff_words
from theorykit.views.staves import StaffView

__all__ = [
    "BOX",
    "GUTTER",
    "SHARE",
    "STAFF_WORDS",
    "Ask",
    "Beside",
    "Lead",
    "NewPage",
    "Para",
    "Picture",
    "Piece",
    "Plain",
    "Section",
    "StaffLabel",
    "Table",
    "capital",
    "checked_line",
    "checked_text",
    "day_in_words",
    "direction",
    "paragraphs",
    "said_once",
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


SHARE, GUTTER = 0.28, 0.03
BOX = "☐"  # to be ticked
STAFF_WORDS = f"Under each note stands what it is over its chord: {staff_words()}."

_SOURCE = re.compile(r", counted in transcribed solos \([^()]*\)(?=\.$)")


# === Pieces ===


@dataclass(frozen=True, slots=True)
class Lead:
    """The sentence that matters most in its section."""

    text: str


@dataclass(frozen=True, slots=True)
class Para:
    """A paragraph; a ``small`` one says something in passing."""

    text: str
    small: bool = False


@dataclass(frozen=True, slots=True)
class StaffLabel:
    """A line above a staff that stays with it: a key, the name of a voice."""

    text: str


@dataclass(frozen=True, slots=True)
class Picture:
    """A picture as SVG text with its alternative text.

    ``width`` is its share of the text's width, ``hang`` the share of its own width by which it
    stands out to the left; ``middle`` puts it in the middle; one that ``follows`` goes on where the
    picture before it was cut, and one that ``stays`` is on the page of the piece after it.
    ``least`` is the width in pixels below which a screen lets it be moved sideways rather than
    shrinks it.
    """

    svg: str
    alt: str
    width: float = 1.0
    hang: float = 0.0
    middle: bool = False
    follows: bool = False
    stays: bool = False
    least: float = 0.0


@dataclass(frozen=True, slots=True)
class Table:
    """Rows of texts under heads, or without them.

    ``widths`` are parts of the whole, 0 for as wide as needed; ``what`` says for the ear what the
    table holds; ``marks`` are the columns whose text stands out.
    """

    what: str
    heads: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    widths: tuple[float, ...]
    marks: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True)
class Ask:
    """A question with its number, room for ``lines`` lines of answer, and the answer."""

    number: int
    question: str
    answer: str
    lines: int = 1


@dataclass(frozen=True, slots=True)
class NewPage:
    """The end of a page."""


Plain = Lead | Para | StaffLabel | Picture | Table | Ask | NewPage


@dataclass(frozen=True, slots=True)
class Beside:
    """Pieces side by side; ``share`` is the part of the text's width that the left ones have.

    Between them are ``GUTTER`` parts of the width.
    """

    left: tuple[Plain, ...]
    right: tuple[Plain, ...]
    share: float = SHARE


Piece = Plain | Beside


@dataclass(frozen=True, slots=True)
class Section:
    """What a block becomes: heading, pieces, and what only the teacher's margin says.

    ``answers`` are the numbers and answers that the last page repeats for everybody; ``scores`` is
    the music of the section with its titles, the staves that are printed and no others; ``moved``
    says by how many octaves each of them was moved to lie well on the reader's instrument, and
    ``tempo`` how fast it goes, 0 where that is as the handout says, and whether its eighths
    are even.
    """

    heading: str
    pieces: tuple[Piece, ...]
    margin: tuple[str, ...] = ()
    answers: tuple[tuple[int, str], ...] = ()
    scores: tuple[tuple[str, StaffView], ...] = ()
    moved: tuple[int, ...] = ()
    tempo: int = 0
    is_even: bool = False


def said_once(sections: Iterable[Section]) -> tuple[Section, ...]:
    """Return sections that explain their staves once, and name each source and count once.

    >>> legend = Para(STAFF_WORDS, small=True)
    >>> source = ", counted in transcribed solos (456 solos)."
    >>> one = Section("", (legend,), margin=("A: 1" + source,))
    >>> two = Section("", (legend,), margin=("B: 2" + source, "A: 1" + source))
    >>> [(len(section.pieces), section.margin) for section in said_once([one, two])]
    [(1, ('A: 1, counted in transcribed solos (456 solos).',)), (0, ('B: 2.',))]
    """
    said: set[str] = set()
    found = []
    for section in sections:
        pieces = [p for p in section.pieces if not (_explains(p) and STAFF_WORDS in said)]
        said.update(STAFF_WORDS for piece in pieces if _explains(piece))
        found.append(replace(section, pieces=tuple(pieces), margin=tuple(_notes(section, said))))
    return tuple(found)


def _explains(piece: object) -> bool:
    """Tell whether a piece is the one that explains a staff."""
    return isinstance(piece, Para) and piece.text == STAFF_WORDS


def _notes(section: Section, said: set[str]) -> Iterator[str]:
    """Yield the notes of a margin without what was said before; ``said`` grows."""
    for text in section.margin:
        source = _SOURCE.search(text)
        if source is None:
            yield text
        elif text not in said:
            said.add(text)
            yield text.replace(source[0], "") if source[0] in said else text
            said.add(source[0])
