"""The engraver: MusicXML to a picture of the music. It is verovio, and nothing else imports it.

Another engraver, or the same one in a browser, takes its place here, behind the one function.

Widths of letters by the size of the font: DejaVu Sans as printed pages and files have it, in bold,
whose digits run wider than those of the fonts of a screen.
"""

from __future__ import annotations

import sys
import threading
from collections import defaultdict
from collections.abc import Iterator, Mapping
from functools import cache
from itertools import pairwise
from pathlib import Path
from typing import Any
from xml.etree.ElementTree import Element

from theorykit.errors import TheoryError

if sys.platform == "emscripten":
    from theorykit.show.in_browser import Engraver
else:
    import verovio

_ONE_AT_A_TIME = threading.Lock()  # the toolkit serves one thread at a time


def engraved(musicxml: str, options: Mapping[str, Any]) -> str:
    """Return a score, the text of a MusicXML file, as the text of one SVG picture.

    ``options`` are verovio's, by the names that its handbook gives them; what is not named is as
    the handbook says.

    >>> from theorykit.show.engraving.staff_xml import musicxml
    >>> from theorykit.views.explorer_view import explore
    >>> picture = engraved(musicxml(explore("C").staff), {"breaks": "none", "svgFormatRaw": True})
    >>> picture[:4], picture.count('class="measure"')
    ('<svg', 3)
    """
    with _ONE_AT_A_TIME:
        toolkit = _toolkit()
        toolkit.resetOptions()  # what the score before was engraved with, but for its scale
        toolkit.setOptions({"scale": 100, **options})
        if not toolkit.loadData(musicxml):
            raise TheoryError("the staff could not be engraved (want notes that a staff can hold)")
        pages = toolkit.getPageCount()
        if pages != 1:
            raise TheoryError(f"too long for one picture: {pages} pages (want fewer bars)")
        return str(toolkit.renderToSVG(1))


@cache
def _toolkit() -> Any:
    """Return the one toolkit of this process.

    It is told where its fonts are: by itself it finds them only in the thread that imported
    verovio, and a notebook's controls answer in another thread than its cells.
    """
    if sys.platform == "emscripten":
        return Engraver()
    toolkit = verovio.toolkit(False)
    toolkit.setResourcePath(str(Path(verovio.__file__).parent / "data"))
    return toolkit


APART = 80.0  # the least space between two labels, in verovio's units: nearly half a digit
_WIDTHS = dict.fromkeys("♭♯♮", 0.43) | dict.fromkeys("ilt", 0.43) | dict.fromkeys("CPT", 0.65)
_OTHERS = 0.63

Span = tuple[float, float]


def label_width(text: str, size: float) -> float:
    """Return how wide a label is in bold letters of a size.

    >>> label_width("♭13", 100), label_width("♯11", 100)
    (169.0, 169.0)
    """
    return round(size * sum(_WIDTHS.get(letter, _OTHERS) for letter in text), 6)


def label_spans(root: Element) -> Iterator[tuple[Span, ...]]:
    """Yield where the labels of each line of words under each line of music stand, from the left.

    ``root`` is an engraved staff whose labels are set.
    """
    for system in (group for group in root.iter("g") if group.get("class") == "system"):
        rows: dict[str, list[Span]] = defaultdict(list)
        for note in (group for group in system.iter("g") if group.get("class") == "note"):
            for text in filter(lambda one: one.text, note.iter("text")):
                rows[text.attrib["y"]].append(_span(text))
        yield from (tuple(sorted(row)) for row in rows.values())


def _span(text: Element) -> Span:
    """Return the left and right end of one label."""
    left, wide = (
        float(text.attrib["x"]),
        label_width(text.text or "", float(text.attrib["font-size"])),
    )
    start = left - wide / 2 if text.get("text-anchor") == "middle" else left
    return start, start + wide


def room_lacking(root: Element) -> float:
    """Return how much farther apart the closest two labels should be, 0 where all have room."""
    gaps = (after[0] - before[1] for row in label_spans(root) for before, after in pairwise(row))
    return max(0.0, APART - min(gaps, default=APART))
