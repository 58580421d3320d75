"""The grid of a tune: where its bars, chords, bracket lines and words stand."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import partial
from itertools import pairwise

from theorykit.show.pictures.marks import (
    Area,
    Entry,
    Label,
    Mark,
    Marker,
    Picture,
    Stroke,
    legend,
    text_width,
)
from theorykit.show.pictures.note_marks import NOTE_MARKS
from theorykit.show.pictures.picture_colours import FADED, INK, LINE, TINT
from theorykit.show.pictures.tune_brackets import (
    JUMP_LANE,
    LANE,
    Place,
    bracket_marks,
    jump_labels,
    lanes_of,
    meanings,
)
from theorykit.views.tune_page import BARS_A_ROW, Bracket, GridBar, GridWord, TuneGridView

CELL, RIGHT = 182.0, 10.0  # width of a bar, and the room behind the last one
# The margin at the left, for the names of sections: its least and greatest width, the space between
# it and the bars, the sizes of its letters, the height of a line.
LEAST, MOST, BESIDE = 6.0, 92.0, 12.0
NAMES, NAME_LINE = (16.0, 13.0, 11.0, 9.0), 1.15
TITLE, HEADS = 22.0, 20.0  # heights of the lines above the grid
ABOVE, BAR, GAP = 17.0, 32.0, 12.0  # heights: numbers, bar, space below
NUMBER, SMALL = 10.0, 12.0  # sizes of letters
INSET, CLOSE, SIGN = 9.0, 5.0, 8.0  # from a bar line to a chord, at its end, for a repeat sign
FLOOR = 1.0  # width of the line that a row stands on
JOB, JOB_LINE, JOB_TOP, JOB_END = 10.5, 13.0, 4.0, 4.0  # letters, lines, spaces above and below
KEY = 28.0  # height of a row that says what the lines mean
WHITE = "#ffffff"  # the ground of the sheet
CHOSEN = TINT  # behind the bars of the cadence that is looked at
CHANGED = NOTE_MARKS["colour"].fill
CHANGED_LINE = 1.6

# Chord symbols.
CHORD, SMALLEST, STEP = 19.0, 9.0, 0.5  # sizes of letters, and the steps between them
LOWER = 12.0  # the largest letters of which two lines stand in a bar
BETWEEN = 0.35  # the least space between two words, by the size of their letters
# Widths by the size of the letters, in bold type: those of DejaVu Sans, which paper has and which
# is wider than the fonts of most screens; of ♯ and ♮ those of screens, which are wider.
_WIDTHS = {"m": 1.05, "M": 1.0, "%": 1.01, "°": 0.5, "♯": 0.56, "♭": 0.48, "♮": 0.4, "t": 0.48}
_WIDTHS |= {"A": 0.78, "B": 0.77, "C": 0.74, "D": 0.83, "E": 0.69, "F": 0.69, "G": 0.83, "s": 0.6}
PLAIN = 0.91  # of the width of bold letters
_NARROW = dict.fromkeys("ijlI/|", 0.38) | dict.fromkeys("().,-", 0.46)
_TABLE = _WIDTHS | _NARROW | dict.fromkeys("HN+", 0.84)
_OTHERS = 0.7


@dataclass(frozen=True, slots=True)
class JobLines:
    """What one chord does, in lines under it that begin at ``x``."""

    x: float
    lines: tuple[str, ...]

    def labels(self, floor: float) -> Iterator[Label]:
        """Yield the lines under a row that ends at ``floor``."""
        for number, line in enumerate(self.lines, 1):
            y = floor + JOB_TOP + JOB_LINE * number - 0.2 * JOB
            yield Label(self.x, y, line, JOB, INK, False, "start")


@dataclass(frozen=True, slots=True)
class Row:
    """One row: its bars and brackets, the lane of each mark, the top of its bars.

    ``jobs`` are the lines of words under each chord, bar by bar, and ``room`` their height.
    """

    bars: tuple[GridBar, ...]
    brackets: tuple[Bracket, ...]
    lanes: dict[int, int]
    top: float
    jobs: tuple[tuple[JobLines, ...], ...]
    room: float

    @property
    def floor(self) -> float:
        """Where the bars end."""
        return self.top + BAR

    @property
    def below(self) -> float:
        """Where the lanes of brackets begin."""
        return self.floor + self.room

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
    left = margin_of(view)
    place = partial(x_of, left=left)
    marks: list[Mark] = list(_heads(view, left))
    rows = _rows(view, TITLE * bool(view.title) + HEADS, place)
    for row in rows:
        marks += _row(row, view, place)
    edge = place(Fraction(BARS_A_ROW))
    below = rows[-1].bottom
    words = list(legend(_entries(view), left, below + KEY / 2, edge - left))
    height = max((mark.y for mark in words if isinstance(mark, Label)), default=below)
    full = height + (KEY / 4 if words else 0)
    return Picture(edge + RIGHT, full, (*marks, *words), view.alt, paper=WHITE)


def x_of(bars: Fraction, left: float = LEAST) -> float:
    """Return the place of a share of a row, counted in bars, in pixels; the first bar at ``left``.

    >>> x_of(Fraction(1, 2)), x_of(Fraction(1), 50)
    (97.0, 232.0)
    """
    return left + CELL * float(bars)


def margin_of(view: TuneGridView) -> float:
    """Return where the first bars begin, behind a margin as wide as the names of the sections."""
    names = [_set_name(bar.section) for bar in view.bars if bar.section]
    wide = (text_width(line, size) for size, lines in names for line in lines)
    return min(MOST, max(wide)) + BESIDE if names else LEAST


def _set_name(name: str) -> tuple[float, list[str]]:
    """Return the size of the letters and the lines of the name of a section in the margin."""
    for size in NAMES:
        lines = wrapped(name, MOST, size)
        if all(text_width(line, size) <= MOST for line in lines) and len(lines) * size <= BAR:
            return size, lines
    return NAMES[-1], lines


def wrapped(text: str, width: float, size: float) -> list[str]:
    """Return a text in lines of at most a width, broken between words.

    >>> wrapped("tritone V of G", 60, 10)
    ['tritone V', 'of G']
    """
    lines: list[str] = []
    for word in text.split():
        longer = f"{lines[-1]} {word}" if lines else word
        if lines and text_width(longer, size) <= width:
            lines[-1] = longer
        else:
            lines.append(word)
    return lines


def _entries(view: TuneGridView) -> Iterator[Entry]:
    """Return what the legend says of lines under bars and of underlined chords."""
    yield from meanings(view.marks)
    if any(word.changed for bar in view.bars for word in bar.words):
        yield Stroke((), CHANGED, CHANGED_LINE), "underlined: the chord as it is coloured"


def _heads(view: TuneGridView, left: float) -> Iterator[Label]:
    """Return the words above the grid."""
    if view.title:
        yield Label(left, TITLE - 6, view.title, 18.0, INK, True, "start")
    y = TITLE * bool(view.title) + HEADS - 7
    yield Label(left, y, view.heads, SMALL, FADED, False, "start")


def _rows(view: TuneGridView, top: float, place: Place) -> list[Row]:
    """Stack the rows, each as high as its jobs and brackets need."""
    rows: list[Row] = []
    edge = place(Fraction(BARS_A_ROW))
    for number in range(view.rows):
        bars = tuple(bar for bar in view.bars if bar.row == number)
        brackets = tuple(one for one in view.brackets if one.row == number)
        lift = JUMP_LANE * any(bar.heads or bar.ends for bar in bars)
        jobs = tuple(tuple(_job_lines(bar, _ends(bar, view), place)) for bar in bars)
        most = max((len(one.lines) for bar in jobs for one in bar), default=0)
        room = JOB_TOP + JOB_LINE * most + JOB_END if most else 0.0
        lanes = lanes_of(brackets, place, edge)
        rows.append(Row(bars, brackets, lanes, top + lift + ABOVE, jobs, room))
        top = max(rows[-1].bottom, _name_bottom(rows[-1]))
    return rows


def _name_bottom(row: Row) -> float:
    """Return where the name in the margin of a row ends."""
    names = [_set_name(bar.section) for bar in row.bars if bar.section]
    return row.top + max((size * NAME_LINE * len(lines) + GAP for size, lines in names), default=0)


def _job_lines(bar: GridBar, ends: bool, place: Place) -> Iterator[JobLines]:
    """Yield the words under each chord of a bar, as wide as the room up to the next one."""
    spots = _spots(bar, ends, place)[1]
    edges = [*spots[1:], place(Fraction(bar.column + 1))]
    for word, x, end in zip(bar.words, spots, edges, strict=True):
        if word.job:
            yield JobLines(x, tuple(wrapped(word.job, end - x - BETWEEN * JOB, JOB)))


def _row(row: Row, view: TuneGridView, place: Place) -> Iterator[Mark]:
    """Return the marks of one row, the ground of a chosen cadence first."""
    for one in row.brackets:
        if one.mark == view.chosen and not one.leads:
            yield _area(place(one.start), row.top, place(one.end), row.floor)
    ends = place(Fraction(row.bars[0].column)), place(Fraction(row.bars[-1].column + 1))
    yield Stroke(tuple((x, row.floor) for x in ends), LINE, FLOOR)
    for bar, jobs in zip(row.bars, row.jobs, strict=True):
        yield from _section(bar, row)
        yield from _bar(bar, row, place, ends=_ends(bar, view))
        yield from jump_labels(bar, place, row.top - ABOVE - 4)
        yield from (label for one in jobs for label in one.labels(row.floor))
    edge = place(Fraction(BARS_A_ROW))
    by_number = {mark.number: mark for mark in view.marks}
    for one in row.brackets:
        y = row.below + LANE * row.lanes[one.mark]
        yield from bracket_marks(
            one, by_number[one.mark], place, y, edge, chosen=one.mark == view.chosen
        )


def _section(bar: GridBar, row: Row) -> Iterator[Label]:
    """Return the name of a section in the margin, its first line level with the chords."""
    if bar.section:
        size, lines = _set_name(bar.section)
        y = row.top + BAR / 2 + 0.36 * size - (len(lines) > 1) * (BAR - size) / 2
        for number, line in enumerate(lines):
            yield Label(0.0, y + NAME_LINE * size * number, line, size, INK, True, "start")


def _ends(bar: GridBar, view: TuneGridView) -> bool:
    """Tell whether a bar ends with a thick line."""
    return bool(bar.closes) or bar is view.bars[-1]


def _area(left: float, top: float, right: float, bottom: float) -> Area:
    """Return the ground of a chosen stretch."""
    return Area(((left, top), (right, top), (right, bottom), (left, bottom)), CHOSEN)


def _spots(bar: GridBar, ends: bool, place: Place) -> tuple[float, list[float], list[float]]:
    """Return the size of the chords of a bar, where each begins, and how far down it stands.

    Where the smallest letters are too wide side by side, every other chord stands a line lower.
    """
    left = place(Fraction(bar.column))
    first, last = left + INSET + SIGN * bar.opens, left + CELL - CLOSE - SIGN * ends
    last -= CLOSE * bool(bar.closes)
    size, places = set_words(bar.words, first, last, left, CELL)
    base = BAR / 2 + 0.36 * CHORD
    if _needed(bar.words, size) <= last - first:
        return size, places, [base] * len(places)
    lines = bar.words[::2], bar.words[1::2]
    size = LOWER
    while size > SMALLEST and any(_needed(line, size) > last - first for line in lines):
        size -= STEP
    for number, line in enumerate(lines):
        places[number::2] = _placed(line, size, (first, last), left, CELL)
    return size, places, [base - size * (n % 2 == 0) for n in range(len(places))]


def _bar(bar: GridBar, row: Row, place: Place, *, ends: bool) -> Iterator[Mark]:
    """Return a bar: its lines, what stands above it, its chords."""
    left = place(Fraction(bar.column))
    yield from _lines(bar, left, row, ends)
    yield from _above(bar, left, row.top)
    size, places, depths = _spots(bar, ends, place)
    for word, x, depth in zip(bar.words, places, depths, strict=True):
        y = row.top + depth
        plain = word.text in ("/", "%")
        colour = FADED if plain else CHANGED if word.changed else INK
        yield Label(x, y, word.text, size, colour, not plain, "start")
        if word.changed:
            end = x + chord_width(word.text, size)
            yield Stroke(((x, y + 4), (end, y + 4)), CHANGED, CHANGED_LINE)


def _above(bar: GridBar, left: float, top: float) -> Iterator[Mark]:
    """Return what stands above a bar: its numbers, its metre, its ending."""
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
    right, top, bottom = left + CELL, row.top, row.floor
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


def symbol_width(text: str, size: float) -> float:
    """Return how wide a chord symbol is in plain letters of a size, in pixels.

    >>> symbol_width("Am7", 10) < chord_width("Am7", 10)
    True
    """
    return PLAIN * chord_width(text, size)


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
    (19.0, [9, 95.79])
    """
    size = CHORD
    while size > SMALLEST and _needed(words, size) > last - first:
        size -= STEP
    return size, _placed(words, size, (first, last), left, width)


def _placed(
    words: Sequence[GridWord], size: float, ends: tuple[float, float], left: float, width: float
) -> list[float]:
    """Return where each word begins in letters of a size."""
    first, last = ends
    places = [max(first, left + 0.04 * width + 0.96 * width * float(word.at)) for word in words]
    edge = last
    for number in range(len(words) - 1, -1, -1):
        places[number] = min(places[number], edge - chord_width(words[number].text, size))
        edge = places[number] - BETWEEN * size
    places[0] = max(places[0], first)
    for before, after in pairwise(range(len(words))):
        least = places[before] + chord_width(words[before].text, size) + BETWEEN * size / 2
        places[after] = max(places[after], least)
    return [round(place, 2) for place in places]


def _needed(words: Sequence[GridWord], size: float) -> float:
    """Return the room that words need side by side."""
    return sum(chord_width(word.text, size) + BETWEEN * size for word in words) - BETWEEN * size
