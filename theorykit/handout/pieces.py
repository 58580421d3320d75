"""What stands on a page, decided before it is set: sections made of a few kinds of pieces.

A piece is the same for paper and for the browser, and knows neither. Texts are plain text.
"""

from __future__ import annotations

from dataclasses import dataclass

from theorykit.views.staves import StaffView

__all__ = [
    "GUTTER",
    "SHARE",
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
]


SHARE, GUTTER = 0.28, 0.03


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
