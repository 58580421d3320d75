"""Bar numbers beside the letters of sections, where they meet neither box nor chord symbol."""

from __future__ import annotations

from collections.abc import Sequence
from math import ceil
from xml.etree.ElementTree import Element, SubElement

from theorykit.views.staves import StaffView

# In verovio's units, of which 180 are the space between two lines of the staff.
NUMBER_SIZE, BESIDE = 324, 90  # of the number of a bar beside the letter of a section
LETTER = 0.65  # how wide a letter of a text is at most, beside its size
HEADROOM = 35  # over the first line where a number stands there, in tens of these units
FRAME = 10  # by which the box of a letter may stand out itself
BEGINS = 400  # a letter that stands farther to the left begins a line

_Area = tuple[float, float, float, float]  # left, top, right, bottom


def number_sections(
    root: Element, view: StaffView, outside: float, letters: float = 1.0
) -> dict[str, int]:
    """Put the number of the bar beside each section letter: verovio leaves it out there.

    At the beginning of a line it hangs out to the left, where no chord symbol can be in its way;
    inside a line it stands where nothing does. Bar 1 needs none. Returns the margins that the music
    must have for all of them to stand inside the picture, by verovio's names: ``outside`` is how
    far they may stand out at the left without any, ``letters`` how much larger they are than usual.
    """
    groups = [group for group in root.iter("g") if group.get("class") == "reh"]
    taken = [area for text in root.iter("text") if (area := _area(text))]
    for group, number in zip(groups, _numbers(view), strict=False):
        if number == 1:
            continue
        ways = _beside(next(group.iter("rect")), next(group.iter("text")), str(number), letters)
        text = next((way for way in ways if not _meets(_area(way), taken)), ways[-1])
        SubElement(group, "g", {"class": "mNum"}).append(text)
    return _margins(root, outside)


def hanging_margin(view: StaffView, outside: float, letters: float = 1.0) -> int:
    """Return the margin at the left in which the longest number has room before its box."""
    longest = max((len(str(number)) for number in _numbers(view) if number > 1), default=0)
    wide = BESIDE + FRAME + LETTER * letters * NUMBER_SIZE * longest
    return max(0, ceil((wide - outside) / 10)) if longest else 0


def _numbers(view: StaffView) -> list[int]:
    """Return the numbers of the bars that begin a section."""
    return [view.first + place for place in range(len(view.bars)) if view.mark(place).section]


def _margins(root: Element, outside: float) -> dict[str, int]:
    """Return the margins that all numbers of bars need, verovio's own with them."""
    groups = (group for group in root.iter("g") if group.get("class") == "mNum")
    areas = [area for group in groups for text in group.iter("text") if (area := _area(text))]
    left, top = (min((area[side] for area in areas), default=0.0) for side in (0, 1))
    return {
        "pageMarginLeft": max(0, ceil((-left - outside) / 10)),
        "pageMarginTop": HEADROOM if top < 0 else 0,
    }


def _beside(box: Element, letter: Element, number: str, letters: float) -> list[Element]:
    """Return the number of a bar left of the box of a letter, right of it and over it."""
    left, wide, top = (float(box.attrib[name]) for name in ("x", "width", "y"))
    base = letter.attrib["y"]
    places = [(left - BESIDE, base, "end"), (left + wide + BESIDE, base, "start")]
    places.append((left + wide / 2, str(round(top - BESIDE)), "middle"))
    look = {"font-size": f"{letters * NUMBER_SIZE:g}", "font-style": "italic"}
    found = []
    for x, y, anchor in places[: 1 if left < BEGINS else None]:
        text = Element("text", {"x": str(round(x)), "y": y, "text-anchor": anchor} | look)
        text.text = number
        found.append(text)
    return found


def _area(text: Element) -> _Area | None:
    """Return about what a text covers, none where it has no place of its own."""
    if "y" not in text.attrib or not text.text:
        return None
    x, y, size = (float(text.get(name, 0)) for name in ("x", "y", "font-size"))
    wide = LETTER * size * len(text.text)
    left = x - wide * {"middle": 0.5, "end": 1.0}.get(text.get("text-anchor", ""), 0.0)
    return left, y - size, left + wide, y + size / 4


def _meets(area: _Area | None, taken: Sequence[_Area]) -> bool:
    """Tell whether an area has something in it."""
    return area is not None and any(
        area[0] < other[2] and other[0] < area[2] and area[1] < other[3] and other[1] < area[3]
        for other in taken
    )
