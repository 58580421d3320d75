"""Brackets below a row of bars, and segno, coda, fine and jumps above it."""

from __future__ import annotations

from collections.abc import Callable, Container, Iterable, Iterator
from dataclasses import dataclass
from fractions import Fraction

from theorykit.show.pictures.marks import STRAIGHT, Area, Entry, Label, Mark, Stroke
from theorykit.show.pictures.note_marks import NOTE_MARKS
from theorykit.show.pictures.picture_colours import FADED, INK
from theorykit.views.tune_page import Bracket, GridBar, TuneMark

# Brackets.
LANDS = NOTE_MARKS["landing"].fill
LANE = 27.0  # height of a bracket with its words
LINE, TICK = 7.0, 5.0  # the line below the bars, and its ends that point up to them
SIZE, BASE = 11.5, 21.0  # of the words, and their base line
# Widths by the size of the letters, those of DejaVu Sans, and how much wider bold ones are.
_WIDTHS = dict.fromkeys("Iil", 0.29) | dict.fromkeys(",./ ", 0.32) | dict.fromkeys("-()rt", 0.4)
_WIDTHS |= dict.fromkeys("♭♯♮", 0.48) | dict.fromkeys("cs", 0.54) | dict.fromkeys("Fkvxyz", 0.58)
_WIDTHS |= dict.fromkeys("aeo", 0.615) | dict.fromkeys("ABCEHKNV", 0.69)
_WIDTHS |= dict.fromkeys("DG", 0.77) | {"m": 0.98}
_OTHERS, BOLD = 0.64, 1.13
INDENT, BETWEEN = 3.0, 8.0
SHY = 2.0  # from the end of a line to the bar line
ARROW = 6.0
LONG, THIN = 4.0, 1.5  # widths of the line of a long cadence, and of the others
DASHES = {"": (), "tritone": (7.0, 3.0), "backdoor": (1.6, 2.6)}
LEADING = (1.5, 4.0)
STOPPED = *STRAIGHT, (1.0, -TICK), (1.0, TICK)  # a line of the legend with a bar across its end
POINTED = *STRAIGHT, (0.82, -3.5), (1.0, 0.0), (0.82, 3.5)  # one with an arrowhead
LONG_WORDS = "long: a bar of ii, a bar of V"
WAYS = {"tritone": "the V is a tritone substitute", "backdoor": "the V comes by the back door"}

# Jumps.
JUMP_SIZE = 11.5  # of the words
JUMP_LANE = 18.0  # height of a lane that holds the words alone
EDGE = 3.0  # from a word to its bar line

Place = Callable[[Fraction], float]
CELL, LEAST = 182.0, 6.0  # width of a bar, and where the first one begins where nothing is beside


@dataclass(frozen=True, slots=True)
class Places:
    """Where things stand on a grid, in pixels: called with bars from the left, it says how far.

    ``least`` is the size below which no letters are; ``left`` where the first bar begins.
    """

    left: float = LEAST
    cell: float = CELL
    least: float = 0.0

    def __call__(self, bars: Fraction) -> float:
        """Return the place of a share of a row.

        >>> Places()(Fraction(1, 2)), Places(50)(Fraction(1))
        (97.0, 232.0)
        """
        return self.left + self.cell * float(bars)

    @property
    def faded(self) -> str:
        """The colour of what is said in passing: large letters are for eyes that need it dark."""
        return INK if self.least else FADED

    def letters(self, usual: float) -> float:
        """Return the size of letters that have a usual one."""
        return max(usual, self.least)

    def high(self, usual: float, letters: float) -> float:
        """Return the height of what holds letters, which grows with them."""
        return usual * self.letters(letters) / letters


def lane_height(place: Places) -> float:
    """Return how high a bracket with its words is."""
    return LANE + place.letters(SIZE) - SIZE


def lanes_of(
    brackets: Iterable[Bracket], bold: Container[int], x_of: Places, edge: float
) -> dict[int, int]:
    """Return the lane of each mark in one row, so that neither lines nor words run together.

    ``bold`` are the marks whose words are bold.
    """
    extents: dict[int, tuple[float, float]] = {}
    for one in brackets:
        left, right = extents.get(one.mark, (edge, 0.0))
        start, end = _words(one, x_of, edge, bold=one.mark in bold)
        extents[one.mark] = (
            min(left, x_of(one.start), start),
            max(right, x_of(one.end) - ARROW, end),  # words may begin below the tip of an arrow
        )
    lanes: dict[int, int] = {}
    ends: list[float] = []
    for mark, (left, right) in sorted(extents.items(), key=lambda pair: (pair[1][0], pair[0])):
        lane = next((n for n, end in enumerate(ends) if end <= left), len(ends))
        ends[lane : lane + 1] = [right]
        lanes[mark] = lane
    return lanes


def _words(one: Bracket, x_of: Places, edge: float, *, bold: bool) -> tuple[float, float]:
    """Return where the words of a bracket begin, and where others may."""
    said = " ".join(one.label.split())  # two spaces print as one
    wide = sum(_WIDTHS.get(letter, _OTHERS) for letter in said) * (BOLD if bold else 1.0)
    wide *= x_of.letters(SIZE)
    start = min(x_of(one.start) + INDENT, edge - wide)
    return start, start + wide + BETWEEN * bool(one.label)


def bracket_marks(
    one: Bracket, mark: TuneMark, x_of: Places, top: float, edge: float, *, chosen: bool
) -> Iterator[Mark]:
    """Return the marks of one piece of a bracket, its lane beginning at ``top``.

    A long cadence has a thick line and bold words, a tritone substitute dashes, a backdoor dots;
    an arrow points to an I that comes, a bar goes across the end where none does. ``edge`` is the
    right end of the row.
    """
    left, right, y = x_of(one.start) + SHY, x_of(one.end) - SHY, top + LINE
    colour = LANDS if mark.lands else FADED
    dash = LEADING if one.leads else DASHES[mark.substitute]
    end = right - ARROW if one.lands else right
    thick = mark.is_long and not one.leads
    yield Stroke(((left, y), (end, y)), colour, LONG if thick else THIN, dash)
    if one.opens:
        yield Stroke(((left, y), (left, y - TICK)), colour, THIN)
    if one.closes and not one.lands:
        foot = y if mark.lands else y + TICK
        yield Stroke(((right, y - TICK), (right, foot)), colour, THIN)
    if one.lands:
        yield _arrow(right, y, colour)
    if one.label:
        start, _ = _words(one, x_of, edge, bold=mark.is_long)
        size = x_of.letters(SIZE)
        y = top + BASE + size - SIZE
        yield Label(start, y, one.label, size, INK, mark.is_long or chosen, "start")


def _arrow(tip: float, y: float, colour: str) -> Area:
    """Return an arrowhead that points to the right."""
    back = tip - ARROW - 2
    return Area(((tip + 1, y), (back, y - 4.5), (back, y + 4.5)), colour)


def meanings(marks: Iterable[TuneMark]) -> Iterator[Entry]:
    """Return what the lines under some marks mean, for a legend: only what is there."""
    found = tuple(marks)
    kinds = {(mark.lands, mark.is_long) for mark in found}
    if (True, False) in kinds:
        yield Stroke(POINTED, LANDS, THIN), "to the I"
    if not all(mark.lands for mark in found):
        yield Stroke(STOPPED, FADED, THIN), "no I"
    if (True, True) in kinds:
        yield _sample(LONG), LONG_WORDS
    if (False, True) in kinds:
        words = "long, no I" if (True, True) in kinds else LONG_WORDS
        yield Stroke(STRAIGHT, FADED, LONG), words
    if any(stretch.leads for mark in found for way in mark.ways for stretch in way):
        yield _sample(THIN, LEADING), "until the I comes"
    for way, words in WAYS.items():
        lands = {mark.lands for mark in found if mark.substitute == way}
        if lands:  # dashes and dots are of either colour, so one that is neither stands for both
            colour = INK if len(lands) > 1 else LANDS if True in lands else FADED
            yield Stroke((), colour, THIN, DASHES[way]), words


def _sample(width: float, dash: tuple[float, ...] = ()) -> Stroke:
    """Return a line for a legend."""
    return Stroke((), LANDS, width, dash)


def jump_labels(bar: GridBar, x_of: Place, y: float) -> Iterator[Label]:
    """Return the words of a bar at their base line: at its head and at its end.

    >>> from theorykit.tunes.charts import Chart
    >>> from theorykit.views.tune_page.tune_bars import grid_bars
    >>> bars = grid_bars(Chart.parse("| C | segno F | G D.S. |"))
    >>> [label.text for bar in bars for label in jump_labels(bar, float, 0)]
    ['Segno', 'D.S.']
    """
    left, right = x_of(Fraction(bar.column)), x_of(Fraction(bar.column + 1))
    if bar.heads:
        yield Label(left + EDGE, y, ", ".join(bar.heads), JUMP_SIZE, INK, True, "start")
    if bar.ends:
        yield Label(right - EDGE, y, ", ".join(bar.ends), JUMP_SIZE, INK, True, "end")
