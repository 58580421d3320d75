"""The code to scan: an address as a QR code (ISO/IEC 18004), made here and sent nowhere.

Its light edge is four modules wide, as the standard wants it, and part of the picture, so that it
can be read wherever it is put.
"""

from __future__ import annotations

import io
from dataclasses import dataclass
from functools import lru_cache
from xml.sax.saxutils import quoteattr

import segno

__all__ = ["scan_code"]

EDGE = 4  # modules
CORRECTION = "m"  # what is lost to a fold or a stain, up to 15 %, is made good


@dataclass(frozen=True, slots=True)
class ScanCode:
    """A code as SVG without a size of its own, and how many modules it is wide, its edge too."""

    svg: str
    modules: int


@lru_cache(maxsize=64)  # the pages of a reader are set many times until they fit
def scan_code(text: str, alt: str) -> ScanCode:
    """Return a text as a code, black on white on a dark page too; ``alt`` says what it is.

    >>> code = scan_code("https://example.org/x#F", "a code")
    >>> code.modules, 'aria-label="a code"' in code.svg
    (33, True)
    """
    code = segno.make(text, error=CORRECTION, micro=False)
    made = io.BytesIO()
    code.save(
        made, kind="svg", border=EDGE, xmldecl=False, nl=False, omitsize=True,
        dark="#000000", light="#ffffff", svgclass=None, lineclass=None,
    )  # fmt: skip
    named = f'<svg role="img" aria-label={quoteattr(alt)} '
    drawn = made.getvalue().decode("utf-8").replace("<svg ", named, 1)
    return ScanCode(drawn, int(code.symbol_size(border=EDGE)[0]))
