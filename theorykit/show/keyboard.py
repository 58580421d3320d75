"""Keyboards as pictures: SVG text for widgets, matplotlib for pages, from one layout."""

from __future__ import annotations

from html import escape
from typing import TYPE_CHECKING

from theorykit.show.keyboard_layout import (
    EDGE,
    Box,
    Label,
    Layout,
    Marker,
    keyboard_layout,
    outline,
)
from theorykit.show.palette import LINE, PAPER
from theorykit.show.svg import card
from theorykit.views.keyboard import KeyboardView

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.patches import Patch

__all__ = ["keyboard_figure", "keyboard_svg"]

POINTS_AN_INCH = 72
INCHES_A_MILLIMETRE = 1 / 50  # of the keyboard: a figure of two octaves is 6.6 inches wide
FONT, FONT_FACTOR = "DejaVu Sans", 0.88  # it comes with matplotlib, has ♭ and ♯, and runs wide


def keyboard_svg(
    view: KeyboardView, *, scale: float = 1.6, paper: str = PAPER, legend: bool = True
) -> str:
    """Return a keyboard as the text of a standalone SVG picture.

    ``scale`` is in pixels to a millimetre of a real piano: at 1.6 two octaves are 526 pixels wide.
    ``paper`` is the colour behind the keys, ``"none"`` where the page is white itself. Without
    ``legend`` the keys stand alone, for a page that says in its own words what the shapes mean.

    >>> from theorykit.views.keyboard import LitKey
    >>> lit = (LitKey(68, "A♭", "♭9", "colour"),)
    >>> picture = keyboard_svg(KeyboardView(60, 83, lit, "The flat 9 of G7"))
    >>> [text in picture for text in ("<title>The flat 9 of G7</title>", ">A♭<", ">♭9<")]
    [True, True, True]
    """
    layout = keyboard_layout(view, legend=legend)
    parts = [f'<g transform="scale({scale:g})">']
    parts += map(_box_svg, layout.boxes)
    parts += map(_marker_svg, layout.markers)
    parts += map(_label_svg, layout.labels)
    parts.append("</g>")
    size = layout.width * scale, layout.height * scale
    return card("".join(parts), size[0], size[1], view.alt, paper=paper)


def _box_svg(box: Box) -> str:
    """Return one key."""
    return (
        f'<rect x="{box.x:.2f}" y="{box.y:g}" width="{box.width:g}" height="{box.height:g}" '
        f'rx="1.5" fill="{box.fill}" stroke="{LINE}" stroke-width="{EDGE}"/>'
    )


def _marker_svg(marker: Marker) -> str:
    """Return one shape."""
    corners = outline(marker)
    if corners:
        points = " ".join(f"{x:.2f},{y:.2f}" for x, y in corners)
        return f'<polygon points="{points}" fill="{marker.fill}"/>'
    middle = f'cx="{marker.x:.2f}" cy="{marker.y:g}"'
    return f'<circle {middle} r="{marker.radius:g}" fill="{marker.fill}"/>'


def _label_svg(label: Label) -> str:
    """Return one text."""
    weight = ' font-weight="bold"' if label.bold else ""
    return (
        f'<text x="{label.x:.2f}" y="{label.y:.2f}" font-size="{label.size:g}"{weight} '
        f'text-anchor="{label.anchor}" fill="{label.fill}">{escape(label.text, quote=False)}</text>'
    )


def keyboard_figure(view: KeyboardView, ax: Axes | None = None) -> Axes:
    """Return axes with the keyboard drawn on them by matplotlib, as vectors and text.

    Without ``ax`` a figure of the right size is made; ``axes.figure`` holds it. The alternative
    text is the label of the axes.

    >>> from theorykit.views.keyboard import LitKey
    >>> lit = (LitKey(68, "A♭", "♭9", "colour"),)
    >>> axes = keyboard_figure(KeyboardView(60, 83, lit, "The flat 9 of G7"))
    >>> axes.get_label(), [text.get_text() for text in axes.texts][:2]
    ('The flat 9 of G7', ['♭9', 'A♭'])
    """
    layout = keyboard_layout(view)
    axes = ax if ax is not None else _new_axes(layout)
    axes.set_label(view.alt)
    axes.set(xlim=(-1, layout.width + 1), ylim=(layout.height, -1), aspect="equal")
    axes.set_axis_off()
    for box in layout.boxes:
        axes.add_patch(_box_patch(box))
    for marker in layout.markers:
        axes.add_patch(_marker_patch(marker))
    points = _points_a_millimetre(axes, layout)
    for label in layout.labels:
        _draw_label(axes, label, points)
    return axes


def _new_axes(layout: Layout) -> Axes:
    """Return axes that fill a figure of the layout's proportions."""
    # Imported here, and without pyplot, so that a widget does not wait for what only pages need.
    from matplotlib.figure import Figure

    size = (layout.width * INCHES_A_MILLIMETRE, layout.height * INCHES_A_MILLIMETRE)
    return Figure(figsize=size, facecolor=PAPER).add_axes((0.02, 0.02, 0.96, 0.96))


def _box_patch(box: Box) -> Patch:
    """Return one key as a patch."""
    from matplotlib.patches import Rectangle

    corner = (box.x, box.y)
    return Rectangle(corner, box.width, box.height, facecolor=box.fill, edgecolor=LINE, lw=EDGE)


def _marker_patch(marker: Marker) -> Patch:
    """Return one shape as a patch."""
    from matplotlib.patches import Circle, Polygon

    corners = outline(marker)
    if corners:
        return Polygon(corners, facecolor=marker.fill, lw=0)
    return Circle((marker.x, marker.y), marker.radius, facecolor=marker.fill, lw=0)


def _points_a_millimetre(axes: Axes, layout: Layout) -> float:
    """Return the size of a font that is one millimetre of the keyboard high, in points."""
    space = axes.get_window_extent()
    pixels = min(space.width / (layout.width + 2), space.height / (layout.height + 1))
    return float(pixels * POINTS_AN_INCH / axes.figure.dpi)


def _draw_label(axes: Axes, label: Label, points: float) -> None:
    """Draw one text in its size."""
    axes.text(
        label.x,
        label.y,
        label.text,
        fontsize=label.size * points * FONT_FACTOR,
        fontfamily=FONT,
        fontweight="bold" if label.bold else "normal",
        color=label.fill,
        ha={"start": "left"}.get(label.anchor, "center"),
        va="baseline",
    )
