"""The fingerboard: strings, frets and the shapes on them, one small board for each position.

The highest string is at the top, as in tablature; the nut lies to the left (common practice).
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

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

FRET, STRING = 48.0, 40.0  # from fret to fret, from string to string
LEFT, BETWEEN, TOP = 26.0, 26.0, 30.0  # for the names of strings, between boards, for the heads
SIDE = 14.0  # of a board beyond its outer strings
NUMBERS, LEGEND, BOTTOM = 24.0, 34.0, 12.0  # below the board: fret numbers, the legend, the end
THIN, THICK = 1.1, 2.6  # of the highest and the lowest string
WOOD, INLAY = "#f6efe2", "#ded3bd"  # the board, and the dots let into it
INLAID = (3, 5, 7, 9)  # frets with a dot; the twelfth has two (common practice)
OCTAVE_FRET = 12
RADIUS = {"circle": 11.5, "diamond": 11.2, "square": 11.5}  # by shape
RINGS = ((3.4, WOOD), (2.7, INK), (1.2, WOOD))  # beyond the shape: edge, ring, gap
RIM = 1.5  # of the ring in the legend
TEXT, NAME, HEAD = 11.0, 13.0, 13.0  # sizes of letters
LEAST = 520.0  # width, so that the legend has one row


def fingerboard_picture(view: FingerboardView) -> Picture:
    """Return the marks of the positions of a shape, side by side, with a legend below.

    >>> from theorykit.views.explorer_view import explore
    >>> from theorykit.views.fingerboard import GUITAR, fingerboard_of
    >>> picture = fingerboard_picture(fingerboard_of(explore("C").keyboard, GUITAR))
    >>> [mark.text for mark in picture.marks if isinstance(mark, Label)][:3]
    ['frets 1 to 5', 'E', 'B']
    """
    marks: list[Mark] = []
    left = 0.0
    for position in view.positions:
        marks += _board(view, position, left)
        left += LEFT + _long(position) + BETWEEN
    width = max(left - BETWEEN + SIDE, LEAST)
    under = TOP + _high(view) + NUMBERS
    for mark in legend(_entries(view), LEFT, under + LEGEND - BOTTOM, width - LEFT):
        marks.append(mark)
        if isinstance(mark, Marker) and mark.fill == INK:
            marks.append(replace(mark, radius=mark.radius - RIM, fill=PAPER))
    return Picture(width, under + LEGEND, tuple(marks), view.alt)


def _long(position: Position) -> float:
    """Return how long the board of a position is."""
    return FRET * (position.last - position.first + 1)


def _high(view: FingerboardView) -> float:
    """Return how high a board is."""
    return STRING * (len(view.tuning.strings) - 1) + 2 * SIDE


def _string_y(number: int) -> float:
    """Return where a string lies; the first is at the top."""
    return TOP + SIDE + STRING * (number - 1)


def _fret_x(position: Position, fret: int, left: float) -> float:
    """Return the middle between a fret and the one before it: where a finger goes."""
    return left + LEFT + FRET * (fret - position.first + 0.5)


def _board(view: FingerboardView, position: Position, left: float) -> Iterator[Mark]:
    """Yield one position: the board, its frets and strings, words, and the notes on top."""
    start, long, high = left + LEFT, _long(position), _high(view)
    yield Box(start, TOP, long, high, WOOD, LINE, 0.8, 0)
    yield from _inlays(view, position, left)
    for fret in range(position.first, position.last + 2):
        x = start + FRET * (fret - position.first)
        yield Stroke(((x, TOP), (x, TOP + high)), LINE, 1.6)
    count = len(view.tuning.strings)
    for number in range(1, count + 1):
        y, width = _string_y(number), THIN + (THICK - THIN) * (number - 1) / (count - 1)
        yield Stroke(((start, y), (start + long, y)), FADED, width)
    yield Label(start, TOP - 10, _head(position), HEAD, INK, anchor="start")
    for number in range(1, count + 1):
        name = view.tuning.string(number)
        yield Label(start - 9, _string_y(number) + NAME / 3, name, NAME, INK, False, "end")
    for fret in range(position.first, position.last + 1):
        x = _fret_x(position, fret, left)
        yield Label(x, TOP + high + 16, str(fret), TEXT, FADED, bold=False)
    for dot in position.dots:
        yield from _dot(dot, _fret_x(position, dot.fret, left))


def _head(position: Position) -> str:
    """Return the heading of a position."""
    return f"frets {position.first} to {position.last}"


def _inlays(view: FingerboardView, position: Position, left: float) -> Iterator[Marker]:
    """Yield the dots by which players know where they are."""
    middle = TOP + _high(view) / 2
    for fret in range(position.first, position.last + 1):
        x = _fret_x(position, fret, left)
        if fret in INLAID:
            yield Marker(x, middle, 5, "circle", INLAY)
        if fret == OCTAVE_FRET:
            for y in (middle - STRING, middle + STRING):
                yield Marker(x, y, 5, "circle", INLAY)


def _dot(dot: Dot, x: float) -> Iterator[Mark]:
    """Yield a note: its shape, in a ring where it belongs to what one thinks of, and its degree."""
    y, mark = _string_y(dot.string), NOTE_MARKS[dot.role]
    radius = RADIUS[mark.shape]
    for beyond, fill in RINGS if dot.ringed else RINGS[-1:]:
        yield Marker(x, y, radius + beyond, mark.shape, fill)
    yield Marker(x, y, radius, mark.shape, mark.fill)
    size = fitted(dot.degree, TEXT)
    yield Label(x, y + 0.36 * size, dot.degree, size, "#ffffff")


def _entries(view: FingerboardView) -> list[Entry]:
    """Return the roles that occur with what they mean, and the ring."""
    dots = [dot for position in view.positions for dot in position.dots]
    ring = (Marker(0, 0, SAMPLE, "circle", INK), RINGED_WORDS)
    return note_entries({dot.role for dot in dots}) + [ring] * any(dot.ringed for dot in dots)
