"""Bar numbers beside the letters of sections, where they meet neither box nor chord symbol."""

from __future__ import annotations

from collections.abc import Sequence
from xml.etree.ElementTree import Element, SubElement

from theorykit.views.staves import StaffView

# In verovio's units, of which 180 are the space between two lines of the staff.
NUMBER_SIZE, BESIDE = 324, 40  # of the number of a bar beside the letter of a section
LETTER = 0.65  # how wide a letter of a text is at most, beside its size
BEGINS = 400  # a letter that stands farther to the left begins a line

_Area = tuple[float, float, float, float]  # left, top, right, bottom


def number_sections(root: Element, view: StaffView) -> bool:
    """Put the number of the bar beside each section letter: verovio leaves it out there.

    At the beginning of a line it hangs out to the left, where no chord symbol can be in its way;
    inside a line it stands where nothing does. Bar 1 needs none. Returns whether all of them stand
    inside the picture: one over its letter may need more room at the top.
    """
    numbers = [view.first + place for place in range(len(view.bars)) if view.mark(place).section]
    groups = [group for group in root.iter("g") if group.get("class") == "reh"]
    taken = [area for text in root.iter("text") if (area := _area(text))]
    fits = True
    for group, number in zip(groups, numbers, strict=False):
        if number == 1:
            continue
        ways = _beside(next(group.iter("rect")), next(group.iter("text")), str(number))
        text = next((way for way in ways if not _meets(_area(way), taken)), ways[-1])
        fits &= float(text.attrib["y"]) >= NUMBER_SIZE
        SubElement(group, "g", {"class": "mNum"}).append(text)
    return fits


def _beside(box: Element, letter: Element, number: str) -> list[Element]:
    """Return the number of a bar left of the box of a letter, right of it and over it."""
    left, wide, top = (float(box.attrib[name]) for name in ("x", "width", "y"))
    base = letter.attrib["y"]
    places = [(left - BESIDE, base, "end"), (left + wide + BESIDE, base, "start")]
    places.append((left + wide / 2, str(round(top - BESIDE)), "middle"))
    look = {"font-size": str(NUMBER_SIZE), "font-style": "italic"}
    found = []
    for x, y, anchor in places[: 1 if left < BEGINS else None]:
        text = Element("text", {"x": str(round(x)), "y": y, "text-anchor": anchor} | look)
        text.text = number
        found.append(text)
    return found


def _area(text: Element) -> _Area | None:
    """Return about what a text covers, none where it has no place of its own."""
    if "x" not in text.attrib or not text.text:
        return None
    x, y, size = (float(text.attrib[name]) for name in ("x", "y", "font-size"))
    wide = LETTER * size * len(text.text)
    left = x - wide * {"middle": 0.5, "end": 1.0}.get(text.get("text-anchor", ""), 0.0)
    return left, y - size, left + wide, y + size / 4


def _meets(area: _Area | None, taken: Sequence[_Area]) -> bool:
    """Tell whether an area has something in it."""
    return area is not None and any(
        area[0] < other[2] and other[0] < area[2] and area[1] < other[3] and other[1] < area[3]
        for other in taken
    )
