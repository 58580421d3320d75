"""Pictures made of a few kinds of marks, painted as SVG text or by matplotlib from one list."""

from __future__ import annotations

from dataclasses import dataclass
from html import escape
from typing import TYPE_CHECKING

from theorykit.show.keyboard_layout import Label, Marker, outline
from theorykit.show.palette import PAPER
from theorykit.show.svg import card

if TYPE_CHECKING:
    from matplotlib.artist import Artist
    from matplotlib.axes import Axes
    from matplotlib.patches import Patch

__all__ = ["Area", "Mark", "Picture", "Stroke", "picture_axes", "picture_svg"]

POINTS_AN_INCH = 72
UNITS_AN_INCH = 96  # a unit of a picture is a pixel of a screen (CSS reference pixel)
FONT, FONT_FACTOR = "DejaVu Sans", 0.88  # it comes with matplotlib, has ♭ and ♯, and runs wide

Point = tuple[float, float]


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


Mark = Stroke | Area | Marker | Label


@dataclass(frozen=True, slots=True)
class Picture:
    """Marks in the order in which they are painted, on a sheet of pixels, y growing downwards."""

    width: float
    height: float
    marks: tuple[Mark, ...]
    alt: str


def picture_svg(picture: Picture, *, scale: float = 1.0, paper: str = PAPER) -> str:
    """Return a picture as the text of a standalone SVG, named by its alternative text.

    Nothing in it has an id, so that any number of pictures can share a page.

    >>> dot = Picture(20, 20, (Marker(10, 10, 5, "circle", "#000000"),), "A dot")
    >>> '<circle cx="10.0" cy="10.0" r="5" fill="#000000"/>' in picture_svg(dot)
    True
    """
    plates = "#ffffff" if paper == "none" else paper
    inside = "".join(_mark_svg(_on_paper(mark, plates)) for mark in picture.marks)
    group = f'<g transform="scale({scale:g})">{inside}</g>'
    return card(group, picture.width * scale, picture.height * scale, picture.alt, paper=paper)


def _on_paper(mark: Mark, paper: str) -> Mark:
    """Give a plate under a label the colour of the paper that the picture lies on."""
    if isinstance(mark, Area) and mark.fill == PAPER:
        return Area(mark.points, paper)
    return mark


def _mark_svg(mark: Mark) -> str:
    """Return one mark."""
    if isinstance(mark, Label):
        return _label_svg(mark)
    if isinstance(mark, Stroke):
        return _stroke_svg(mark)
    if isinstance(mark, Area):
        return f'<polygon points="{_corners(mark.points)}" fill="{mark.fill}"/>'
    corners = outline(mark)
    if corners:
        return f'<polygon points="{_corners(corners)}" fill="{mark.fill}"/>'
    middle = f'cx="{mark.x:.1f}" cy="{mark.y:.1f}"'
    return f'<circle {middle} r="{mark.radius:g}" fill="{mark.fill}"/>'


def _stroke_svg(stroke: Stroke) -> str:
    """Return one line."""
    name = "polygon" if stroke.closed else "polyline"
    dash = f' stroke-dasharray="{" ".join(f"{n:g}" for n in stroke.dash)}"' if stroke.dash else ""
    return (
        f'<{name} points="{_corners(stroke.points)}" fill="none" stroke="{stroke.colour}" '
        f'stroke-width="{stroke.width:g}"{dash}/>'
    )


def _label_svg(label: Label) -> str:
    """Return one text."""
    weight = ' font-weight="bold"' if label.bold else ""
    return (
        f'<text x="{label.x:.1f}" y="{label.y:.1f}" font-size="{label.size:g}"{weight} '
        f'text-anchor="{label.anchor}" fill="{label.fill}">{escape(label.text, quote=False)}</text>'
    )


def _corners(points: tuple[Point, ...] | list[Point]) -> str:
    """Return points as SVG writes them."""
    return " ".join(f"{x:.1f},{y:.1f}" for x, y in points)


def picture_axes(picture: Picture, ax: Axes | None = None) -> Axes:
    """Return axes with a picture painted on them by matplotlib, as vectors and text.

    Without ``ax`` a figure of the right size is made; ``axes.figure`` holds it. The alternative
    text is the label of the axes.

    >>> dot = Picture(96, 48, (Marker(10, 10, 5, "circle", "#000000"),), "A dot")
    >>> axes = picture_axes(dot)
    >>> axes.get_label(), [float(inches) for inches in axes.figure.get_size_inches()]
    ('A dot', [1.0, 0.5])
    """
    axes = ax if ax is not None else _new_axes(picture)
    axes.set_label(picture.alt)
    axes.set(xlim=(0, picture.width), ylim=(picture.height, 0), aspect="equal")
    axes.set_axis_off()
    points = _points_a_unit(axes, picture)
    for place, mark in enumerate(picture.marks):
        _draw(axes, mark, points).set_zorder(2 + place / 1000)  # what comes later lies on top
    return axes


def _new_axes(picture: Picture) -> Axes:
    """Return axes that fill a figure of the picture's size."""
    # Imported here, and without pyplot, so that a widget does not wait for what only pages need.
    from matplotlib.figure import Figure

    size = (picture.width / UNITS_AN_INCH, picture.height / UNITS_AN_INCH)
    return Figure(figsize=size, facecolor=PAPER).add_axes((0, 0, 1, 1))


def _points_a_unit(axes: Axes, picture: Picture) -> float:
    """Return how many points of a font or line are one unit of the picture."""
    space = axes.get_window_extent()
    pixels = min(space.width / picture.width, space.height / picture.height)
    return float(pixels * POINTS_AN_INCH / axes.figure.dpi)


def _draw(axes: Axes, mark: Mark, points: float) -> Artist:
    """Draw one mark; ``points`` are the points of a unit."""
    if isinstance(mark, Label):
        return _draw_label(axes, mark, points)
    if isinstance(mark, Stroke):
        return _draw_stroke(axes, mark, points)
    return axes.add_patch(_patch(mark))


def _patch(mark: Area | Marker) -> Patch:
    """Return a filled shape as a patch."""
    from matplotlib.patches import Circle, Polygon

    corners = mark.points if isinstance(mark, Area) else outline(mark)
    if isinstance(mark, Marker) and not corners:
        return Circle((mark.x, mark.y), mark.radius, facecolor=mark.fill, lw=0)
    return Polygon(corners, facecolor=mark.fill, lw=0)


def _draw_stroke(axes: Axes, stroke: Stroke, points: float) -> Artist:
    """Draw one line."""
    corners = [*stroke.points, stroke.points[0]] if stroke.closed else stroke.points
    xs, ys = zip(*corners, strict=True)
    dash = tuple(length / stroke.width for length in stroke.dash)  # matplotlib counts in widths
    style = (0, dash) if dash else "solid"
    width = stroke.width * points
    return axes.plot(xs, ys, color=stroke.colour, lw=width, ls=style, dash_capstyle="butt")[0]


def _draw_label(axes: Axes, label: Label, points: float) -> Artist:
    """Draw one text in its size."""
    return axes.text(
        label.x,
        label.y,
        label.text,
        fontsize=label.size * points * FONT_FACTOR,
        fontfamily=FONT,
        fontweight="bold" if label.bold else "normal",
        color=label.fill,
        ha={"start": "left", "end": "right"}.get(label.anchor, "center"),
        va="baseline",
    )
