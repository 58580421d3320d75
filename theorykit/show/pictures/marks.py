"""The marks of a picture: labels, shapes, lines, filled areas, boxes, and legends made of them.

A picture is a list of marks on a sheet. It knows neither SVG nor matplotlib; each painter paints
every mark. What a keyboard or a clock looks like is decided where its picture is laid out.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from theorykit.show.pictures.picture_colours import INK, PAPER

LETTER = 0.58  # width of a letter by the size of its font, with a little to spare
SIZE, ROW = 13.0, 22.0  # of a legend: its letters, and from row to row
SAMPLE, GAP, BETWEEN = 30.0, 8.0, 20.0  # length of a line's sample, and the spaces beside words

Point = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Label:
    """One text; ``y`` is the base line, ``anchor`` is ``"middle"``, ``"start"`` or ``"end"``."""

    x: float
    y: float
    text: str
    size: float
    fill: str
    bold: bool = True
    anchor: str = "middle"


@dataclass(frozen=True, slots=True)
class Marker:
    """One filled shape around a middle point; ``shape`` as in ``note_marks``."""

    x: float
    y: float
    radius: float
    shape: str
    fill: str


@dataclass(frozen=True, slots=True)
class Stroke:
    """A line through points; ``dash`` is the length of dashes and gaps, empty for a full line."""

    points: tuple[Point, ...]
    colour: str
    width: float = 1.0
    dash: tuple[float, ...] = ()
    closed: bool = False


@dataclass(frozen=True, slots=True)
class Area:
    """A filled shape with corners."""

    points: tuple[Point, ...]
    fill: str


@dataclass(frozen=True, slots=True)
class Box:
    """A filled rectangle with an edge and round corners; ``x`` and ``y`` are its left and top.

    One that is a key of a keyboard has its MIDI number as ``key``.
    """

    x: float
    y: float
    width: float
    height: float
    fill: str
    edge: str
    line: float  # width of the edge
    corner: float  # radius
    key: int | None = None


Mark = Label | Marker | Stroke | Area | Box


@dataclass(frozen=True, slots=True)
class Picture:
    """Marks in the order in which they are painted, y growing downwards.

    ``unit`` says how many pixels of a screen a unit of the sheet is at its usual size, ``paper``
    the colour behind it where nobody wants another.
    """

    width: float
    height: float
    marks: tuple[Mark, ...]
    alt: str
    unit: float = 1.0
    paper: str = PAPER

    def on_paper(self, colour: str) -> Picture:
        """Return the picture with the plates under its labels in the colour of another paper.

        >>> plate = Area(((0, 0), (9, 0), (9, 9)), PAPER)
        >>> Picture(9, 9, (plate,), "A plate").on_paper("#ffffff").marks[0].fill
        '#ffffff'
        """
        marks = (
            Area(mark.points, colour) if isinstance(mark, Area) and mark.fill == PAPER else mark
            for mark in self.marks
        )
        return replace(self, marks=tuple(marks))


def outline(marker: Marker) -> list[Point]:
    """Return the corners of a marker's shape; a circle has none.

    >>> outline(Marker(0, 0, 8, "square", "#000000"))
    [(-7.0, -7.0), (7.0, -7.0), (7.0, 7.0), (-7.0, 7.0)]
    """
    x, y, r = marker.x, marker.y, marker.radius
    if marker.shape == "diamond":
        long, wide = 1.48 * r, 1.1 * r
        return [(x, y - long), (x + wide, y), (x, y + long), (x - wide, y)]
    if marker.shape == "square":
        half = 0.875 * r
        return [
            (x - half, y - half),
            (x + half, y - half),
            (x + half, y + half),
            (x - half, y + half),
        ]
    if marker.shape == "house":
        wide, roof, floor = 0.95 * r, 1.3 * r, 0.95 * r
        return [
            (x, y - roof),
            (x + wide, y - 0.4 * r),
            (x + wide, y + floor),
            (x - wide, y + floor),
            (x - wide, y - 0.4 * r),
        ]
    return []


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


# What an entry of a legend shows: a line or a shape to be put at its place, and the words for it.
STRAIGHT: tuple[Point, ...] = (0.0, 0.0), (1.0, 0.0)
Entry = tuple[Stroke | Marker, str]


def legend(
    entries: Iterable[Entry],
    left: float,
    top: float,
    width: float,
    *,
    size: float = SIZE,
    closer: float = 1.0,
) -> list[Mark]:
    """Return the marks of a legend in rows of at most ``width`` pixels, the first at ``top``.

    A line that is not straight has its points as shares of the length of a sample, and pixels below
    its middle. ``closer`` is what words take up beside what letters do elsewhere.
    """
    marks: list[Mark] = []
    x, y = left, top
    for sample, words in entries:
        long = SAMPLE if isinstance(sample, Stroke) else 2 * sample.radius
        needed = long + GAP + closer * text_width(words, size)
        if x > left and x + needed > left + width:
            x, y = left, y + ROW * size / SIZE
        marks.append(_at(sample, x, y - size / 3, long))
        marks.append(Label(x + long + GAP, y, words, size, INK, bold=False, anchor="start"))
        x += needed + BETWEEN
    return marks


def _at(sample: Stroke | Marker, x: float, y: float, long: float) -> Mark:
    """Return a sample moved to its place; a line is as long as the samples are."""
    if isinstance(sample, Stroke):
        points = tuple((x + across * long, y + down) for across, down in sample.points or STRAIGHT)
        return Stroke(points, sample.colour, sample.width, sample.dash)
    return Marker(x + sample.radius, y, sample.radius, sample.shape, sample.fill)
