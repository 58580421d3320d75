"""The fingerboard: strings, frets and the shapes on them, one small board for each position.

The highest string is at the top, as in tablature; the nut lies to the left (common practice).
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from theorykit.show.pictures.marks import (
    Box,
    Entry,
    Label,
    Mark,
    Marker,
    Picture,
    Stroke,
    fitted,
    legend,
)
from theorykit.show.pictures.note_marks import NOTE_MARKS, RINGED_WORDS, SAMPLE, note_entries
from theorykit.show.pictures.picture_colours import FADED, INK, LINE, PAPER
from theorykit.views.fingerboard import Dot, FingerboardView, Position

FRET = 48.0  # from fret to fret
LEFT, BETWEEN, HEAD = 26.0, 26.0, 20.0  # for the names of strings, between boards, for the heads
SIDE = 14.0  # of a board beyond its outer strings
LEGEND, BOTTOM = 34.0, 12.0  # below the fret numbers: the legend, the end
THIN, THICK = 1.1, 2.6  # of the highest and the lowest string
WOOD, INLAY = "#f6efe2", "#ded3bd"  # the board, and the dots let into it
INLAID = (3, 5, 7, 9)  # frets with a dot; the twelfth has two (common practice)
OCTAVE_FRET = 12
RADIUS = {"circle": 11.5, "diamond": 11.2, "square": 11.5}  # by shape
RINGS = ((3.4, WOOD), (2.7, INK), (1.2, WOOD))  # beyond the shape: edge, ring, gap
RIM = 1.5  # of the ring in the legend
LEAST = 520.0  # width, so that the legend has one row


@dataclass(frozen=True, slots=True)
class Sizes:
    """How far apart strings are, sizes of letters, and how much larger shapes are than usual.

    ``three`` is the size of a degree of three letters; ``above`` and ``below`` are how far the
    words stand off the board, where shapes reach beyond it.
    """

    string: float = 40.0
    text: float = 11.0
    three: float = fitted("♯11", 11.0)
    name: float = 13.0
    shapes: float = 1.0
    above: float = 10.0
    below: float = 16.0

    @property
    def top(self) -> float:
        """Where boards begin."""
        return HEAD + self.above

    @property
    def under(self) -> float:
        """The room below a board for the numbers of frets."""
        return self.below + 8.0


USUAL, LARGE = Sizes(), Sizes(36.0, 15.0, 14.0, 15.0, 1.22, above=16.0, below=26.0)


def fingerboard_picture(view: FingerboardView, *, large: bool = False) -> Picture:
    """Return the marks of the positions of a shape, side by side, with a legend below.

    With ``large`` its letters are as large as two boards side by side need in large print; the page
    has the legend then.

    >>> from theorykit.views.explorer_view import explore
    >>> from theorykit.views.fingerboard import GUITAR, fingerboard_of
    >>> picture = fingerboard_picture(fingerboard_of(explore("C").keyboard, GUITAR))
    >>> [mark.text for mark in picture.marks if isinstance(mark, Label)][:3]
    ['frets 1 to 5', 'E', 'B']
    """
    marks: list[Mark] = []
    left, sizes = 0.0, LARGE if large else USUAL
    for position in view.positions:
        marks += _board(view, position, left, sizes)
        left += LEFT + _long(position) + BETWEEN
    width = max(left - BETWEEN + SIDE, LEAST)
    under = sizes.top + _high(view, sizes) + sizes.under
    if large:
        return Picture(width, under, tuple(marks), view.alt)
    for mark in legend(_entries(view), LEFT, under + LEGEND - BOTTOM, width - LEFT):
        marks.append(mark)
        if isinstance(mark, Marker) and mark.fill == INK:
            marks.append(replace(mark, radius=mark.radius - RIM, fill=PAPER))
    return Picture(width, under + LEGEND, tuple(marks), view.alt)


def _long(position: Position) -> float:
    """Return how long the board of a position is."""
    return FRET * (position.last - position.first + 1)


def _high(view: FingerboardView, sizes: Sizes) -> float:
    """Return how high a board is."""
    return sizes.string * (len(view.tuning.strings) - 1) + 2 * SIDE


def _string_y(number: int, sizes: Sizes) -> float:
    """Return where a string lies; the first is at the top."""
    return sizes.top + SIDE + sizes.string * (number - 1)


def _fret_x(position: Position, fret: int, left: float) -> float:
    """Return the middle between a fret and the one before it: where a finger goes."""
    return left + LEFT + FRET * (fret - position.first + 0.5)


def _board(view: FingerboardView, position: Position, left: float, sizes: Sizes) -> Iterator[Mark]:
    """Yield one position: the board, its frets and strings, words, and the notes on top."""
    start, long, high = left + LEFT, _long(position), _high(view, sizes)
    yield Box(start, sizes.top, long, high, WOOD, LINE, 0.8, 0)
    yield from _inlays(view, position, left, sizes)
    for fret in range(position.first, position.last + 2):
        x = start + FRET * (fret - position.first)
        yield Stroke(((x, sizes.top), (x, sizes.top + high)), LINE, 1.6)
    count = len(view.tuning.strings)
    for number in range(1, count + 1):
        y, width = _string_y(number, sizes), THIN + (THICK - THIN) * (number - 1) / (count - 1)
        yield Stroke(((start, y), (start + long, y)), FADED, width)
    yield Label(start, sizes.top - sizes.above, _head(position), sizes.name, INK, anchor="start")
    for number in range(1, count + 1):
        name = view.tuning.string(number)
        yield Label(
            start - 9,
            _string_y(number, sizes) + sizes.name / 3,
            name,
            sizes.name,
            INK,
            False,
            "end",
        )
    for fret in range(position.first, position.last + 1):
        x = _fret_x(position, fret, left)
        yield Label(x, sizes.top + high + sizes.below, str(fret), sizes.text, FADED, bold=False)
    for dot in position.dots:
        yield from _dot(dot, _fret_x(position, dot.fret, left), sizes)


def _head(position: Position) -> str:
    """Return the heading of a position."""
    return f"frets {position.first} to {position.last}"


def _inlays(
    view: FingerboardView, position: Position, left: float, sizes: Sizes
) -> Iterator[Marker]:
    """Yield the dots by which players know where they are."""
    middle = sizes.top + _high(view, sizes) / 2
    for fret in range(position.first, position.last + 1):
        x = _fret_x(position, fret, left)
        if fret in INLAID:
            yield Marker(x, middle, 5, "circle", INLAY)
        if fret == OCTAVE_FRET:
            for y in (middle - sizes.string, middle + sizes.string):
                yield Marker(x, y, 5, "circle", INLAY)


def _dot(dot: Dot, x: float, sizes: Sizes) -> Iterator[Mark]:
    """Yield a note: its shape, in a ring where it belongs to what one thinks of, and its degree."""
    y, mark = _string_y(dot.string, sizes), NOTE_MARKS[dot.role]
    radius = sizes.shapes * RADIUS[mark.shape]
    for beyond, fill in RINGS if dot.ringed else RINGS[-1:]:
        yield Marker(x, y, radius + beyond, mark.shape, fill)
    yield Marker(x, y, radius, mark.shape, mark.fill)
    size = sizes.text if len(dot.degree) < 3 else sizes.three
    yield Label(x, y + 0.36 * size, dot.degree, size, "#ffffff")


def _entries(view: FingerboardView) -> list[Entry]:
    """Return the roles that occur with what they mean, and the ring."""
    dots = [dot for position in view.positions for dot in position.dots]
    ring = (Marker(0, 0, SAMPLE, "circle", INK), RINGED_WORDS)
    return note_entries({dot.role for dot in dots}) + [ring] * any(dot.ringed for dot in dots)
