"""What stands at the lines of a bar, as MusicXML: repeats, endings, section letters."""

from __future__ import annotations

from collections.abc import Iterator
from xml.etree.ElementTree import Element, SubElement

from theorykit.views.bar_marks import BarMark

__all__ = ["closing_marks", "opening_marks", "section_mark"]

TWICE = 2  # what a repeat sign alone means


def opening_marks(mark: BarMark) -> Iterator[Element]:
    """Return the bar line before a bar, if it is more than a line.

    >>> [element.find("repeat").get("direction") for element in opening_marks(BarMark(opens=True))]
    ['forward']
    """
    if not (mark.opens or mark.ending):
        return
    line = Element("barline", location="left")
    if mark.opens:
        SubElement(line, "bar-style").text = "heavy-light"
    if mark.ending:
        _ending(line, mark.ending, "start").text = "".join(f"{n}." for n in mark.ending)
    if mark.opens:
        SubElement(line, "repeat", direction="forward")
    yield line


def closing_marks(mark: BarMark) -> Iterator[Element]:
    """Return the bar line after a bar, if it is more than a line."""
    if not (mark.closes or mark.ending_ends):
        return
    line = Element("barline", location="right")
    if mark.closes:
        SubElement(line, "bar-style").text = "light-heavy"
    if mark.ending_ends:
        _ending(line, mark.ending_under, mark.ending_ends)
    if mark.closes:
        times = {"times": str(mark.closes)} if mark.closes > TWICE else {}
        SubElement(line, "repeat", {"direction": "backward", **times})
    yield line


def _ending(line: Element, numbers: tuple[int, ...], what: str) -> Element:
    """Add the bracket of an ending to a bar line."""
    said = ", ".join(map(str, numbers))
    return SubElement(line, "ending", {"number": said, "type": what})


def section_mark(mark: BarMark) -> Iterator[Element]:
    """Return the letter or name of a section as a rehearsal mark over the bar.

    >>> [element.findtext("direction-type/rehearsal") for element in section_mark(BarMark("A"))]
    ['A']
    """
    if mark.section:
        direction = Element("direction", placement="above")
        kind = SubElement(direction, "direction-type")
        SubElement(kind, "rehearsal").text = mark.section
        yield direction
