"""Several staves one after the other as one MusicXML 4.0 file, each with its title."""

from __future__ import annotations

from collections.abc import Sequence
from xml.etree import ElementTree
from xml.etree.ElementTree import Element, SubElement

from theorykit.show.musicxml import HEADER, score_element
from theorykit.views.staves import StaffView

__all__ = ["score_musicxml"]


def score_musicxml(
    staves: Sequence[tuple[str, StaffView]], *, title: str, part: str, rights: str = ""
) -> str:
    """Return staves with their titles as the text of one MusicXML file, bars numbered through.

    ``part`` is the name of the part, ``rights`` a line of licence.

    >>> from theorykit.views.explorer_view import explore
    >>> both = [("in C", explore("C").staff), ("in F", explore("F").staff)]
    >>> text = score_musicxml(both, title="Two keys", part="Flute")
    >>> text.count("<measure"), text.count("<fifths>")
    (6, 2)
    """
    root = score_element(staves[0][1])
    root.remove(root[-1])
    _name(root, title, part, rights)
    joined = SubElement(root, "part", id="P1")
    for place, (words, view) in enumerate(staves):
        measures = list(score_element(view).iter("measure"))
        _begin(measures[0], words, new_system=place > 0)
        if place + 1 < len(staves):
            _style(measures[-1], "light-light")
        joined.extend(measures)
    for number, measure in enumerate(joined, 1):
        measure.set("number", str(number))
    ElementTree.indent(root)
    return HEADER + ElementTree.tostring(root, encoding="unicode") + "\n"


def _name(root: Element, title: str, part: str, rights: str) -> None:
    """Say what the whole is called, who reads it, and how it may be used."""
    work = Element("work")
    SubElement(work, "work-title").text = title
    root.insert(0, work)
    identification = root.find("identification")
    if rights and identification is not None:
        line = Element("rights")
        line.text = rights
        identification.insert(0, line)
    for name in root.iter("part-name"):
        name.attrib.clear()
        name.text = part


def _begin(measure: Element, words: str, *, new_system: bool) -> None:
    """Put a title over a bar, and begin a line with it."""
    if new_system:
        measure.insert(0, Element("print", {"new-system": "yes"}))
    direction = Element("direction", placement="above")
    said = SubElement(SubElement(direction, "direction-type"), "words", {"font-weight": "bold"})
    said.text = words
    at = next(place for place, part in enumerate(measure) if part.tag == "attributes")
    measure.insert(at + 1, direction)


def _style(measure: Element, style: str) -> None:
    """Give the last bar line of a staff another style."""
    for bar in measure.iter("bar-style"):
        bar.text = style
