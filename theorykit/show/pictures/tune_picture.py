"""The grid of a tune: where its bars, chords, bracket lines and words stand."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from theorykit.show.pictures.chord_words import (
    BETWEEN,
    CHORD,
    LOWER,
    SMALLEST,
    STEP,
    chord_width,
    places_of,
    room_of,
    set_words,
)
from theorykit.show.pictures.marks import (
    SIZE,
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
from theorykit.show.pictures.picture_colours import INK, LINE, TINT
from theorykit.show.pictures.tune_brackets import (
    CELL,
    JUMP_LANE,
    LEAST,
    Places,
    bracket_marks,
    jump_labels,
    lane_height,
    lanes_of,
    meanings,
)
from theorykit.views.tune_page import Bracket, GridBar, TuneGridView

RIGHT = 10.0  # the room behind the last bar
# The margin at the left, for the names of sections: its greatest width, the space between it and
# the bars, the sizes of its letters, the height of a line.
MOST, BESIDE = 92.0, 12.0
NAMES, NAME_LINE = (16.0, 13.0, 11.0, 9.0), 1.15
TITLE, HEADS, HEAD_LINE = 22.0, 20.0, 15.0  # heights of the lines above the grid
ABOVE, BAR, GAP = 17.0, 32.0, 12.0  # heights: numbers, bar, space below
# Of bars whose letters have a least size: the height of one in which chords stand in two lines, the
# size below which they do, that of their letters there, and from line to line by that.
TALL, SIDE_BY_SIDE, IN_TWO, LEADING = 40.5, 14.0, 15.0, 1.26
NEXT, CLOSER = 8.0, 0.88  # the space below a row; the width of words of the legend
NUMBER, SMALL = 10.0, 12.0  # sizes of letters
INSET, CLOSE, SIGN = 9.0, 5.0, 8.0  # from a bar line to a chord, at its end, for a repeat sign
FLOOR = 1.0  # width of the line that a row stands on
JOB, JOB_LINE, JOB_TOP, JOB_END = 10.5, 13.0, 4.0, 4.0  # letters, lines, spaces above and below
KEY = 28.0  # height of a row that says what the lines mean
WHITE = "#ffffff"  # the ground of the sheet
CHOSEN = TINT  # behind the bars of the cadence that is looked at
CHANGED = NOTE_MARKS["colour"].fill
CHANGED_LINE = 1.6


@dataclass(frozen=True, slots=True)
class JobLines:
    """What one chord does, in lines under it that begin at ``x``."""

    x: float
    lines: tuple[str, ...]
    size: float
    apart: float

    def labels(self, floor: float) -> Iterator[Label]:
        """Yield the lines under a row that ends at ``floor``."""
        for number, line in enumerate(self.lines, 1):
            y = floor + JOB_TOP + self.apart * number - 0.2 * self.size
            yield Label(self.x, y, line, self.size, INK, False, "start")


@dataclass(frozen=True, slots=True)
class Row:
    """One row: its bars and brackets, the lane of each mark; the top and the height of its bars.

    ``lane`` is the height of a bracket; ``jobs`` are the lines of words under each chord, bar by
    bar, and ``room`` their height.
    """

    bars: tuple[GridBar, ...]
    brackets: tuple[Bracket, ...]
    lanes: dict[int, int]
    top: float
    high: float
    lane: float
    jobs: tuple[tuple[JobLines, ...], ...]
    room: float
    gap: float

    @property
    def floor(self) -> float:
        """Where the bars end."""
        return self.top + self.high

    @property
    def below(self) -> float:
        """Where the lanes of brackets begin."""
        return self.floor + self.room

    @property
    def bottom(self) -> float:
        """Where the row ends."""
        return self.below + self.lane * (max(self.lanes.values(), default=-1) + 1) + self.gap


def tune_grid_picture(view: TuneGridView) -> Picture:
    """Return the marks of a grid.

    >>> from theorykit.tunes.charts import Chart
    >>> from theorykit.views.tune_page import tune_grid
    >>> picture = tune_grid_picture(tune_grid(Chart.of("F", "Gm7", "C7", "F6", "%")))
    >>> [mark.text for mark in picture.marks if isinstance(mark, Label)][-4:]
    ['4', '%', '1  ii-V-I F, long', 'long: a bar of ii, a bar of V']
    """
    return tune_grid_pictures(view, view.rows)[0]


def tune_grid_pictures(
    view: TuneGridView, rows: int, *, width: float = 0.0, least: float = 0.0
) -> tuple[Picture, ...]:
    """Return the marks of a grid in pictures of so many rows, so that a page may break between.

    The first has the words above the grid, the last says what the lines mean. How far apart the
    pictures stand is left to the page. With ``width`` the bars fill so many pixels, and no letters
    are smaller than ``least``.

    >>> from theorykit.tunes.charts import Chart
    >>> from theorykit.views.tune_page import tune_grid
    >>> view = tune_grid(Chart.of("F", *["Gm7"] * 6), columns=2)
    >>> [picture.alt for picture in tune_grid_pictures(view, 2)][1:]
    ['Row 3 of the chart above.']
    """
    starts = range(0, view.rows, rows)
    left = margin_of(view, least)
    place = Places(left, (width - left - RIGHT) / view.columns if width else CELL, least)
    return tuple(
        _sheet(view, range(start, min(start + rows, view.rows)), place) for start in starts
    )


def _sheet(view: TuneGridView, numbers: range, place: Places) -> Picture:
    """Return the marks of some rows of a grid."""
    left = place.left
    first, last = numbers.start == 0, numbers.stop == view.rows
    marks: list[Mark] = list(_heads(view, place)) if first else []
    top = TITLE * bool(view.title) + HEADS + HEAD_LINE * (len(_head_lines(view, place)) - 1)
    rows = _rows(view, numbers, top * first, place)
    for row in rows:
        marks += _row(row, view, place)
    edge = place(Fraction(view.columns))
    below = rows[-1].bottom
    size, closer = (place.least, CLOSER) if place.least else (SIZE, 1.0)
    entries = list(_entries(view)) if last else []
    words = legend(entries, left, below + KEY / 2, edge - left, size=size, closer=closer)
    height = max((mark.y for mark in words if isinstance(mark, Label)), default=below)
    full = height + (KEY / 4 if words else 0) - (0 if last else rows[-1].gap)
    alt = view.alt if first else _further(numbers)
    return Picture(edge + RIGHT, full, (*marks, *words), alt, paper=WHITE)


def _further(numbers: range) -> str:
    """Say which rows of a grid a picture holds."""
    first, last = numbers.start + 1, numbers.stop
    which = f"Row {first}" if first == last else f"Rows {first} to {last}"
    return f"{which} of the chart above."


def margin_of(view: TuneGridView, least: float = 0.0) -> float:
    """Return where the first bars begin, behind a margin as wide as the names of the sections."""
    names = [_set_name(bar.section, least) for bar in view.bars if bar.section]
    wide = (text_width(line, size) for size, lines in names for line in lines)
    return min(MOST, max(wide)) + BESIDE if names else LEAST


def _set_name(name: str, least: float) -> tuple[float, list[str]]:
    """Return the size of the letters and the lines of the name of a section in the margin."""
    for size in NAMES:
        size = max(size, least)
        lines = wrapped(name, MOST, size)
        if all(text_width(line, size) <= MOST for line in lines) and len(lines) * size <= BAR:
            return size, lines
    return size, lines


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


def _head_lines(view: TuneGridView, place: Places) -> list[str]:
    """Return key, metre, tempo and more in lines as wide as the rows."""
    return wrapped(view.heads, place.cell * view.columns, place.letters(SMALL))


def _heads(view: TuneGridView, place: Places) -> Iterator[Label]:
    """Return the words above the grid."""
    if view.title:
        yield Label(place.left, TITLE - 6, view.title, 18.0, INK, True, "start")
    for number, line in enumerate(_head_lines(view, place)):
        y = TITLE * bool(view.title) + HEADS - 7 + HEAD_LINE * number
        yield Label(place.left, y, line, place.letters(SMALL), place.faded, False, "start")


def _rows(view: TuneGridView, numbers: range, top: float, place: Places) -> list[Row]:
    """Stack some rows, each as high as its jobs and brackets need."""
    rows: list[Row] = []
    edge, bold = place(Fraction(view.columns)), {one.number for one in view.marks if one.is_long}
    for number in numbers:
        bars = tuple(bar for bar in view.bars if bar.row == number)
        brackets = tuple(one for one in view.brackets if one.row == number)
        lift = JUMP_LANE * any(bar.heads or bar.ends for bar in bars)
        jobs = tuple(tuple(_job_lines(bar, _ends(bar, view), place)) for bar in bars)
        most = max((len(one.lines) for bar in jobs for one in bar), default=0)
        room = JOB_TOP + place.high(JOB_LINE, JOB) * most + JOB_END if most else 0.0
        lanes = lanes_of(brackets, bold, place, edge)
        begins = top + lift + ABOVE + place.letters(NUMBER) - NUMBER
        high, lane = _bar_height(bars, view, place), lane_height(place)
        gap = NEXT if place.least else GAP
        rows.append(Row(bars, brackets, lanes, begins, high, lane, jobs, room, gap))
        top = max(rows[-1].bottom, _name_bottom(rows[-1], place))
    return rows


def _bar_height(bars: tuple[GridBar, ...], view: TuneGridView, place: Places) -> float:
    """Return how high the bars of a row are: higher where large chords stand in two lines."""
    if not place.least:
        return BAR
    return TALL if any(any(_spots(bar, _ends(bar, view), place)[2]) for bar in bars) else BAR


def _name_bottom(row: Row, place: Places) -> float:
    """Return where the name in the margin of a row ends."""
    names = [_set_name(bar.section, place.least) for bar in row.bars if bar.section]
    return row.top + max((size * NAME_LINE * len(lines) + GAP for size, lines in names), default=0)


def _job_lines(bar: GridBar, ends: bool, place: Places) -> Iterator[JobLines]:
    """Yield the words under each chord of a bar, as wide as the room up to the next one."""
    size, apart = place.letters(JOB), place.high(JOB_LINE, JOB)
    if place.least:  # the words of one chord below those of the one before
        wide = place.cell - INSET
        lines = (line for word in bar.words for line in wrapped(word.job, wide, size))
        yield JobLines(place(Fraction(bar.column)) + INSET / 2, tuple(lines), size, apart)
        return
    spots = _spots(bar, ends, place)[1]
    edges = [*spots[1:], place(Fraction(bar.column + 1))]
    for word, x, end in zip(bar.words, spots, edges, strict=True):
        if word.job:
            yield JobLines(x, tuple(wrapped(word.job, end - x - BETWEEN * JOB, JOB)), size, apart)


def _row(row: Row, view: TuneGridView, place: Places) -> Iterator[Mark]:
    """Return the marks of one row, the ground of a chosen cadence first."""
    for one in row.brackets:
        if one.mark == view.chosen and not one.leads:
            (left, right), (top, foot) = map(place, (one.start, one.end)), (row.top, row.floor)
            yield Area(((left, top), (right, top), (right, foot), (left, foot)), CHOSEN)
    ends = place(Fraction(row.bars[0].column)), place(Fraction(row.bars[-1].column + 1))
    yield Stroke(tuple((x, row.floor) for x in ends), LINE, FLOOR)
    for bar, jobs in zip(row.bars, row.jobs, strict=True):
        yield from _section(bar, row, place)
        yield from _bar(bar, row, place, ends=_ends(bar, view))
        yield from jump_labels(bar, place, row.top - ABOVE - place.letters(NUMBER) + NUMBER - 4)
        yield from (label for one in jobs for label in one.labels(row.floor))
    edge = place(Fraction(view.columns))
    by_number = {mark.number: mark for mark in view.marks}
    for one in row.brackets:
        y = row.below + row.lane * row.lanes[one.mark]
        yield from bracket_marks(
            one, by_number[one.mark], place, y, edge, chosen=one.mark == view.chosen
        )


def _section(bar: GridBar, row: Row, place: Places) -> Iterator[Label]:
    """Return the name of a section in the margin, its first line level with the chords."""
    if bar.section:
        size, lines = _set_name(bar.section, place.least)
        y = row.top + row.high / 2 + 0.36 * size - (len(lines) > 1) * (row.high - size) / 2
        for number, line in enumerate(lines):
            yield Label(0.0, y + NAME_LINE * size * number, line, size, INK, True, "start")


def _ends(bar: GridBar, view: TuneGridView) -> bool:
    """Tell whether a bar ends with a thick line."""
    return bool(bar.closes) or bar is view.bars[-1]


def _spots(bar: GridBar, ends: bool, place: Places) -> tuple[float, list[float], list[float]]:
    """Return the size of the chords of a bar, where each begins, and how much higher it stands.

    Where the smallest letters are too wide side by side, every other chord stands a line higher.
    """
    left, cell = place(Fraction(bar.column)), place.cell
    first, last = left + INSET + SIGN * bar.opens, left + cell - CLOSE - SIGN * ends
    last -= CLOSE * bool(bar.closes)
    least, size, leading = (
        (SIDE_BY_SIDE, IN_TWO, LEADING) if place.least else (SMALLEST, LOWER, 1.0)
    )
    beside, places = set_words(bar.words, first, last, left, cell, least=least)
    if room_of(bar.words, beside) <= last - first:
        return beside, places, [0.0] * len(places)
    lines = bar.words[::2], bar.words[1::2]
    while size > SMALLEST and any(room_of(line, size) > last - first for line in lines):
        size -= STEP
    for number, line in enumerate(lines):
        places[number::2] = places_of(line, size, (first, last), left, cell)
    return size, places, [leading * size * (n % 2 == 0) for n in range(len(places))]


def _bar(bar: GridBar, row: Row, place: Places, *, ends: bool) -> Iterator[Mark]:
    """Return a bar: its lines, what stands above it, its chords."""
    left = place(Fraction(bar.column))
    yield from _lines(bar, left, row, place, ends)
    yield from _above(bar, left, row.top, place)
    size, places, rises = _spots(bar, ends, place)
    base = row.floor - BAR / 2 if any(rises) else row.floor - row.high / 2
    for word, x, rise in zip(bar.words, places, rises, strict=True):
        y = base + 0.36 * CHORD - rise
        plain = word.text in ("/", "%")
        colour = place.faded if plain else CHANGED if word.changed else INK
        yield Label(x, y, word.text, size, colour, not plain, "start")
        if word.changed:
            end = x + chord_width(word.text, size)
            yield Stroke(((x, y + 4), (end, y + 4)), CHANGED, CHANGED_LINE)


def _above(bar: GridBar, left: float, top: float, place: Places) -> Iterator[Mark]:
    """Return what stands above a bar: its numbers, its metre, its ending."""
    x, size = left + INSET, place.letters(SMALL)
    if bar.ending:
        text = "".join(f"{number}." for number in bar.ending)
        corners = ((left, top - 2), (left, top - 15), (left + place.cell - 6, top - 15))
        yield Stroke(corners, INK, 1.2)
        yield Label(x - 4, top - 4, text, size, INK, True, "start")
        x += text_width(text, size) + 4
    if bar.metre:
        yield Label(x, top - 4, bar.metre, size, INK, True, "start")
        x += text_width(bar.metre, size) + 6
    yield Label(x, top - 4, bar.numbers, place.letters(NUMBER), place.faded, False, "start")


def _lines(bar: GridBar, left: float, row: Row, place: Places, ends: bool) -> Iterator[Mark]:
    """Return the bar lines, with the signs of repeats; a double line where players may leave."""
    right, top, bottom = left + place.cell, row.top, row.floor
    yield _upright(left + 1.5, top, bottom, 4.0) if bar.opens else _upright(left, top, bottom, 1.2)
    if bar.opens:
        yield _upright(left + 6, top, bottom, 1.2)
        yield from _dots(left + 10, row)
    yield _upright(right - 1.5, top, bottom, 4.0) if ends else _upright(right, top, bottom, 1.2)
    if ends or bar.ends:
        yield _upright(right - (6 if ends else 4), top, bottom, 1.2)
    if bar.closes:
        yield from _dots(right - 10, row)
    if bar.closes > 2:
        size = place.letters(NUMBER)
        yield Label(right - 2, top - 4, f"{bar.closes} times", size, INK, True, "end")


def _upright(x: float, top: float, bottom: float, width: float) -> Stroke:
    """Return an upright line."""
    return Stroke(((x, top), (x, bottom)), INK, width)


def _dots(x: float, row: Row) -> Iterator[Marker]:
    """Return the two dots of a repeat."""
    middle = row.top + row.high / 2
    yield Marker(x, middle - 5, 2.0, "circle", INK)
    yield Marker(x, middle + 5, 2.0, "circle", INK)
