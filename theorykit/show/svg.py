"""SVG pictures that can share a page: ids of their own, a paper card, words for the ear."""

from __future__ import annotations

import re
import secrets
from html import escape
from xml.etree.ElementTree import Element

from theorykit.show.palette import INK, PAPER

__all__ = ["PADDING", "TEXT_FONT", "card", "with_own_ids"]

# A plain text font; a browser takes ♭ and ♯ from the next font that has them.
TEXT_FONT = "Arial, Helvetica, 'Liberation Sans', 'DejaVu Sans', sans-serif"
PADDING = 14  # pixels of paper around what is drawn
CORNER = 8  # radius of the card's corners, in pixels

_REFERENCE = re.compile(r"#([\w.:-]+)")


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
    full_width, full_height = round(width + 2 * PADDING, 1), round(height + 2 * PADDING, 1)
    title = escape(alt, quote=False)
    said = title.replace('"', "&quot;")
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{full_width:g}" height="{full_height:g}" '
        f'viewBox="0 0 {full_width:g} {full_height:g}" style="max-width:100%;height:auto" '
        f'role="img" aria-label="{said}" color="{INK}" font-family="{TEXT_FONT}">'
        f"<title>{title}</title>"
        f'<rect width="{full_width:g}" height="{full_height:g}" rx="{CORNER}" fill="{paper}"/>'
        f'<g transform="translate({PADDING} {PADDING})">{inside}</g></svg>'
    )
