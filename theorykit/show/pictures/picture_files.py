"""Pictures of views and staves, as SVG text, as axes and as files: PNG, SVG or PDF.

The fonts are those that come with matplotlib and no others, so that a file is the same everywhere.

A view is laid out as marks, which either painter paints. A staff comes engraved, as the SVG text of
a card, and has a painter of its own.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from html import unescape
from typing import TYPE_CHECKING, Any

from theorykit.errors import TheoryError, shown
from theorykit.show.pictures.clock_picture import clock_picture
from theorykit.show.pictures.figure_painter import (
    FONT_FACTOR,
    letters_without_glyph,
    paint_axes,
    paint_file,
    paint_image,
)
from theorykit.show.pictures.fingerboard_picture import fingerboard_picture
from theorykit.show.pictures.keyboard_picture import keyboard_picture
from theorykit.show.pictures.marks import Label, Picture
from theorykit.show.pictures.motion_picture import motion_picture
from theorykit.show.pictures.picture_colours import PAPER
from theorykit.show.pictures.svg_painter import (
    PLAIN_FACE,
    TEXT_FONT,
    card_on_paper,
    card_size,
    card_words,
    paint_svg,
)
from theorykit.show.pictures.table_pictures import counts_picture, grid_picture
from theorykit.show.pictures.timing_picture import timing_picture
from theorykit.show.pictures.tune_picture import tune_grid_picture
from theorykit.show.typesetting import page_fonts, typeset_pdf, typeset_pngs
from theorykit.views.bar_chart import BarsView
from theorykit.views.clock import ClockView
from theorykit.views.counts import CountsView
from theorykit.views.fingerboard import FingerboardView
from theorykit.views.grid import GridView
from theorykit.views.keyboard import KeyboardView
from theorykit.views.motion import MotionView
from theorykit.views.played import TimingView
from theorykit.views.tune_page import TuneGridView

if TYPE_CHECKING:
    from matplotlib.axes import Axes

# A page as large as the picture and nothing else on it; all that it prints comes in as data.
_PAGE = b"""
#let said = json(bytes(sys.inputs.page))
#set document(title: said.alt, date: none)
#let ground = if said.paper == "none" { none } else { rgb(said.paper) }
#set page(width: said.width * 0.75pt, height: said.height * 0.75pt, margin: 0pt,
  fill: ground)
#image(bytes(said.svg), format: "svg", width: 100%, alt: said.alt)
"""
_TEXT = re.compile(r"<text [^>]*>")
_SIZE = re.compile(r'(?<= font-size=")([\d.]+)(?=")')


def paint_staff(card: str, kind: str, paper: str, dpi: float) -> bytes:
    """Return a staff as the content of a file; ``kind`` is ``"png"`` or ``"pdf"``.

    >>> from theorykit.show.pictures.svg_painter import card
    >>> paint_staff(card("<g/>", 100, 50, "No notes"), "pdf", "none", 96)[:4]
    b'%PDF'
    """
    width, height = card_size(card)
    data = {
        "svg": _in_plain_face(card_on_paper(card, "none")),
        "alt": card_words(card),
        "width": width,
        "height": height,
        "paper": paper,
    }
    if kind == "pdf":
        return typeset_pdf(_PAGE, data, page_fonts())
    return typeset_pngs(_PAGE, data, page_fonts(), dpi=dpi)[0]


def _in_plain_face(card: str) -> str:
    """Return a card in the plain face, its letters smaller, because that face runs wide."""

    def smaller(size: re.Match[str]) -> str:
        return f"{float(size[1]) * FONT_FACTOR:.4g}"

    faced = card.replace(f'"{TEXT_FONT}"', f'"{PLAIN_FACE}"', 1)
    return _TEXT.sub(lambda text: _SIZE.sub(smaller, text[0]), faced)


View = (
    BarsView
    | ClockView
    | CountsView
    | FingerboardView
    | GridView
    | KeyboardView
    | MotionView
    | TimingView
    | TuneGridView
)
Drawable = View | Picture | str  # text is the SVG of a staff

_LAYOUTS: dict[type, Callable[[Any], Picture]] = {
    BarsView: counts_picture,
    ClockView: clock_picture,
    CountsView: counts_picture,
    FingerboardView: fingerboard_picture,
    GridView: grid_picture,
    KeyboardView: keyboard_picture,
    MotionView: motion_picture,
    TimingView: timing_picture,
    TuneGridView: tune_grid_picture,
}

ENDINGS = (".png", ".svg", ".pdf")
LEAST_DPI, MOST_DPI = 30, 1200
IMAGE_DPI = 300  # of a staff on axes
COLOUR = re.compile(r"#[0-9a-fA-F]{6}|none")

_LETTERS = re.compile(r">([^<>]+)</text>")


def picture_svg(
    drawable: Drawable,
    *,
    scale: float | None = None,
    paper: str | None = None,
    large: bool = False,
) -> str:
    """Return the picture of a view as the text of a standalone SVG with a margin of paper.

    ``scale`` is in pixels to a unit of the picture: for a keyboard, to a millimetre of a real
    piano, by default 1.6; for all others to a pixel, by default 1. ``paper`` is the colour behind
    it, by default its own, ``"none"`` where the page is white itself. The text of a staff keeps
    its size. With ``large`` a fingerboard and a motion picture have letters for large print.

    >>> from theorykit.views.clock import clock_of
    >>> "tritone of G7 and D♭7: B and F" in picture_svg(clock_of("G7", None, "Db7"))
    True
    """
    if isinstance(drawable, str):
        return card_on_paper(drawable, PAPER if paper is None else paper)
    if large and isinstance(drawable, FingerboardView):
        drawable = fingerboard_picture(drawable, large=True)
    elif large and isinstance(drawable, MotionView):
        drawable = motion_picture(drawable, large=True)
    return paint_svg(_picture(drawable), scale=scale, paper=paper)


def picture_axes(drawable: Drawable, ax: Axes | None = None, *, paper: str | None = None) -> Axes:
    """Return matplotlib axes with the picture of a view; without ``ax`` on a figure of its own.

    ``paper`` is the colour of that figure. Give ``ax`` its place in yours first: letters and lines
    are as large as the axes are then. A staff is put there as an image of 300 pixels to the inch.

    >>> from theorykit.harmony.resolution import resolve
    >>> from theorykit.views.motion import motion_of
    >>> axes = picture_axes(motion_of(resolve("G7", "b9", "C")))
    >>> axes.texts[0].get_text()
    'G7 with ♭9'
    """
    if isinstance(drawable, str):
        pixels = paint_staff(drawable, "png", (paper or PAPER) if ax is None else "none", IMAGE_DPI)
        return paint_image(pixels, card_words(drawable), ax, dpi=IMAGE_DPI)
    return paint_axes(_picture(drawable), ax, paper=paper)


def picture_bytes(
    drawable: Drawable, ending: str, *, paper: str | None = None, dpi: float = 300
) -> bytes:
    """Return the picture of a view as the content of a file with an ending: .png, .svg or .pdf.

    ``paper`` is the colour behind it, by default its own, ``"none"`` for nothing; ``dpi`` the
    pixels of a PNG to an inch, of which a screen has 96. A PDF has lines and letters that stay
    sharp at every size.

    >>> from theorykit.views.clock import clock_of
    >>> picture_bytes(clock_of("G7"), ".png")[1:4], picture_bytes(clock_of("G7"), ".pdf")[1:4]
    (b'PNG', b'PDF')
    """
    kind = ending.lower()
    _check(kind, ending, paper, dpi)
    if kind == ".svg":
        return picture_svg(drawable, paper=paper).encode()
    if isinstance(drawable, str):
        _check_letters(map(unescape, _LETTERS.findall(drawable)))
        return paint_staff(drawable, kind[1:], PAPER if paper is None else paper, dpi)
    picture = _picture(drawable)
    _check_letters(mark.text for mark in picture.marks if isinstance(mark, Label))
    return paint_file(picture, kind[1:], paper=paper, dpi=dpi)


def _picture(drawable: View | Picture) -> Picture:
    """Return the marks of a view."""
    if isinstance(drawable, Picture):
        return drawable
    if type(drawable) not in _LAYOUTS:
        raise TheoryError(f"no picture of this: {shown(drawable)} (want a view or a staff's SVG)")
    return _LAYOUTS[type(drawable)](drawable)


def _check(kind: str, ending: str, paper: str | None, dpi: float) -> None:
    """Refuse what no file can be made of."""
    if kind not in ENDINGS:
        raise TheoryError(f"not a kind of picture: {shown(ending)} (want {', '.join(ENDINGS)})")
    if paper is not None and not COLOUR.fullmatch(paper):
        raise TheoryError(f"not a colour of paper: {shown(paper)} (want one as #ffffff, or none)")
    if not LEAST_DPI <= dpi <= MOST_DPI:
        raise TheoryError(f"dpi out of range: {shown(dpi)} (want {LEAST_DPI} to {MOST_DPI})")


def _check_letters(texts: Any) -> None:
    """Refuse letters that would be boxes in the file."""
    missing = letters_without_glyph(texts)
    if missing:
        raise TheoryError(
            f"the font of the picture cannot print {missing!r} (want Latin, Greek, Cyrillic or "
            "Arabic letters and common signs, or an SVG, which takes the reader's own fonts)"
        )
