"""Pictures as SVG text: the painter of marks, the paper card, ids, and cards for printed pages.

On a printed page a picture has no card around it and the letters of a well-set page. Chord symbols
and the numbers of bars are set in a book face like the text around the picture, all that explains
in a plain one without serifs, so that the eye keeps music and analysis apart. The plain face also
has ♭ and ♯ in bold, which the book face lacks; and its signs are narrower, so chord symbols borrow
them.
"""

from __future__ import annotations

import re
import secrets
from collections.abc import Iterable
from html import escape, unescape
from xml.etree.ElementTree import Element

from theorykit.show.pictures.marks import Area, Box, Label, Mark, Picture, Point, Stroke, outline
from theorykit.show.pictures.picture_colours import INK, PAPER

# A plain text font; a browser takes ♭ and ♯ from the next font that has them.
TEXT_FONT = "Arial, Helvetica, 'Liberation Sans', 'DejaVu Sans', sans-serif"
PADDING = 14  # pixels of paper around what is drawn
CORNER = 8  # radius of the card's corners, in pixels

BOOK_FACE = "Libertinus Serif, Georgia, 'Times New Roman', serif"
PLAIN_FACE = "DejaVu Sans, Arial, Helvetica, sans-serif"
SIGN_FACTOR = 0.86  # the signs of the plain face stand high beside the book face
# The bold cut of the plain face has the thin ♭, ♯ and ♮ of the light one: what a line around them
# adds, by the size of the font. They are as wide as before.
SIGN_LINE = 0.07

_REFERENCE = re.compile(r"#([\w.:-]+)")
_CARD = re.compile(
    r'<svg xmlns="http://www.w3.org/2000/svg" width="([\d.]+)" height="([\d.]+)" '
    r'viewBox="[\d. ]+" style="[^"]*"'
)
_GROUND = re.compile(rf'(<rect width="[\d.]+" height="[\d.]+" rx="{CORNER}" fill=")([^"]*)(")')
_TEXT = re.compile(r'(<g class="(?:harm|mNum)"[^>]*>\s*)?<text ([^>]*)>([^<]*)</text>')
_SIZE = re.compile(r'font-size="([\d.]+)"')
_FILL = re.compile(r'fill="([^"]*)"')
_SIGNS = re.compile("[♭♯♮]+")


def paint_svg(picture: Picture, *, scale: float | None = None, paper: str | None = None) -> str:
    """Return a picture as the text of a standalone SVG, named by its alternative text.

    ``scale`` is in pixels to a unit of the picture, ``paper`` the colour behind it, by default its
    own. Nothing in it has an id, so that any number of
    pictures can share a page.

    >>> from theorykit.show.pictures.marks import Marker
    >>> dot = Picture(20, 20, (Marker(10, 10, 5, "circle", "#000000"),), "A dot")
    >>> '<circle cx="10.0" cy="10.0" r="5" fill="#000000"/>' in paint_svg(dot)
    True
    """
    size = picture.unit if scale is None else scale
    paper = picture.paper if paper is None else paper
    digits = 1 if picture.unit == 1 else 2  # a unit that is larger than a pixel is cut finer
    painted = picture.on_paper("#ffffff" if paper == "none" else paper)
    inside = "".join(_mark_svg(mark, digits) for mark in painted.marks)
    group = f'<g transform="scale({size:g})">{inside}</g>'
    return card(group, picture.width * size, picture.height * size, picture.alt, paper=paper)


def _mark_svg(mark: Mark, digits: int) -> str:
    """Return one mark, its places with so many digits behind the point."""
    if isinstance(mark, Label):
        return _label_svg(mark, digits)
    if isinstance(mark, Stroke):
        return _stroke_svg(mark, digits)
    if isinstance(mark, Area):
        return f'<polygon points="{_corners(mark.points, digits)}" fill="{mark.fill}"/>'
    if isinstance(mark, Box):
        return _box_svg(mark, digits)
    corners = outline(mark)
    if corners:
        return f'<polygon points="{_corners(corners, digits)}" fill="{mark.fill}"/>'
    middle = f'cx="{mark.x:.{digits}f}" cy="{mark.y:.{digits}f}"'
    return f'<circle {middle} r="{mark.radius:g}" fill="{mark.fill}"/>'


def _stroke_svg(stroke: Stroke, digits: int) -> str:
    """Return one line."""
    name = "polygon" if stroke.closed else "polyline"
    dash = f' stroke-dasharray="{" ".join(f"{n:g}" for n in stroke.dash)}"' if stroke.dash else ""
    return (
        f'<{name} points="{_corners(stroke.points, digits)}" fill="none" '
        f'stroke="{stroke.colour}" stroke-width="{stroke.width:g}"{dash}/>'
    )


def _box_svg(box: Box, digits: int) -> str:
    """Return one rectangle."""
    key = "" if box.key is None else f' data-key="{box.key}"'
    return (
        f'<rect{key} x="{box.x:.{digits}f}" y="{box.y:g}" width="{box.width:g}" '
        f'height="{box.height:g}" rx="{box.corner:g}" fill="{box.fill}" '
        f'stroke="{box.edge}" stroke-width="{box.line:g}"/>'
    )


def _label_svg(label: Label, digits: int) -> str:
    """Return one text."""
    weight = ' font-weight="bold"' if label.bold else ""
    return (
        f'<text x="{label.x:.{digits}f}" y="{label.y:.{digits}f}" font-size="{label.size:g}"'
        f'{weight} text-anchor="{label.anchor}" fill="{label.fill}">'
        f"{escape(label.text, quote=False)}</text>"
    )


def _corners(points: Iterable[Point], digits: int) -> str:
    """Return points as SVG writes them."""
    return " ".join(f"{x:.{digits}f},{y:.{digits}f}" for x, y in points)


def with_own_ids(root: Element) -> Element:
    """Return ``root`` with every id that something refers to renamed, and all other ids removed.

    The new names begin with letters drawn by chance, so that two pictures on one page never share
    an id, in one notebook or in several pasted together. The element is changed in place.

    >>> from xml.etree.ElementTree import fromstring
    >>> picture = fromstring('<svg id="top"><g id="a"/><use href="#a"/></svg>')
    >>> again = with_own_ids(picture)
    >>> again.get("id") is None, again[1].get("href") == "#" + again[0].get("id")
    (True, True)
    """
    used = {name for element in root.iter() for value in _values(element) for name in value}
    prefix = f"p{secrets.token_hex(6)}"
    names = {name: f"{prefix}-{place}" for place, name in enumerate(sorted(used))}
    for element in root.iter():
        own = element.attrib.pop("id", None)
        for key, value in element.attrib.items():
            if "#" in value:
                element.attrib[key] = _REFERENCE.sub(
                    lambda match: f"#{names.get(match[1], match[1])}", value
                )
        if own in names:
            element.set("id", names[own])
    return root


def _values(element: Element) -> list[list[str]]:
    """Return what the attributes of an element may refer to; colours are no references."""
    return [
        _REFERENCE.findall(value)
        for key, value in element.attrib.items()
        if "#" in value and (key.endswith("href") or "url(#" in value)
    ]


def card(inside: str, width: float, height: float, alt: str, *, paper: str = PAPER) -> str:
    """Return a standalone picture: ``inside`` on a paper card, named by ``alt`` for screen readers.

    ``width`` and ``height`` are those of the drawing in pixels; the card is larger by a margin,
    and shrinks with a narrow page. The paper is light in a dark notebook too; ``paper`` may be
    another light colour, or ``"none"`` for a page that is paper itself.

    >>> card("<g/>", 100, 50, "An empty card").startswith('<svg xmlns="http://www.w3.org/2000/svg"')
    True
    """
    title = escape(alt, quote=False)
    said = title.replace('"', "&quot;")
    full_width, full_height = round(width + 2 * PADDING, 1), round(height + 2 * PADDING, 1)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{full_width:g}" height="{full_height:g}" '
        f'viewBox="0 0 {full_width:g} {full_height:g}" style="max-width:100%;height:auto" '
        f'role="img" aria-label="{said}" color="{INK}" font-family="{TEXT_FONT}">'
        f"<title>{title}</title>"
        f'<rect width="{full_width:g}" height="{full_height:g}" rx="{CORNER}" fill="{paper}"/>'
        f'<g transform="translate({PADDING} {PADDING})">{inside}</g></svg>'
    )


def card_size(picture: str) -> tuple[float, float]:
    """Return the width and height of a card in pixels.

    >>> card_size(card("<g/>", 100, 50, "Empty"))
    (128.0, 78.0)
    """
    found = _CARD.match(picture)
    if found is None:
        raise ValueError("not a card of ours")
    return float(found[1]), float(found[2])


def card_words(picture: str) -> str:
    """Return the words for the ear of a card.

    >>> card_words(card("<g/>", 100, 50, "D & G"))
    'D & G'
    """
    start = picture.index("<title>") + len("<title>")
    return unescape(picture[start : picture.index("</title>")])


def card_on_paper(picture: str, paper: str) -> str:
    """Return a card on paper of another colour, or on none.

    >>> 'fill="none"' in card_on_paper(card("<g/>", 100, 50, "Empty"), "none")
    True
    """
    return _GROUND.sub(rf"\g<1>{paper}\g<3>", picture, count=1)


def for_paper(picture: str, *, hang: float = 0, factor: float = 1.0) -> tuple[str, float, float]:
    """Return a card as a picture for a printed page, and its width and height in pixels.

    The card's margin is cut away, so that what is drawn stands flush with the text, except for
    ``hang`` pixels at the left, where the numbers of bars hang out. ``factor`` is how large the
    plain letters become.

    >>> from theorykit.show.pictures.svg_painter import card
    >>> cut, width, height = for_paper(card("<g/>", 100, 50, "Empty", paper="none"))
    >>> width, height, 'viewBox="14 14 100 50"' in cut
    (100.0, 50.0, True)
    """
    wide, high = card_size(picture)
    width, height = wide - 2 * PADDING + hang, high - 2 * PADDING
    head = (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width:g}" height="{height:g}" '
        f'viewBox="{PADDING - hang:g} {PADDING} {width:g} {height:g}"'
    )
    body = _CARD.sub("", picture, count=1).replace(f'"{TEXT_FONT}"', f'"{PLAIN_FACE}"', 1)
    return head + _TEXT.sub(lambda match: _set(match, factor), body), width, height


def _set(match: re.Match[str], factor: float) -> str:
    """Set one text in its face."""
    group, attributes, text = match[1] or "", match[2], match[3]
    size = _SIZE.search(attributes)
    if size is None:
        return match[0]
    if not group:
        resized = _resized(attributes, size, factor)
        return f"<text {resized}>{_heavy_signs(resized, text)}</text>"
    sign = (
        f'<tspan font-family="{PLAIN_FACE}" font-size="{float(size[1]) * SIGN_FACTOR:.4g}">'
        r"\g<0></tspan>"
    )
    signs = re.sub("[♭♯]+", sign, text)
    return f'{group}<text font-family="{BOOK_FACE}" {attributes}>{signs}</text>'


def _resized(attributes: str, size: re.Match[str], factor: float) -> str:
    """Return the attributes of a text with another size of font."""
    return attributes.replace(size[0], f'font-size="{float(size[1]) * factor:.4g}"')


def _heavy_signs(attributes: str, text: str) -> str:
    """Return what a text says in the plain face, its ♭, ♯ and ♮ as heavy as bold letters are.

    ``attributes`` are those of the text; one that is not bold stays as it is.

    >>> _heavy_signs('font-size="10" font-weight="bold" fill="#b24f00"', "♭9")
    '<tspan stroke="#b24f00" stroke-width="0.7">♭</tspan>9'
    >>> _heavy_signs('font-size="10"', "♭9")
    '♭9'
    """
    size, fill = _SIZE.search(attributes), _FILL.search(attributes)
    if size is None or 'font-weight="bold"' not in attributes:
        return text
    line = f'stroke-width="{SIGN_LINE * float(size[1]):.3g}"'
    colour = fill[1] if fill else "currentColor"  # as the notes of a staff have it
    return _SIGNS.sub(rf'<tspan stroke="{colour}" {line}>\g<0></tspan>', text)
