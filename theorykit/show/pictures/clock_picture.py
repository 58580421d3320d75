"""The clock of twelve: where its rings, polygons, axis and names stand."""

from __future__ import annotations

from math import cos, pi, sin

from theorykit.show.pictures.marks import (
    Entry,
    Label,
    Mark,
    Marker,
    Picture,
    Stroke,
    fitted,
    legend,
)
from theorykit.show.pictures.note_marks import NOTE_MARKS, note_entries
from theorykit.show.pictures.picture_colours import FADED, INK, LINE
from theorykit.views.clock import ClockView, Ring

WIDTH = 460.0
MIDDLE = (WIDTH / 2, 222.0)
LEGEND_TOP = 456.0
RADIUS = 11.0  # of a marker
NAMES_AT, AXIS_TO = 193.0, 163.0
BIG, PLAIN, SMALL = 16.0, 13.0, 10.5
CORNERS = 72  # of a drawn circle

# Each ring: its radius, width and dashes of its polygon. What a note is, its own mark says.
_RINGS: dict[str, tuple[float, float, tuple[float, ...]]] = {
    "chord": (84.0, 2.6, ()),
    "colour": (116.0, 2.2, (9.0, 5.0)),
    "substitute": (148.0, 2.2, (2.5, 4.0)),
}


def clock_picture(view: ClockView) -> Picture:
    """Return the marks of a clock.

    >>> from theorykit.views.clock import clock_of
    >>> picture = clock_picture(clock_of("G7", "b9"))
    >>> [mark.text for mark in picture.marks if isinstance(mark, Label)][:3]
    ['C', 'D♭', 'D']
    """
    marks: list[Mark] = [_circle(_RINGS[ring.role][0]) for ring in view.rings]
    if view.axis is not None:
        ends = tuple(_point(place, AXIS_TO) for place in view.axis)
        marks.append(Stroke(ends, INK, 4.0))
    marks += [_name(place, name, place in view.lit) for place, name in enumerate(view.names)]
    marks += map(_polygon, view.rings)
    for ring in view.rings:
        marks += _places(ring)
    found = legend(_entries(view), 24, LEGEND_TOP, WIDTH - 40)
    height = max(mark.y for mark in found if isinstance(mark, Label)) + 10
    return Picture(WIDTH, height, (*marks, *found), view.alt)


def _point(place: int, radius: float) -> tuple[float, float]:
    """Return where a pitch class lies, C at the top, clockwise."""
    angle = 2 * pi * place / 12
    return MIDDLE[0] + radius * sin(angle), MIDDLE[1] - radius * cos(angle)


def _circle(radius: float) -> Stroke:
    """Return a thin circle on which a ring stands."""
    steps = (12 * corner / CORNERS for corner in range(CORNERS))
    points = tuple(
        (MIDDLE[0] + radius * sin(pi * step / 6), MIDDLE[1] - radius * cos(pi * step / 6))
        for step in steps
    )
    return Stroke(points, LINE, 0.6, closed=True)


def _name(place: int, name: str, lit: bool) -> Label:
    """Return the name of a place."""
    size = BIG if lit else PLAIN
    x, y = _point(place, NAMES_AT)
    return Label(x, y + 0.36 * size, name, size, INK if lit else FADED, bold=lit)


def _polygon(ring: Ring) -> Stroke:
    """Return the polygon of one set of notes."""
    radius, width, dash = _RINGS[ring.role]
    points = tuple(_point(place, radius) for place in ring.places)
    return Stroke(points, INK, width, dash, closed=True)


def _places(ring: Ring) -> list[Mark]:
    """Return a shape with the degree on each place of one set."""
    radius = _RINGS[ring.role][0]
    marks: list[Mark] = []
    for place, label, role in zip(ring.places, ring.labels, ring.notes, strict=True):
        x, y = _point(place, radius)
        mark = NOTE_MARKS[role]
        marks.append(Marker(x, y, RADIUS, mark.shape, mark.fill))
        size = fitted(label, SMALL)
        marks.append(Label(x, y + 0.36 * size, label, size, "#ffffff"))
    return marks


def _entries(view: ClockView) -> list[Entry]:
    """Return what the legend says."""
    entries: list[Entry] = []
    for ring in view.rings:
        _, width, dash = _RINGS[ring.role]
        entries.append((Stroke((), INK, width, dash), f"{ring.role}: {ring.name}"))
    if view.axis is not None:
        entries.append((Stroke((), INK, 4.0), view.axis_words))
    return entries + note_entries({role for ring in view.rings for role in ring.notes})
