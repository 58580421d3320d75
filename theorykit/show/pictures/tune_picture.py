"""The grid of a tune: where its bars, chords, bracket lines and words stand."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise

from theorykit.show.pictures.marks import (
    Area,
    Label,
    Mark,
    Marker,
    Picture,
    Stroke,
    legend,
    text_width,
)
from theorykit.show.pictures.picture_colours import FADED, INK, VERMILLION
from theorykit.show.pictures.tune_brackets import (
    JUMP_LANE,
    LANE,
    box_width,
    bracket_marks,
    jump_labels,
    lanes_of,
    meanings,
    needs_lane,
)
from theorykit.views.tune_page import BARS_A_ROW, Bracket, GridBar, GridWord, TuneGridView

CELL = 188.0  # width of a bar
LEFT, RIGHT = 6.0, 12.0  # room beside the outer bar lines
TITLE, HEADS = 22.0, 20.0  # heights of the lines above the grid
NAME, ABOVE, BAR, GAP = 26.0, 17.0, 34.0, 9.0  # heights: section name, numbers, bar, space below
NUMBER, SMALL = 10.0, 12.0  # sizes of letters
INSET, CLOSE, SIGN = 9.0, 5.0, 8.0  # from a bar line to a chord, at its end, for a repeat sign
KEY = 28.0  # height of a row that says what the lines mean
CHOSEN = "#dcebf5"  # behind the bars of the cadence that is looked at
CHANGED = VERMILLION

# Chord symbols.
CHORD, SMALLEST, STEP = 19.0, 9.0, 0.5  # sizes of letters, and the steps between them
BETWEEN = 0.35  # the least space between two words, by the size of their letters
# Widths by the size of the letters, in bold type: those of common sans-serif fonts, rounded up.
_WIDTHS = {"m": 0.9, "M": 0.84, "G": 0.79, "°": 0.41, "ø": 0.62, "♯": 0.56, "♭": 0.48, "♮": 0.4}
_NARROW = dict.fromkeys("ijlI./(),|", 0.34)
_WIDE = dict.fromkeys("ABCDEFHN", 0.73)
_TABLE = _WIDTHS | _NARROW | _WIDE
_OTHERS = 0.59


@dataclass(frozen=True, slots=True)
class Row:
    """One row: its bars and brackets, the lane of each mark, the top of its bars.

    ``lift`` is the height of the lane for segno, coda, fine and jumps, 0 where they stand beside
    the boxes of sections or are none.
    """

    bars: tuple[GridBar, ...]
    brackets: tuple[Bracket, ...]
    lanes: dict[int, int]
    top: float
    lift: float

    @property
    def below(self) -> float:
        """Where the lanes of brackets begin."""
        return self.top + BAR

    @property
    def bottom(self) -> float:
        """Where the row ends."""
        return self.below + LANE * (max(self.lanes.values(), default=-1) + 1) + GAP


def tune_grid_picture(view: TuneGridView) -> Picture:
    """Return the marks of a grid.

    >>> from theorykit.tunes.charts import Chart
    >>> from theorykit.views.tune_page import tune_grid
    >>> picture = tune_grid_picture(tune_grid(Chart.of("F", "Gm7", "C7", "F6", "%")))
    >>> [mark.text for mark in picture.marks if isinstance(mark, Label)][-4:]
    ['4', '%', '1  ii-V-I F, long', 'long: a bar of ii, a bar of V']
    """
    marks: list[Mark] = list(_heads(view))
    rows = _rows(view, TITLE * bool(view.title) + HEADS)
    for row in rows:
        marks += _row(row, view)
    width = x_of(Fraction(BARS_A_ROW)) + RIGHT
    below = rows[-1].bottom
    words = list(legend(meanings(view.marks), LEFT, below + KEY / 2, width))
    height = max((mark.y for mark in words if isinstance(mark, Label)), default=below)
    return Picture(width, height + (KEY / 4 if words else 0), (*marks, *words), view.alt)


def x_of(bars: Fraction) -> float:
    """Return the place of a share of a row, counted in bars, in pixels."""
    return LEFT + CELL * float(bars)


def _heads(view: TuneGridView) -> Iterator[Label]:
    """Return the words above the grid."""
    if view.title:
        yield Label(LEFT, TITLE - 6, view.title, 18.0, INK, True, "start")
    y = TITLE * bool(view.title) + HEADS - 7
    yield Label(LEFT, y, view.heads, SMALL, FADED, False, "start")


def _rows(view: TuneGridView, top: float) -> list[Row]:
    """Stack the rows, each as high as its brackets need."""
    rows: list[Row] = []
    edge = x_of(Fraction(BARS_A_ROW))
    for number in range(view.rows):
        bars = tuple(bar for bar in view.bars if bar.row == number)
        brackets = tuple(one for one in view.brackets if one.row == number)
        named = any(bar.section for bar in bars)
        lanes = lanes_of(brackets, x_of, edge)
        lift = JUMP_LANE * needs_lane(bars, x_of)
        rows.append(Row(bars, brackets, lanes, top + NAME * named + lift + ABOVE, lift))
        top = rows[-1].bottom
    return rows


def _row(row: Row, view: TuneGridView) -> Iterator[Mark]:
    """Return the marks of one row, the ground of a chosen cadence first."""
    for one in row.brackets:
        if one.mark == view.chosen and not one.leads:
            yield _area(x_of(one.start), row.top, x_of(one.end), row.below)
    for bar in row.bars:
        yield from _bar(bar, row, ends=bool(bar.closes) or bar is view.bars[-1])
        base = row.top - ABOVE - (4 if row.lift else 6)
        yield from jump_labels(bar, x_of, base, beside=not row.lift)
    edge = x_of(Fraction(BARS_A_ROW))
    by_number = {mark.number: mark for mark in view.marks}
    for one in row.brackets:
        y = row.below + LANE * row.lanes[one.mark]
        yield from bracket_marks(
            one, by_number[one.mark], x_of, y, edge, chosen=one.mark == view.chosen
        )


def _area(left: float, top: float, right: float, bottom: float) -> Area:
    """Return the ground of a chosen stretch."""
    return Area(((left, top), (right, top), (right, bottom), (left, bottom)), CHOSEN)


def _bar(bar: GridBar, row: Row, *, ends: bool) -> Iterator[Mark]:
    """Return a bar: its lines, what stands above it, its chords."""
    left = x_of(Fraction(bar.column))
    yield from _lines(bar, left, row, ends)
    yield from _above(bar, left, row.top, row.lift)
    first, last = left + INSET + SIGN * bar.opens, left + CELL - CLOSE - SIGN * ends
    size, places = set_words(bar.words, first, last, left, CELL)
    y = row.top + BAR / 2 + 0.36 * CHORD
    for word, x in zip(bar.words, places, strict=True):
        plain = word.text in ("/", "%")
        colour = FADED if plain else CHANGED if word.changed else INK
        yield Label(x, y, word.text, size, colour, not plain, "start")
        if word.changed:
            end = x + chord_width(word.text, size)
            yield Stroke(((x, y + 4), (end, y + 4)), CHANGED, 1.6)


def _above(bar: GridBar, left: float, top: float, lift: float) -> Iterator[Mark]:
    """Return what stands above a bar: its section, its numbers, its metre, its ending."""
    if bar.section:
        wide, high, low = box_width(bar.section), top - lift - 38, top - lift - 18
        box = ((left, high), (left + wide, high), (left + wide, low), (left, low))
        yield Stroke(box, INK, 1.4, closed=True)
        yield Label(left + wide / 2, low - 5, bar.section, 14.0, INK)
    x = left + INSET
    if bar.ending:
        text = "".join(f"{number}." for number in bar.ending)
        corners = ((left, top - 2), (left, top - 15), (left + CELL - 6, top - 15))
        yield Stroke(corners, INK, 1.2)
        yield Label(x - 4, top - 4, text, SMALL, INK, True, "start")
        x += text_width(text, SMALL) + 4
    if bar.metre:
        yield Label(x, top - 4, bar.metre, SMALL, INK, True, "start")
        x += text_width(bar.metre, SMALL) + 6
    yield Label(x, top - 4, bar.numbers, NUMBER, FADED, False, "start")


def _lines(bar: GridBar, left: float, row: Row, ends: bool) -> Iterator[Mark]:
    """Return the bar lines, with the signs of repeats; a double line where players may leave."""
    right, top, bottom = left + CELL, row.top, row.below
    yield _upright(left + 1.5, top, bottom, 4.0) if bar.opens else _upright(left, top, bottom, 1.2)
    if bar.opens:
        yield _upright(left + 6, top, bottom, 1.2)
        yield from _dots(left + 10, top)
    yield _upright(right - 1.5, top, bottom, 4.0) if ends else _upright(right, top, bottom, 1.2)
    if ends or bar.ends:
        yield _upright(right - (6 if ends else 4), top, bottom, 1.2)
    if bar.closes:
        yield from _dots(right - 10, top)
    if bar.closes > 2:
        yield Label(right - 2, top - 4, f"{bar.closes} times", NUMBER, INK, True, "end")


def _upright(x: float, top: float, bottom: float, width: float) -> Stroke:
    """Return an upright line."""
    return Stroke(((x, top), (x, bottom)), INK, width)


def _dots(x: float, top: float) -> Iterator[Marker]:
    """Return the two dots of a repeat."""
    yield Marker(x, top + BAR / 2 - 5, 2.0, "circle", INK)
    yield Marker(x, top + BAR / 2 + 5, 2.0, "circle", INK)


def chord_width(text: str, size: float) -> float:
    """Return how wide a chord symbol is in bold letters of a size, in pixels.

    >>> chord_width("Am7", 10) > chord_width("A♭7", 10)
    True
    """
    return size * sum(_TABLE.get(letter, _OTHERS) for letter in text)


def set_words(
    words: Sequence[GridWord], first: float, last: float, left: float, width: float
) -> tuple[float, list[float]]:
    """Return the size of the letters, and where each word of a bar begins.

    A word stands where its beat is in the bar (from ``left``, so many pixels wide), between
    ``first`` and ``last``; one that has no room there begins earlier, and only where that does not
    help are the letters smaller.

    >>> from fractions import Fraction
    >>> long = [GridWord("Am7", Fraction(0)), GridWord("D7♭9♭13", Fraction(2, 3))]
    >>> set_words(long, 9, 183, 0, 188)
    (19.0, [9, 106.05])
    """
    size = CHORD
    while size > SMALLEST and _needed(words, size) > last - first:
        size -= STEP
    places = [max(first, left + 0.04 * width + 0.96 * width * float(word.at)) for word in words]
    edge = last
    for number in range(len(words) - 1, -1, -1):
        places[number] = min(places[number], edge - chord_width(words[number].text, size))
        edge = places[number] - BETWEEN * size
    places[0] = max(places[0], first)
    for before, after in pairwise(range(len(words))):
        least = places[before] + chord_width(words[before].text, size) + BETWEEN * size / 2
        places[after] = max(places[after], least)
    return size, [round(place, 2) for place in places]


def _needed(words: Sequence[GridWord], size: float) -> float:
    """Return the room that words need side by side."""
    return sum(chord_width(word.text, size) + BETWEEN * size for word in words) - BETWEEN * size
