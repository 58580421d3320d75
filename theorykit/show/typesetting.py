"""The typesetter: a page's program and its data to PDF or PNG, with fonts of its own. It is typst.

The fonts lie in matplotlib, which need not be imported for them, or beside a page with its Python.

Nothing else imports typst, and it is imported when the first page is set. Another typesetter, or
the same one in a browser, takes its place here, behind the two functions. What is printed goes in
as data, never as markup. Pages are written as PDF/UA-1 (ISO 14289-1), tagged for screen readers;
typst refuses to do so where a letter has no glyph, and that is how a missing one is found.
"""

from __future__ import annotations

import atexit
import json
import re
import shutil
import sys
import tempfile
import unicodedata
from collections.abc import Mapping
from functools import cache
from importlib.util import find_spec
from pathlib import Path
from threading import local
from typing import Any

from theorykit.errors import TheoryError
from theorykit.show.in_browser import beside_page

__all__ = ["page_fonts", "typeset_pdf", "typeset_pngs", "typeset_values"]

# For pictures, and for signs and letters that the page's own font lacks.
NAMES = ("DejaVuSans.ttf", "DejaVuSans-Bold.ttf", "DejaVuSans-BoldOblique.ttf")


@cache
def page_fonts() -> Path:
    """Return a folder that holds the fonts named here and nothing else.

    It is made once in a process and goes with it. matplotlib's own folder holds a font of last
    resort besides, whose boxes would hide that a letter is missing.

    >>> sorted(file.stem for file in page_fonts().iterdir())
    ['DejaVuSans', 'DejaVuSans-Bold', 'DejaVuSans-BoldOblique']
    """
    folder = Path(tempfile.mkdtemp(prefix="theorykit-fonts-"))
    atexit.register(shutil.rmtree, folder, ignore_errors=True)
    for name in NAMES:
        (folder / name).write_bytes(_font(name))
    return folder


def _font(name: str) -> bytes:
    """Return the file of a font, which lies beside the page where Python runs in a browser."""
    if sys.platform == "emscripten":
        return beside_page(f"fonts/{name}")
    found = find_spec("matplotlib")
    if found is None or found.origin is None:
        raise TheoryError("pages need the fonts that come with matplotlib (want it installed)")
    return (Path(found.origin).parent / "mpl-data" / "fonts" / "ttf" / name).read_bytes()


# === Pages ===

STANDARD = "ua-1"
_KEPT = local()  # the compilers of a thread, by program and fonts

_NO_GLYPH = re.compile(r"the text `\"(.+?)\"` could not be displayed")


def typeset_pdf(program: bytes, data: Mapping[str, Any], fonts: Path) -> bytes:
    """Return what a program in typst's language makes of data, as a tagged PDF.

    The program reads the data as JSON from its input ``page``. ``fonts`` is the folder of the fonts
    to print with, besides typst's own; fonts of the machine are left aside. Raises ``TheoryError``
    where a text has a letter that they lack.

    >>> from theorykit.show.typesetting import page_fonts
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


def typeset_values(program: bytes, data: Mapping[str, Any], fonts: Path, label: str) -> list[Any]:
    """Return what a program says of its pages in metadata with a label, without making them.

    >>> program = b'#context [#metadata(counter(page).final().first()) <count>]'
    >>> typeset_values(program, {}, page_fonts(), "<count>")
    [1]
    """
    import typst

    try:
        found = _compiler(program, data, fonts).query(label, field="value")
    except typst.TypstError as error:
        raise _refusal(str(error.diagnostic)) from None
    return list(json.loads(found))


def _compiled(program: bytes, data: Mapping[str, Any], fonts: Path, **wishes: Any) -> Any:
    """Set the pages."""
    import typst

    kept = _KEPT.__dict__.setdefault("compilers", {})  # each serves one thread
    if (program, fonts) not in kept:
        kept[program, fonts] = _compiler(program, {}, fonts)
    try:
        return kept[program, fonts].compile(sys_inputs=_inputs(data), **wishes)
    except typst.TypstError as error:
        raise _refusal(str(error.diagnostic)) from None


def _compiler(program: bytes, data: Mapping[str, Any], fonts: Path) -> Any:
    """Return a compiler of a program with its data."""
    import typst

    file = _file(program)
    return typst.Compiler(
        file,
        root=file.parent,
        font_paths=_opened(fonts),
        ignore_system_fonts=True,
        sys_inputs=_inputs(data),
    )


def _inputs(data: Mapping[str, Any]) -> dict[str, str]:
    """Return data as a program reads them."""
    return {"page": json.dumps(data)}


@cache
def _file(program: bytes) -> Path:
    """Return a file that holds a program, and goes with this process.

    What was laid out before is used again where program and text are the same, and typst knows a
    program by its file.
    """
    folder = Path(tempfile.mkdtemp(prefix="theorykit-program-"))
    atexit.register(shutil.rmtree, folder, ignore_errors=True)
    file = folder / "page.typ"
    file.write_bytes(program)
    return file


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
