"""The table of marks: how each role of a note looks, the same in every picture and on every staff.

A role has a shape, a colour, words in legends, and the style in which the label of its note is set
under a staff, so that nothing is told by colour alone. A staff leaves tones of the chord plain.
"""

from __future__ import annotations

from collections.abc import Container
from dataclasses import dataclass

from theorykit.show.pictures.marks import Entry, Marker
from theorykit.show.pictures.picture_colours import BLUE, GREEN, PURPLE, VERMILLION

SAMPLE = 6.0  # radius of a shape in a legend
RINGED_WORDS = "ringed: the shape to think of"

Style = tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class NoteMark:
    """One row: a role of ``harmony.tensions``, and everything that stands for it.

    ``words`` stand in legends, ``shape`` in pictures, ``sign`` in legends of words; ``fill`` is the
    colour of shapes, notes and labels; ``style`` are the attributes of the label of a note on a
    staff, as MusicXML has them, and ``set_`` tells them in a word.
    """

    role: str
    words: str
    shape: str
    sign: str
    fill: str
    style: Style = ()
    set_: str = "plain"


NOTE_MARKS = {
    row.role: row
    for row in (
        NoteMark("chord", "chord tone", "circle", "●", BLUE),
        NoteMark(
            *("colour", "colour note", "diamond", "◆", VERMILLION),
            style=(("font-weight", "bold"), ("underline", "1")),
            set_="underlined",
        ),
        NoteMark(
            *("outside", "note that rubs", "square", "■", PURPLE),
            style=(("font-style", "italic"), ("overline", "1")),
            set_="with a line above",
        ),
        NoteMark(
            *("landing", "note to land on", "house", "⌂", GREEN),
            style=(("font-weight", "bold"), ("font-style", "italic")),
            set_="slanted",
        ),
    )
}


def note_entries(roles: Container[str]) -> list[Entry]:
    """Return what a legend says of some roles: each with its shape.

    >>> [words for _, words in note_entries({"colour", "chord"})]
    ['chord tone', 'colour note']
    """
    found = [row for row in NOTE_MARKS.values() if row.role in roles]
    return [(Marker(0, 0, SAMPLE, row.shape, row.fill), row.words) for row in found]


# The first names of what is set apart under a staff.
_SHORT = {"colour": "the colour", "outside": "what rubs", "landing": "the landing"}


def staff_words(roles: Container[str] = tuple(NOTE_MARKS)) -> str:
    """Return how the labels of some roles are set under a staff.

    >>> staff_words(("colour", "landing"))
    'the colour underlined, the landing slanted'
    """
    rows = (row for row in NOTE_MARKS.values() if row.style and row.role in roles)
    return ", ".join(f"{_SHORT[row.role]} {row.set_}" for row in rows)
