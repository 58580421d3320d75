"""Engraved staves as PNG and PDF: the SVG of a card, set by typst on a page of its size.

The fonts are those that come with matplotlib and no others, so that a file is the same everywhere.
"""

from __future__ import annotations

import re

from theorykit.show.fonts import page_fonts
from theorykit.show.pictures.figure_painter import FONT_FACTOR
from theorykit.show.pictures.svg_painter import (
    PLAIN_FACE,
    TEXT_FONT,
    card_on_paper,
    card_size,
    card_words,
)
from theorykit.show.typesetting import typeset_pdf, typeset_pngs

# A page as large as the picture and nothing else on it; all that it prints comes in as data.
_PAGE = b"""
#let said = json(bytes(sys.inputs.page))
#set document(title: said.alt, date: none)
#let ground = if said.paper == "none" { none } else { rgb(said.paper) }
#set page(width: said.width * 0.75pt, height: said.height * 0.75pt, margin: 0pt,
  fill: ground)
#image(bytes(said.svg), format: "svg", width: 100%, alt: said.alt)
"""
_TEXT = re.compile(r"<text [^>]*>")
_SIZE = re.compile(r'(?<= font-size=")([\d.]+)(?=")')


def paint_staff(card: str, kind: str, paper: str, dpi: float) -> bytes:
    """Return a staff as the content of a file; ``kind`` is ``"png"`` or ``"pdf"``.

    >>> from theorykit.show.pictures.svg_painter import card
    >>> paint_staff(card("<g/>", 100, 50, "No notes"), "pdf", "none", 96)[:4]
    b'%PDF'
    """
    width, height = card_size(card)
    data = {
        "svg": _in_plain_face(card_on_paper(card, "none")),
        "alt": card_words(card),
        "width": width,
        "height": height,
        "paper": paper,
    }
    if kind == "pdf":
        return typeset_pdf(_PAGE, data, page_fonts())
    return typeset_pngs(_PAGE, data, page_fonts(), dpi=dpi)[0]


def _in_plain_face(card: str) -> str:
    """Return a card in the plain face, its letters smaller, because that face runs wide."""

    def smaller(size: re.Match[str]) -> str:
        return f"{float(size[1]) * FONT_FACTOR:.4g}"

    faced = card.replace(f'"{TEXT_FONT}"', f'"{PLAIN_FACE}"', 1)
    return _TEXT.sub(lambda text: _SIZE.sub(smaller, text[0]), faced)
