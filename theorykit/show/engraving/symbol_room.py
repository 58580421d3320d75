"""Room for chord symbols: none touches another one or a bar line, and the page stays as it is.

verovio makes room beside a symbol only where it is free to widen the bar. On a page whose lines
are given it is not, so symbols that lack room are set closer, then smaller.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from xml.etree.ElementTree import Element

from theorykit.show.pictures import symbol_width

APART = 90.0  # the least space beside a symbol, in verovio's units: half the space of two lines
# How much smaller symbols may become; the last is for what no page should hold.
SIZES = (1.0, 0.95, 0.9, 0.85, 0.8, 0.75, 0.7, 0.65, 0.6, 0.5, 0.4)
FARTHEST = 200.0  # by which a symbol may stand before its beat, while it can be smaller instead


@dataclass(frozen=True, slots=True)
class Symbols:
    """The chord symbols of one bar, from the left, and the places between which they stand."""

    texts: tuple[Element, ...]
    left: float
    right: float

    def wide(self, text: Element, size: float) -> float:
        """Return how wide a symbol is."""
        return symbol_width(text.text or "", size * float(text.attrib["font-size"]))

    def places(self, size: float) -> list[float]:
        """Return where each symbol begins, as far to the right as there is room before its beat."""
        found: list[float] = []
        edge = self.right
        for text in reversed(self.texts):
            found.insert(0, min(float(text.attrib["x"]), edge - self.wide(text, size)))
            edge = found[0] - APART
        return found

    def room(self, size: float) -> bool:
        """Tell whether all have room in a size, each near its beat."""
        moved = [
            float(text.attrib["x"]) - place
            for text, place in zip(self.texts, self.places(size), strict=True)
        ]
        return self.places(size)[0] >= self.left and max(moved) <= FARTHEST

    def set(self) -> None:
        """Set the symbols in the largest size that has room."""
        size = next((one for one in SIZES if self.room(one)), SIZES[-1])
        for text, place in zip(self.texts, self.places(size), strict=True):
            text.set("x", f"{place:g}")
            text.set("font-size", f"{size * float(text.attrib['font-size']):g}")


def make_room(root: Element) -> None:
    """Give every chord symbol of an engraved staff its room; its texts are set already."""
    for system in (group for group in root.iter("g") if group.get("class") == "system"):
        for symbols in _bars(system):
            symbols.set()


def _bars(system: Element) -> Iterator[Symbols]:
    """Yield the symbols of each bar of a line that has any."""
    left = -APART
    for measure in (group for group in system if group.get("class") == "measure"):
        right = _right(measure)
        texts = sorted(_symbols(measure), key=lambda text: float(text.attrib["x"]))
        if texts:
            yield Symbols(tuple(texts), left + APART, right - APART)
        left = right


def _symbols(measure: Element) -> Sequence[Element]:
    """Return the chord symbols of a bar."""
    groups = (group for group in measure.iter("g") if group.get("class") == "harm")
    return [text for group in groups for text in group.iter("text")]


def _right(measure: Element) -> float:
    """Return where a bar ends: where the lines of its staff do."""
    ends = [
        float(path.attrib["d"].split("L")[1].split()[0])
        for group in measure.iter("g")
        if group.get("class") == "staff"
        for path in group
        if path.tag == "path"
    ]
    return max(ends, default=float("inf"))
