"""Pictures painted by matplotlib: axes with the same marks as the SVG, and files made of them."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from functools import cache
from io import BytesIO
from pathlib import Path
from typing import TYPE_CHECKING, Any

from theorykit.show.pictures.marks import Area, Box, Label, Mark, Marker, Picture, Stroke, outline
from theorykit.show.pictures.svg_painter import PADDING

if TYPE_CHECKING:
    from matplotlib.artist import Artist
    from matplotlib.axes import Axes
    from matplotlib.patches import Patch


POINTS_AN_INCH = 72
UNITS_AN_INCH = 96  # a pixel of a screen (CSS reference pixel)
FONT, FONT_FACTOR = "DejaVu Sans", 0.88  # it comes with matplotlib, has ♭ and ♯, and runs wide
# Whatever the reader has set for figures of their own: dashes as long as the marks say, straight
# lines, letters as far apart as the font wants them, and in a PDF embedded TrueType fonts, whose
# letters can be searched and copied.
OURS: Any = {
    "lines.scale_dashes": True,
    "path.sketch": None,
    "text.hinting": "none",
    "pdf.fonttype": 42,
}
ANCHORS = {"start": "left", "middle": "center", "end": "right"}


# matplotlib is imported where it is needed, and without pyplot, so that a page does not wait for
# what only files need.


def paint_axes(picture: Picture, ax: Axes | None = None, *, paper: str | None = None) -> Axes:
    """Return axes with a picture painted on them, as vectors and text.

    Without ``ax`` a figure of the picture's size with a margin is made, on ``paper``,
    by default its own;
    ``axes.figure`` holds it. The alternative text is the label of the axes.

    >>> dot = Picture(96, 48, (Marker(10, 10, 5, "circle", "#000000"),), "A dot")
    >>> axes = paint_axes(dot)
    >>> axes.get_label(), [round(float(inches), 2) for inches in axes.figure.get_size_inches()]
    ('A dot', [1.29, 0.79])
    """
    own = picture.paper if paper is None else paper
    axes = ax if ax is not None else _new_axes(picture, own)
    painted = picture.on_paper(_ground(axes))
    axes.set_label(picture.alt)
    axes.set(xlim=(0, picture.width), ylim=(picture.height, 0), aspect="equal")
    axes.set_axis_off()
    points = _points_a_unit(axes, picture)
    with _our_manner():
        for place, mark in enumerate(painted.marks):
            artist = _draw(axes, mark, points)
            artist.set(zorder=2 + place / 1000, clip_on=False)  # what comes later lies on top
    return axes


def paint_file(picture: Picture, kind: str, *, paper: str | None = None, dpi: float = 300) -> bytes:
    """Return a picture as the content of a file; ``kind`` is ``"png"`` or ``"pdf"``.

    >>> dot = Picture(96, 48, (Marker(10, 10, 5, "circle", "#000000"),), "A dot")
    >>> paint_file(dot, "pdf")[:4]
    b'%PDF'
    """
    file = BytesIO()
    says = {"Title": picture.alt} | ({"CreationDate": None} if kind == "pdf" else {})
    with _our_manner():
        figure: Any = paint_axes(picture, paper=paper).figure
        figure.savefig(file, format=kind, dpi=dpi, facecolor=figure.get_facecolor(), metadata=says)
    return file.getvalue()


def paint_image(png: bytes, alt: str, ax: Axes | None = None, *, dpi: float) -> Axes:
    """Return axes that hold a picture made of pixels; ``dpi`` of them are an inch of the figure."""
    from matplotlib.figure import Figure
    from matplotlib.image import imread

    pixels = imread(BytesIO(png), format="png")
    high, wide = pixels.shape[:2]
    if ax is None:
        ax = Figure(figsize=(wide / dpi, high / dpi)).add_axes((0, 0, 1, 1))
    ax.imshow(pixels, interpolation="antialiased")
    ax.set_label(alt)
    ax.set_axis_off()
    return ax


def font_folder() -> Path:
    """Return the folder of the fonts that come with matplotlib."""
    from matplotlib import get_data_path

    return Path(get_data_path(), "fonts", "ttf")


def letters_without_glyph(texts: Iterable[str]) -> str:
    """Return the letters that the font of the pictures cannot print, each once.

    >>> letters_without_glyph(["C♯m7♭5 ø °", "\\u66f2"]) == "\\u66f2"
    True
    """
    known = _known_letters()
    found = {letter for text in texts for letter in text if ord(letter) not in known}
    return "".join(sorted(found))


@cache
def _known_letters() -> frozenset[int]:
    """Return the numbers of the letters that both cuts of the font have."""
    from matplotlib.ft2font import FT2Font

    cuts = ("DejaVuSans.ttf", "DejaVuSans-Bold.ttf")
    maps = [FT2Font(str(font_folder() / name)).get_charmap() for name in cuts]
    return frozenset(maps[0].keys() & maps[1].keys())


@contextmanager
def _our_manner() -> Iterator[None]:
    """Paint as marks say, whatever the reader has set for figures of their own."""
    from matplotlib import rc_context

    with rc_context(OURS):
        yield


def _new_axes(picture: Picture, paper: str) -> Axes:
    """Return axes on a figure of the picture's size, with the margin of a card around them."""
    from matplotlib.figure import Figure

    wide, high = picture.width * picture.unit, picture.height * picture.unit
    whole = wide + 2 * PADDING, high + 2 * PADDING
    figure = Figure(figsize=(whole[0] / UNITS_AN_INCH, whole[1] / UNITS_AN_INCH), facecolor=paper)
    edges = PADDING / whole[0], PADDING / whole[1]
    return figure.add_axes((*edges, wide / whole[0], high / whole[1]))


def _ground(axes: Axes) -> str:
    """Return the colour of the paper that axes lie on; white where it is see-through."""
    from matplotlib.colors import to_hex, to_rgba

    figure: Any = axes.get_figure(root=True)
    colour = to_rgba(figure.get_facecolor())
    return to_hex(colour) if colour[3] else "#ffffff"


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
    return axes.add_patch(_box(mark, points) if isinstance(mark, Box) else _patch(mark))


def _patch(mark: Area | Marker) -> Patch:
    """Return a filled shape as a patch."""
    from matplotlib.patches import Circle, Polygon

    corners = mark.points if isinstance(mark, Area) else outline(mark)
    if isinstance(mark, Marker) and not corners:
        return Circle((mark.x, mark.y), mark.radius, facecolor=mark.fill, lw=0)
    return Polygon(corners, facecolor=mark.fill, lw=0)


def _box(box: Box, points: float) -> Patch:
    """Return a rectangle with round corners as a patch."""
    from matplotlib.patches import FancyBboxPatch

    return FancyBboxPatch(
        (box.x, box.y),
        box.width,
        box.height,
        boxstyle=f"round,pad=0,rounding_size={box.corner}",
        facecolor=box.fill,
        edgecolor=box.edge,
        lw=box.line * points,
    )


def _draw_stroke(axes: Axes, stroke: Stroke, points: float) -> Artist:
    """Draw one line, its ends and corners as SVG draws them."""
    from matplotlib.patches import PathPatch
    from matplotlib.path import Path as Corners

    dash = tuple(length / stroke.width for length in stroke.dash)  # matplotlib counts in widths
    again = [stroke.points[0]] if stroke.closed else []
    return axes.add_patch(
        PathPatch(
            Corners([*stroke.points, *again], closed=stroke.closed),
            fill=False,
            edgecolor=stroke.colour,
            lw=stroke.width * points,
            ls=(0, dash) if dash else "solid",
            capstyle="butt",
            joinstyle="miter",
        )
    )


def _draw_label(axes: Axes, label: Label, points: float) -> Artist:
    """Draw one text in its size; nothing in it is a formula."""
    return axes.text(
        label.x,
        label.y,
        label.text,
        fontsize=label.size * points * FONT_FACTOR,
        fontfamily=FONT,
        fontweight="bold" if label.bold else "normal",
        color=label.fill,
        ha=ANCHORS[label.anchor],
        va="baseline",
        parse_math=False,
        usetex=False,
    )
