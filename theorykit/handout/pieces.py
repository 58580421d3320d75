"""Pieces of a page: paragraphs, tables, staves and pictures, in sections.

A piece is the same for paper and for the browser, and knows neither. Texts are plain text.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace

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
    "said_once",
]

SHARE, GUTTER = 0.28, 0.03
BOX = "☐"  # to be ticked
STAFF_WORDS = (
    "Under each note stands what it is over its chord: the colour underlined, the note on which it "
    "lands slanted."
)

_SOURCE = re.compile(r", counted in transcribed solos \([^()]*\)(?=\.$)")


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
    picture before it was cut.
    """

    svg: str
    alt: str
    width: float = 1.0
    hang: float = 0.0
    middle: bool = False
    follows: bool = False


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
    says by how many octaves each of them was moved to lie well on the reader's instrument.
    """

    heading: str
    pieces: tuple[Piece, ...]
    margin: tuple[str, ...] = ()
    answers: tuple[tuple[int, str], ...] = ()
    scores: tuple[tuple[str, StaffView], ...] = ()
    moved: tuple[int, ...] = ()


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
