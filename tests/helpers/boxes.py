"""Boxes in a page for paper: letters, staff lines, systems; read from the PDF by PDFium."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
import pypdfium2 as pdfium
from numpy.typing import NDArray
from pypdfium2 import raw

DEEP = 15  # levels of pictures inside pictures
SPACES = (4.0, 8.0)  # points between the lines of a staff, in either size of print
LONG, THIN = 20.0, 1.6  # points: of a line of a staff
NEAR = 2.0  # points between two bars of one staff
DOTS = 2.5  # a point, of the pictures in which letters are looked for
DARK, STEP = 140, 40  # of 255: ink; what is told from its neighbour


@dataclass(frozen=True, slots=True)
class Box:
    """A box in points, from the top left corner of its page; ``page`` counts from 0."""

    page: int
    left: float
    top: float
    right: float
    bottom: float

    @property
    def width(self) -> float:
        """How wide it is."""
        return self.right - self.left

    @property
    def height(self) -> float:
        """How high it is."""
        return self.bottom - self.top


def drawn(data: bytes) -> list[list[Box]]:
    """Return the box of everything on each page but letters: lines, shapes."""
    with pdfium.PdfDocument(data) as document:
        return [
            [
                _box(number, page, one.get_bounds())
                for one in page.get_objects(max_depth=DEEP)
                if one.type != raw.FPDF_PAGEOBJ_TEXT
            ]
            for number, page in enumerate(document)
        ]


def systems(data: bytes) -> list[Box]:
    """Return the lines of music of all pages, from the top: from the first staff line to the last.

    A line of music is five long thin lines, one under another and equally far apart; each may be
    cut at the bar lines.
    """
    with pdfium.PdfDocument(data) as document:
        return [one for number, page in enumerate(document) for one in _systems(number, page)]


def _systems(number: int, page: pdfium.PdfPage) -> Iterator[Box]:
    """Yield the lines of music of a page."""
    lines = _joined(sorted(_long_lines(number, page), key=lambda one: (one.top, one.left)))
    while lines:
        first = lines.pop(0)
        alike = [one for one in lines if _over(first, one)]
        space = alike[0].top - first.top if alike else 0.0
        if not SPACES[0] <= space <= SPACES[1]:
            continue
        five = [first, *alike[:4]]
        apart = [low.top - high.top for high, low in pairwise(five)]
        if len(five) == 5 and max(apart) - min(apart) < 0.1 * space:
            lines = [one for one in lines if one not in five]
            yield Box(number, first.left, first.top, first.right, five[-1].bottom)


def _over(one: Box, other: Box) -> bool:
    """Return whether a line begins and ends where another one does."""
    return abs(one.left - other.left) < NEAR and abs(one.right - other.right) < NEAR


def _long_lines(number: int, page: pdfium.PdfPage) -> Iterator[Box]:
    """Yield the long thin lines of a page that lie flat."""
    for one in page.get_objects(filter=[raw.FPDF_PAGEOBJ_PATH], max_depth=DEEP):
        box = _box(number, page, one.get_bounds())
        if box.width > LONG and box.height < THIN:
            yield box


def _joined(lines: Sequence[Box]) -> list[Box]:
    """Join lines at the same height that follow on each other."""
    found: list[Box] = []
    for one in lines:
        last = found[-1] if found else None
        if last and abs(one.top - last.top) < 0.3 and abs(one.left - last.right) < NEAR:
            found[-1] = Box(one.page, last.left, last.top, max(last.right, one.right), last.bottom)
        else:
            found.append(one)
    return found


def _box(number: int, page: pdfium.PdfPage, bounds: tuple[float, float, float, float]) -> Box:
    """Return bounds, which count from the foot, as a box."""
    left, low, right, high = bounds
    return Box(number, left, page.get_height() - high, right, page.get_height() - low)


# === Letters ===


@dataclass(frozen=True, slots=True)
class Letter:
    """A letter with the box of its ink."""

    text: str
    box: Box


def letters(data: bytes) -> list[list[Letter]]:
    """Return the letters of every page with the boxes of their ink; no spaces."""
    with pdfium.PdfDocument(data) as document:
        return [list(_letters(number, page)) for number, page in enumerate(document)]


def _letters(number: int, page: pdfium.PdfPage) -> Iterator[Letter]:
    """Yield the letters of a page."""
    text = page.get_textpage()
    for place in range(text.count_chars()):
        letter = chr(raw.FPDFText_GetUnicode(text, place))
        if not letter.isspace() and not raw.FPDFText_IsGenerated(text, place):
            yield Letter(letter, _box(number, page, text.get_charbox(place)))


def covered(page: Sequence[Letter], share: float = 0.15) -> list[tuple[str, str]]:
    """Return the pairs of letters of which one lies on the other, by a share of the smaller.

    Two that follow on each other may be set closer than their boxes, as V and a comma are.
    """
    boxes = np.array([(b.left, b.top, b.right, b.bottom) for b in (one.box for one in page)])
    if not len(boxes):
        return []
    left, top, right, bottom = boxes.T
    wide = np.minimum.outer(right, right) - np.maximum.outer(left, left)
    high = np.minimum.outer(bottom, bottom) - np.maximum.outer(top, top)
    sizes = (right - left) * (bottom - top)
    common = np.clip(wide, 0, None) * np.clip(high, 0, None)
    least = np.maximum(np.minimum.outer(sizes, sizes), 0.2)
    return [
        (page[one].text, page[other].text)
        for one, other in np.argwhere(np.triu(common / least > share, 2))
    ]


def crossed(data: bytes, *, ink: float = 0.08) -> list[list[str]]:
    """Return for every page the letters through which something that is drawn goes.

    The page is drawn twice, without its letters and without all else. A letter may stand on a
    shape, such as a key of a keyboard; where its ink meets the edge of one, it is crossed.
    """
    found = []
    with pdfium.PdfDocument(data) as whole, pdfium.PdfDocument(data) as words:
        for number in range(len(whole)):
            page = whole[number]
            there = list(_letters(number, page))
            edges = _edges(_picture(page, hidden=raw.FPDF_PAGEOBJ_TEXT))
            text = _picture(words[number], hidden=raw.FPDF_PAGEOBJ_PATH) < DARK
            found.append([one.text for one in there if _meets(one.box, text, edges) > ink])
    return found


def _picture(page: pdfium.PdfPage, *, hidden: int) -> NDArray[np.int16]:
    """Return a page as grey dots without its objects of a kind."""
    for one in list(page.get_objects(filter=[hidden])):
        page.remove_obj(one)
    return np.asarray(page.render(scale=DOTS, grayscale=True).to_numpy()).squeeze().astype(np.int16)


def _edges(picture: NDArray[np.int16]) -> NDArray[np.bool_]:
    """Return where a picture changes from one dot to the next."""
    found = np.zeros(picture.shape, dtype=bool)
    found[1:] |= np.abs(np.diff(picture, axis=0)) > STEP
    found[:, 1:] |= np.abs(np.diff(picture, axis=1)) > STEP
    return found


def _meets(box: Box, text: NDArray[np.bool_], edges: NDArray[np.bool_]) -> float:
    """Return the share of a letter's ink that lies on the edge of a shape."""
    rows = slice(int(box.top * DOTS), int(box.bottom * DOTS) + 1)
    columns = slice(int(box.left * DOTS), int(box.right * DOTS) + 1)
    own, others = text[rows, columns], edges[rows, columns]
    return float((own & others).sum()) / max(int(own.sum()), 1)


# === Marks ===


def unmarked(data: bytes) -> int:
    """Return how many things are drawn that are neither tagged nor marked as decoration."""
    with pdfium.PdfDocument(data) as document:
        return sum(
            not raw.FPDFPageObj_CountMarks(one.raw)
            for page in document
            for one in page.get_objects(max_depth=1)
        )
