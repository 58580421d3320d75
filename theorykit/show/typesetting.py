"""The typesetter: a page's program and what is printed, to PDF or PNG. It is typst.

Nothing else imports typst, and it is imported when the first page is set. Another typesetter, or
the same one in a browser, takes its place here, behind the two functions. What is printed goes in
as data, never as markup. Pages are written as PDF/UA-1 (ISO 14289-1), tagged for screen readers;
typst refuses to do so where a letter has no glyph, and that is how a missing one is found.
"""

from __future__ import annotations

import json
import re
import unicodedata
from collections.abc import Mapping
from functools import cache
from pathlib import Path
from typing import Any

from theorykit.errors import TheoryError

__all__ = ["typeset_pdf", "typeset_pngs"]

STANDARD = "ua-1"

_NO_GLYPH = re.compile(r"the text `\"(.+?)\"` could not be displayed")


def typeset_pdf(program: bytes, data: Mapping[str, Any], fonts: Path) -> bytes:
    """Return what a program in typst's language makes of data, as a tagged PDF.

    The program reads the data as JSON from its input ``page``. ``fonts`` is the folder of the fonts
    to print with, besides typst's own; fonts of the machine are left aside. Raises ``TheoryError``
    where a text has a letter that they lack.

    >>> from theorykit.show.fonts import page_fonts
    >>> program = b'#set document(title: "One")\\n#json(bytes(sys.inputs.page)).words'
    >>> typeset_pdf(program, {"words": "Sing first."}, page_fonts())[:5]
    b'%PDF-'
    """
    made: bytes = _compiled(program, data, fonts, format="pdf", pdf_standards=[STANDARD])
    return made


def typeset_pngs(
    program: bytes, data: Mapping[str, Any], fonts: Path, *, dpi: float
) -> list[bytes]:
    """Return what a program makes of data as a PNG picture of each page."""
    made = _compiled(program, data, fonts, format="png", ppi=dpi)
    return list(made) if isinstance(made, list) else [made]


def _compiled(program: bytes, data: Mapping[str, Any], fonts: Path, **wishes: Any) -> Any:
    """Set the pages."""
    import typst

    compiler = typst.Compiler(
        program,
        font_paths=_opened(fonts),
        ignore_system_fonts=True,
        sys_inputs={"page": json.dumps(data)},
    )
    try:
        return compiler.compile(**wishes)
    except typst.TypstError as error:
        raise _refusal(str(error.diagnostic)) from None


@cache
def _opened(fonts: Path) -> Any:
    """Return the fonts of a folder, opened once."""
    import typst

    return typst.Fonts(include_system_fonts=False, font_paths=[str(fonts)])


def _refusal(diagnostic: str) -> TheoryError:
    """Say in words what typst refused."""
    missing = _NO_GLYPH.search(diagnostic)
    if missing is None:
        return TheoryError(f"the page could not be set: {diagnostic.splitlines()[0]}")
    letters = missing[1]
    name = unicodedata.name(letters[0], f"U+{ord(letters[0]):04X}").lower()
    return TheoryError(
        f"the fonts of the page cannot print {letters!r} ({name}) (want Latin, Greek, Cyrillic, "
        "Hebrew or Arabic letters, and common signs)"
    )
