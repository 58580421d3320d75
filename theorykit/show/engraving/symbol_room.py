"""Room for chord symbols: none touches another, a bar line or a letter; the page stays as it is.

verovio makes room beside a symbol only where it is free to widen the bar. On a page whose lines
are given it is not. Symbols that lack room are moved a little, then set in narrower letters; only
where that is not enough do all symbols of the page become smaller, none more than by a fifth.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from xml.etree.ElementTree import Element

from theorykit.show.pictures import symbol_width

APART = 90.0  # the least space beside a symbol, in verovio's units: half the space of two lines
FROM_BOX = 180.0  # the least space between the box of a section's letter and a symbol beside it
CAPITAL = 0.7  # of the size of letters: how high the capitals of a symbol are
SIZES = (1.0, 0.95, 0.9, 0.85, 0.8)  # by which all symbols of a page may become smaller
NARROWER = SIZES  # by which the letters of one bar may, before those of the page become smaller
FARTHEST = 200.0  # by which a symbol may stand off its beat, while there are other ways
LEAST = 0.1  # of the width of letters: for what no page should hold


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
        """Return where each symbol begins: at its beat, or as near to it as there is room."""
        widths = [self.wide(text, size) for text in self.texts]
        found: list[float] = []
        edge = self.right
        for text, wide in zip(reversed(self.texts), reversed(widths), strict=True):
            found.insert(0, min(float(text.attrib["x"]), edge - wide))
            edge = found[0] - APART
        edge = self.left
        for number, wide in enumerate(widths):
            found[number] = max(found[number], edge)
            edge = found[number] + wide + APART
        return found

    def most(self, size: float) -> float:
        """Return how wide the letters may be for all to have room, beside their own width."""
        free = self.right - self.left - APART * (len(self.texts) - 1)
        return max(LEAST, free / sum(self.wide(text, size) for text in self.texts))

    def room(self, size: float) -> bool:
        """Tell whether all have room in a size, each near its beat."""
        moved = (
            abs(float(text.attrib["x"]) - place)
            for text, place in zip(self.texts, self.places(size), strict=True)
        )
        return self.most(size) >= 1 and max(moved) <= FARTHEST

    def narrowed(self, size: float) -> float | None:
        """Return how narrow the letters of a size must be, none where that is not enough."""
        return next((narrow for narrow in NARROWER if self.room(size * narrow)), None)

    def set(self, size: float) -> None:
        """Set the symbols in a size, and as narrow as they must be."""
        narrow = self.narrowed(size) or min(NARROWER[-1], self.most(size))
        for text, place in zip(self.texts, self.places(size * narrow), strict=True):
            text.set("x", f"{place:g}")
            text.set("font-size", f"{size * float(text.attrib['font-size']):g}")
            if narrow < 1:
                text.set("transform", f"matrix({narrow:g} 0 0 1 {place * (1 - narrow):g} 0)")


def make_room(root: Element) -> None:
    """Give every chord symbol of an engraved staff its room; its texts are set already."""
    systems = (group for group in root.iter("g") if group.get("class") == "system")
    bars = [symbols for system in systems for symbols in _bars(system)]
    fitting = (one for one in SIZES if all(symbols.narrowed(one) for symbols in bars))
    size = next(fitting, SIZES[-1])
    for symbols in bars:
        symbols.set(size)


def _bars(system: Element) -> Iterator[Symbols]:
    """Yield the symbols of each bar of a line that has any."""
    left = -APART
    for measure in (group for group in system if group.get("class") == "measure"):
        right = _right(measure)
        texts = sorted(_symbols(measure), key=lambda text: float(text.attrib["x"]))
        if texts:
            begins = max(left + APART, _boxed(measure, texts[0]))
            yield Symbols(tuple(texts), begins, right - APART)
        left = right


def _symbols(measure: Element) -> Sequence[Element]:
    """Return the chord symbols of a bar."""
    groups = (group for group in measure.iter("g") if group.get("class") == "harm")
    return [text for group in groups for text in group.iter("text")]


def _boxed(measure: Element, text: Element) -> float:
    """Return from where a symbol is free of the box of a letter that stands beside it."""
    low, size = float(text.attrib["y"]), float(text.attrib["font-size"])
    free = -APART
    for group in (group for group in measure.iter("g") if group.get("class") == "reh"):
        for box in group.iter("rect"):
            left, top, wide, high = (float(box.attrib[k]) for k in ("x", "y", "width", "height"))
            if top < low and low - CAPITAL * size < top + high:
                free = max(free, left + wide + FROM_BOX)
    return free


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
