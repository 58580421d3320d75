"""The motion picture: where its ladders, ways and words stand."""

from __future__ import annotations

from theorykit.show.pictures.marks import (
    Area,
    Entry,
    Label,
    Mark,
    Marker,
    Picture,
    Stroke,
    fitted,
    legend,
    text_width,
)
from theorykit.show.pictures.note_marks import NOTE_MARKS, note_entries
from theorykit.show.pictures.picture_colours import FADED, INK, LINE, PAPER
from theorykit.views.motion import WAYS, MotionView, Rung, Way

WIDTH = 500.0
LEFT, RIGHT = 130.0, 370.0  # where the ladders stand
TOP, STEP = 70.0, 30.0  # of the highest rung; height of a half step
RADIUS, GAP = 11.0, 16.0
BIG, NAME, SMALL = 17.0, 15.0, 11.0
HALF_PLATE = 7 / 11  # of a plate behind small letters, by their size
LARGE_RADIUS, LARGE_SMALL = 13.5, 13.0  # in large print

# Each kind of way: its width, its dashes, its words in the legend.
STYLES: dict[str, tuple[float, tuple[float, ...], str]] = {
    "held": (2.0, (2.0, 4.0), "held"),
    "half step": (3.0, (), "half step"),
    "whole step": (1.8, (9.0, 5.0), "whole step"),
    "wider": (1.5, (9.0, 4.0, 2.0, 4.0), "wider"),
}
LABEL_AT = 0.25  # of the way, from the left, where the lines still lie apart


def motion_picture(view: MotionView, *, large: bool = False) -> Picture:
    """Return the marks of a motion picture; with ``large`` its small letters are larger.

    >>> from theorykit.harmony.resolution import resolve
    >>> from theorykit.views.motion import motion_of
    >>> picture = motion_picture(motion_of(resolve("G7", "b9", "C")))
    >>> [mark.text for mark in picture.marks if isinstance(mark, Label)][:2]
    ['G7 with ♭9', 'C']
    """
    highest = max(rung.height for rung in (*view.left, *view.right))
    marks: list[Mark] = [
        Label(LEFT, 26, view.titles[0], BIG, INK),
        Label(RIGHT, 26, view.titles[1], BIG, INK),
    ]
    marks += (_rail(x, rungs, highest) for x, rungs in ((LEFT, view.left), (RIGHT, view.right)))
    radius, small = (LARGE_RADIUS, LARGE_SMALL) if large else (RADIUS, SMALL)
    for way in view.ways:
        marks += _way(way, highest, small)
    for side, x, anchor in ((view.left, LEFT, "end"), (view.right, RIGHT, "start")):
        for rung in side:
            size = small if large else fitted(rung.degree, small)
            marks += _rung(rung, x, _height(rung.height, highest), anchor, radius, size)
    bottom = _height(0, highest) + 46
    marks.append(Label(WIDTH / 2, bottom, view.caption, 13, FADED, bold=False))
    found = legend(_entries(view), 20, bottom + 28, WIDTH - 40)
    height = max(_base(mark) for mark in found) + 10
    return Picture(WIDTH, height, (*marks, *found), view.alt)


def _base(mark: Mark) -> float:
    """Return how far down a mark of the legend reaches."""
    return mark.y if isinstance(mark, Label | Marker) else 0.0


def _height(height: int, highest: int) -> float:
    """Return where a height in half steps lies on the sheet."""
    return TOP + STEP * (highest - height)


def _rail(x: float, rungs: tuple[Rung, ...], highest: int) -> Stroke:
    """Return the upright of a ladder."""
    heights = [_height(rung.height, highest) for rung in rungs]
    return Stroke(((x, min(heights)), (x, max(heights))), LINE, 1.0)


def _rung(
    rung: Rung, x: float, y: float, anchor: str, radius: float, size: float
) -> tuple[Marker, Label, Label]:
    """Return one note: its shape, the degree inside it, its name outside."""
    beside = x + (-1 if anchor == "end" else 1) * (radius + 10)
    return (
        Marker(x, y, radius, NOTE_MARKS[rung.role].shape, NOTE_MARKS[rung.role].fill),
        Label(x, y + 0.36 * size, rung.degree, size, "#ffffff"),
        Label(beside, y + 0.36 * NAME, rung.name, NAME, INK, anchor=anchor),
    )


def _way(way: Way, highest: int, size: float) -> tuple[Stroke, Area, Label]:
    """Return one line with its label on a plate of paper."""
    start, end = _height(way.start, highest), _height(way.end, highest)
    width, dash, _ = STYLES[way.kind]
    left, right = LEFT + GAP, RIGHT - GAP
    x, y = left + LABEL_AT * (right - left), start + LABEL_AT * (end - start)
    half = text_width(way.label, size) / 2 + 2
    low, high = y - HALF_PLATE * size, y + HALF_PLATE * size
    plate = ((x - half, low), (x + half, low), (x + half, high), (x - half, high))
    return (
        Stroke(((left, start), (right, end)), INK, width, dash),
        Area(plate, PAPER),
        Label(x, y + 0.36 * size, way.label, size, INK, bold=False),
    )


def _entries(view: MotionView) -> list[Entry]:
    """Return what the legend says: the kinds that occur, and no other."""
    kinds = [kind for kind in WAYS if any(way.kind == kind for way in view.ways)]
    entries: list[Entry] = [
        (Stroke((), INK, STYLES[kind][0], STYLES[kind][1]), STYLES[kind][2]) for kind in kinds
    ]
    found = {rung.role for rung in (*view.left, *view.right)}
    return entries + note_entries(found)
