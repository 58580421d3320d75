"""Cut lines: a staff that is broken into lines, as a picture for each of them."""

from __future__ import annotations

import re
from collections.abc import Iterator
from copy import deepcopy
from xml.etree import ElementTree
from xml.etree.ElementTree import Element

SVG = "http://www.w3.org/2000/svg"
ElementTree.register_namespace("", SVG)
# How far things reach above and below their point: a text in sizes of its letters, glyphs in
# verovio's units. A clef reaches further: above the staff, and below the line that it names.
TEXT_ABOVE, TEXT_BELOW = 0.8, 0.25
GLYPH, CLEF_ABOVE, CLEF_BELOW = 300.0, 270.0, 490.0
STROKE = 20.0  # beyond which no line is thick

_PAIR = re.compile(r"(-?[\d.]+)[ ,]+(-?[\d.]+)")
_REFERENCE = re.compile(r'(?<=")(#?p[0-9a-f]{12}-\d+)(?=")')


def line_count(picture: str) -> int:
    """Return how many lines a picture of a staff has.

    >>> from theorykit.show.engraving.engraved_staff import staff_svg
    >>> from theorykit.views.explorer_view import explore
    >>> line_count(staff_svg(explore("C").staff, width=400, bars_per_line=1))
    3
    """
    return picture.count('class="system"')


def staff_lines(picture: str) -> tuple[str, ...]:
    """Return a picture for each line of a staff, as wide as the whole and in its own height.

    Each is a picture that stands alone, with ids of its own. The words for the ear are left with
    the first; the others say which line they are.

    >>> from theorykit.show.engraving.engraved_staff import staff_svg
    >>> from theorykit.views.explorer_view import explore
    >>> lines = staff_lines(staff_svg(explore("C").staff, width=400, bars_per_line=1))
    >>> len(lines), [">Cmaj7<" in line for line in lines]
    (3, [False, False, True])
    """
    count = line_count(picture)
    if count < 2:
        return (picture,)
    root = ElementTree.fromstring(picture)
    spans = _cuts(root)
    return tuple(_line(root, number, span, count) for number, span in enumerate(spans))


def line_words(number: int, count: int) -> str:
    """Return the words for the ear of a line after the first; ``number`` counts from 0.

    >>> line_words(1, 8)
    'Line 2 of 8 of the staff above.'
    """
    return f"Line {number + 1} of {count} of the staff above."


def _systems(root: Element) -> list[Element]:
    """Return the groups of the lines."""
    return list(_groups(root, "system"))


def _groups(root: Element, kind: str) -> Iterator[Element]:
    """Yield the groups of a kind."""
    return (group for group in root.iter(f"{{{SVG}}}g") if group.get("class") == kind)


def _cuts(root: Element) -> list[tuple[float, float]]:
    """Return where each line is cut out, in verovio's units: as far as it reaches.

    How far apart the lines stand is then the page's alone, and as close as it is set. All of them
    stand lower by the margin over the first.
    """
    margin, high = _place(next(_groups(root, "page-margin"))), _height(root)
    reach = [_reach(system) for system in _systems(root)]
    return [
        (max(margin + top - STROKE, 0.0), min(margin + bottom + STROKE, high))
        for top, bottom in reach
    ]


def _height(root: Element) -> float:
    """Return how high the whole is, in verovio's units."""
    return float(_scale(root).attrib["viewBox"].split()[3])


def _scale(root: Element) -> Element:
    """Return the element that holds verovio's units."""
    return next(e for e in root.iter(f"{{{SVG}}}svg") if e.get("class") == "definition-scale")


def _reach(system: Element) -> tuple[float, float]:
    """Return how far up and down a line reaches, below the margin over the first."""
    found = [span for element in system.iter() for span in _spans(element)]
    for staff, clef in zip(_groups(system, "staff"), _groups(system, "clef"), strict=False):
        line, glyph = next(staff.iter(f"{{{SVG}}}path")), next(clef.iter(f"{{{SVG}}}use"))
        top = float(_PAIR.findall(line.attrib["d"])[0][1])
        found.append((top - CLEF_ABOVE, _place(glyph) + CLEF_BELOW))
    return min(top for top, _ in found), max(bottom for _, bottom in found)


def _spans(element: Element) -> Iterator[tuple[float, float]]:
    """Yield the heights that an element takes up."""
    kind = element.tag.rpartition("}")[2]
    if kind == "text" and "y" in element.attrib:
        y, size = float(element.attrib["y"]), float(element.attrib["font-size"])
        yield y - TEXT_ABOVE * size, y + TEXT_BELOW * size
    elif kind == "rect":
        top = float(element.attrib["y"])
        yield top, top + float(element.attrib["height"])
    elif kind == "use":
        yield _place(element) - GLYPH, _place(element) + GLYPH
    else:
        for _, y in _PAIR.findall(element.get("points") or element.get("d") or ""):
            yield float(y), float(y)


def _place(moved: Element) -> float:
    """Return how far down a glyph or a group is moved."""
    return float(_PAIR.findall(moved.attrib["transform"])[0][1])


def _line(root: Element, number: int, span: tuple[float, float], count: int) -> str:
    """Return one line as a picture, cut out where it reaches to."""
    cut = deepcopy(root)
    scale = _scale(cut)
    parents = {child: parent for parent in cut.iter() for child in parent}
    for place, system in enumerate(_systems(cut)):
        if place != number:
            parents[system].remove(system)
    top, bottom = span
    width = float(scale.attrib["viewBox"].split()[2])
    whole = _height(root)
    scale.set("viewBox", f"0 {top:.0f} {width:g} {bottom - top:.0f}")
    outer = parents[scale]
    tall = float(outer.attrib["height"].removesuffix("px"))
    high = round(tall * (bottom - top) / whole, 1)
    outer.set("height", f"{high:g}px")
    _resize(cut, high - tall)
    if number:
        _rename(cut, line_words(number, count))
        cut.set("data-line", str(number))
    text = ElementTree.tostring(cut, encoding="unicode")
    return _REFERENCE.sub(lambda match: f"{match[1]}l{number}", text)


def _resize(card: Element, change: float) -> None:
    """Make a card higher or lower."""
    width, height = card.attrib["width"], float(card.attrib["height"]) + change
    card.set("height", f"{height:.5g}")
    card.set("viewBox", f"0 0 {width} {height:.5g}")
    rect = next(card.iter(f"{{{SVG}}}rect"))
    rect.set("height", f"{height:.5g}")


def _rename(card: Element, words: str) -> None:
    """Give a card other words for the ear."""
    card.set("aria-label", words)
    next(card.iter(f"{{{SVG}}}title")).text = words
