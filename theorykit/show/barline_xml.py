"""What stands at the lines of a bar, as MusicXML: repeats, endings, section letters, jumps."""

from __future__ import annotations

from collections.abc import Iterator
from xml.etree.ElementTree import Element, SubElement

from theorykit.tunes.bars import JumpMark, jump_mark
from theorykit.views.staves import BarMark

__all__ = ["closing_marks", "end_marks", "head_marks", "opening_marks", "section_mark"]

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


def head_marks(mark: BarMark) -> Iterator[Element]:
    """Return segno and coda as signs over the head of a bar, which players can jump to.

    >>> [element.find("sound").attrib for element in head_marks(BarMark(marks=("segno", "fine")))]
    [{'segno': 'segno'}]
    """
    for name in mark.marks:
        if jump_mark(name).at_head:
            direction = Element("direction", placement="above")
            SubElement(SubElement(direction, "direction-type"), name)
            SubElement(direction, "sound", {name: name})
            yield direction


def end_marks(mark: BarMark) -> Iterator[Element]:
    """Return to coda, fine and jumps as words over the end of a bar, which players can follow.

    >>> [one.find("sound").attrib for one in end_marks(BarMark(marks=("segno", "D.S. al coda")))]
    [{'dalsegno': 'segno'}]
    """
    for row in map(jump_mark, mark.marks):
        if not row.at_head:
            direction = Element("direction", placement="above")
            words = SubElement(SubElement(direction, "direction-type"), "words", halign="right")
            words.text = row.page
            SubElement(direction, "sound", _sound(row))
            yield direction


def _sound(row: JumpMark) -> dict[str, str]:
    """Return the attribute that makes a program jump, leave for the coda or stop."""
    if row.back:
        return {"dalsegno": "segno"} if row.back == "segno" else {"dacapo": "yes"}
    return {"fine": "yes"} if row.name == "fine" else {"tocoda": "coda"}
