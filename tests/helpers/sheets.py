"""What tests ask of printed pages: words with their boxes, ink, tags, fonts."""

from __future__ import annotations

import io
import shutil
import subprocess
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from xml.etree import ElementTree

import numpy as np
import pypdf
import pytest
from house import ROOT
from numpy.typing import NDArray
from PIL import Image

from theorykit.handout import Edition, Handout
from theorykit.handout.blocks import sections_of
from theorykit.handout.page import Engraver, page_pdf
from theorykit.handout.pieces import Section, said_once

READY = ("one_colour", "six_colours", "a_tune_with_its_lines")
SIDES = ("xMin", "yMin", "xMax", "yMax")
XHTML = "{http://www.w3.org/1999/xhtml}"
MILLIMETRE = 72 / 25.4  # points

needs_poppler = pytest.mark.skipif(
    not (shutil.which("pdftoppm") and shutil.which("pdftotext")),
    reason="pdftoppm and pdftotext are missing (on Debian: apt-get install poppler-utils)",
)


@dataclass(frozen=True)
class Word:
    """One word of a page and its box, in points from the top left corner."""

    text: str
    left: float
    top: float
    right: float
    bottom: float

    @property
    def height(self) -> float:
        """The height of the box."""
        return self.bottom - self.top


@cache
def ready(name: str) -> Handout:
    """Return one of the ready handouts."""
    return Handout.read(ROOT / "workbook" / "handouts" / f"{name}.toml")


@cache
def sections(handout: Handout, reader: str, size: str) -> tuple[Section, ...]:
    """Return what stands on the pages of a reader, engraved once."""
    return said_once(sections_of(handout.blocks, Engraver(Edition(reader).who, size)))


@cache
def pdf(handout: Handout, edition: Edition) -> bytes:
    """Return the pages of an edition, made once."""
    return page_pdf(handout, sections(handout, edition.reader, edition.size), edition)


def read(data: bytes) -> pypdf.PdfReader:
    """Read pages back."""
    return pypdf.PdfReader(io.BytesIO(data))


def text_of(data: bytes) -> str:
    """Return all text of the pages; what may be broken at the end of a line reads as typed."""
    pages = (page.extract_text() for page in read(data).pages)
    return " ".join(" ".join(pages).replace("\u200b", "").split())


def words_of(data: bytes, folder: Path) -> list[list[Word]]:
    """Return the words of every page with their boxes, as poppler finds them."""
    file = folder / "page.pdf"
    file.write_bytes(data)
    command = ["pdftotext", "-bbox", str(file), "-"]
    done = subprocess.run(command, capture_output=True, check=True)
    root = ElementTree.fromstring(done.stdout.decode("utf-8", "replace"))
    return [
        [
            Word(
                word.text or "", *(float(word.attrib[k]) for k in ("xMin", "yMin", "xMax", "yMax"))
            )
            for word in page.iter(f"{XHTML}word")
        ]
        for page in root.iter(f"{XHTML}page")
    ]


def overlap(one: Word, other: Word) -> float:
    """Return the share of the smaller box that lies under the other one."""
    wide = min(one.right, other.right) - max(one.left, other.left)
    high = min(one.bottom, other.bottom) - max(one.top, other.top)
    sizes = [(box.right - box.left) * box.height for box in (one, other)]
    return max(wide, 0) * max(high, 0) / max(min(sizes), 1e-9)


def ink_of(data: bytes, folder: Path, *, dpi: int = 50) -> list[NDArray[np.bool_]]:
    """Return for every page where there is ink, a row for each line of dots."""
    file = folder / "page.pdf"
    file.write_bytes(data)
    command = ["pdftoppm", "-r", str(dpi), "-gray", "-png", str(file), str(folder / "ink")]
    subprocess.run(command, capture_output=True, check=True)
    pictures = sorted(folder.glob("ink*.png"))
    found = [np.asarray(Image.open(picture).convert("L")) < 200 for picture in pictures]
    for picture in pictures:
        picture.unlink()
    return found


def tags(data: bytes) -> list[tuple[str, str]]:
    """Return the tags of the pages in reading order, each with its alternative text."""
    root = read(data).trailer["/Root"]["/StructTreeRoot"]
    return list(_tags(root))


def _tags(element: object) -> Iterator[tuple[str, str]]:
    """Run through a tag and what is inside it."""
    if isinstance(element, pypdf.generic.DictionaryObject):
        if "/S" in element:
            yield str(element["/S"]), str(element.get("/Alt", ""))
        inside = element.get("/K")
        inside = inside.get_object() if inside is not None else []
        for one in inside if isinstance(inside, list) else [inside]:
            yield from _tags(one.get_object() if hasattr(one, "get_object") else one)


def fonts(data: bytes) -> dict[str, bool]:
    """Return the fonts of the pages, each with whether it is inside the file."""
    found: dict[str, bool] = {}
    for page in read(data).pages:
        for one in page["/Resources"].get("/Font", {}).values():
            _add_font(one.get_object(), found)
        for image in page["/Resources"].get("/XObject", {}).values():
            resources = image.get_object().get("/Resources", {})
            for one in resources.get("/Font", {}).values():
                _add_font(one.get_object(), found)
    return found


def _add_font(font: pypdf.generic.DictionaryObject, found: dict[str, bool]) -> None:
    """Look a font up."""
    below = font.get("/DescendantFonts")
    inner = below[0].get_object() if below else font
    descriptor = inner.get("/FontDescriptor", {})
    found[str(font["/BaseFont"])] = any(key in descriptor for key in ("/FontFile2", "/FontFile3"))
