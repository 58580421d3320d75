"""Legends: what the shapes and lines of a picture mean, in rows under it."""

from __future__ import annotations

from collections.abc import Iterable

from theorykit.show.keyboard_layout import Label, Marker
from theorykit.show.palette import INK
from theorykit.show.picture import Mark, Stroke

__all__ = ["LETTER", "Entry", "fitted", "legend", "text_width"]

LETTER = 0.58  # width of a letter by the size of its font, with a little to spare
SIZE = 13.0
ROW = 22.0
SAMPLE, GAP, BETWEEN = 30.0, 8.0, 20.0  # length of a line's sample, and the spaces beside words

# What an entry shows: a line or a shape to be put at the sample's place, and the words for it.
Entry = tuple[Stroke | Marker, str]


def fitted(text: str, size: float) -> float:
    """Return the size of a font for a degree inside a shape: three letters are set smaller.

    >>> fitted("♭9", 11), fitted("♯11", 11)
    (11, 9.02)
    """
    return size if len(text) < 3 else round(0.82 * size, 2)


def text_width(text: str, size: float) -> float:
    """Return about how wide a text is, in pixels.

    >>> text_width("half step", 10) > text_width("held", 10)
    True
    """
    return LETTER * size * len(text)


def legend(entries: Iterable[Entry], left: float, top: float, width: float) -> list[Mark]:
    """Return the marks of a legend in rows of at most ``width`` pixels, the first at ``top``."""
    marks: list[Mark] = []
    x, y = left, top
    for sample, words in entries:
        long = SAMPLE if isinstance(sample, Stroke) else 2 * sample.radius
        needed = long + GAP + text_width(words, SIZE)
        if x > left and x + needed > left + width:
            x, y = left, y + ROW
        marks.append(_at(sample, x, y - SIZE / 3, long))
        marks.append(Label(x + long + GAP, y, words, SIZE, INK, bold=False, anchor="start"))
        x += needed + BETWEEN
    return marks


def _at(sample: Stroke | Marker, x: float, y: float, long: float) -> Mark:
    """Return a sample moved to its place."""
    if isinstance(sample, Stroke):
        return Stroke(((x, y), (x + long, y)), sample.colour, sample.width, sample.dash)
    return Marker(x + sample.radius, y, sample.radius, sample.shape, sample.fill)
