"""Pages: the sections of a handout as data for the typesetter.

The fonts are Libertinus Serif, which is inside the package typst, and DejaVu Sans for the signs it
lacks, which is inside matplotlib. Fonts of the machine are left aside, so that a page looks the
same everywhere.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, fields, is_dataclass
from functools import cache, lru_cache
from importlib.resources import files
from typing import Any

from theorykit.handout.front import PAPERS, Edition, Front
from theorykit.handout.page.octave_words import octaves_said, said_of
from theorykit.handout.page.page_setting import NARROW, PLAIN, Setting
from theorykit.handout.pieces import (
    GUTTER,
    Beside,
    Lead,
    Para,
    Section,
    day_in_words,
    direction,
    paragraphs,
    said_once,
    with_breaks,
)
from theorykit.show.scan_code import scan_code
from theorykit.show.typesetting import page_fonts, typeset_pdf, typeset_pngs, typeset_values

# The teacher's margin in millimetres: space at the left, and at the right of the notes.
TEACHER_LEFT, TEACHER_RIGHT = 15.0, 11.0
# Of a code that a phone reads at arm's length: a module and the least width in millimetres.
MODULE, LEAST_CODE = 0.5, 25.0
EXTENT = "<extent>"  # where the page's program says how long it is
SHORT_LABEL = 12  # bytes of a label that has room beside the first chord symbol of a staff


def page_pdf(
    front: Front,
    sections: tuple[Section, ...],
    edition: Edition,
    setting: Setting = PLAIN,
    *,
    told: str = "",
) -> bytes:
    """Return the pages of one edition as a tagged PDF; ``told`` is said to the teacher on top.

    Raises ``TheoryError`` where a text has a letter that the fonts of the page lack.

    >>> from theorykit.handout.front import Edition
    >>> from theorykit.handout.handout import Handout
    >>> page_pdf(Handout("Warm-up"), (), Edition())[:5]
    b'%PDF-'
    """
    data = page_data(front, sections, edition, setting, told)
    return typeset_pdf(_program(), data, page_fonts())


def page_pngs(
    front: Front,
    sections: tuple[Section, ...],
    edition: Edition,
    setting: Setting = PLAIN,
    *,
    told: str = "",
    dpi: float = 96,
) -> list[bytes]:
    """Return the pages of one edition as PNG pictures, to be looked at before they are made.

    >>> from theorykit.handout.front import Edition
    >>> from theorykit.handout.handout import Handout
    >>> [page[1:4] for page in page_pngs(Handout("Warm-up"), (), Edition())]
    [b'PNG']
    """
    data = page_data(front, sections, edition, setting, told)
    return typeset_pngs(_program(), data, page_fonts(), dpi=dpi)


@dataclass(frozen=True, slots=True)
class Extent:
    """How many pages there are, and whether answers begin on one with questions; where asked for,
    the page on which each section begins and its height in millimetres.
    """

    pages: int
    gives_away: bool = False
    begins: tuple[int, ...] = ()
    heights: tuple[float, ...] = ()


def page_extent(
    front: Front,
    sections: tuple[Section, ...],
    edition: Edition,
    setting: Setting = PLAIN,
    *,
    told: str = "",
    by_section: bool = False,
) -> Extent:
    """Return how long the pages of one edition are, without making them.

    >>> from theorykit.handout.front import Edition
    >>> from theorykit.handout.handout import Handout
    >>> both = Section("A", ()), Section("B", ())
    >>> page_extent(Handout("Warm-up"), both, Edition(), by_section=True).begins
    (1, 1)
    """
    data = page_data(front, sections, edition, setting, told) | {"asked": by_section}
    found = typeset_values(_program(), data, page_fonts(), EXTENT)[0]
    return Extent(
        found["pages"], found["gives_away"], tuple(found["begins"]), tuple(found["heights"])
    )


@cache
def _program() -> bytes:
    """Return the page's program."""
    return files("theorykit.handout").joinpath("page.typ").read_bytes()


def page_data(
    front: Front,
    sections: tuple[Section, ...],
    edition: Edition,
    setting: Setting = PLAIN,
    told: str = "",
) -> dict[str, Any]:
    """Return what the page's program is given."""
    sections = octaves_said(edition.who, said_once(sections))
    teacher = edition.audience == "teacher"
    left, right, margin = _margins(edition, setting)
    foot = [front.teacher, day_in_words(front.date)]
    top, bottom = setting.margins(edition.size)
    answers = [] if teacher else [pair for section in sections for pair in section.answers]
    title, note = front.said_to(edition.who)
    return {
        "title": title,
        "title_said": _said(title),
        "author": front.teacher,
        "keywords": str(edition),
        "kicker": ("Teacher’s edition. " if teacher else "") + said_of(edition.who, sections),
        "running": _running(edition),
        "link": _link(front, edition),
        "note": [_said(text) for text in paragraphs(note)],
        "foot": [_said(text) for text in foot if text.strip()],
        "licence": _said(front.licence.strip()),
        "paper": PAPERS[edition.paper],
        "told": _said(told if teacher else ""),  # a student's page is handed out as it is
        "measure": setting.width(edition.size),
        "factor": edition.factor,
        "letters": setting.letters_in(edition.size),
        "near": setting.near(edition.size),
        "top": top,
        "bottom": bottom,
        "free": setting.free and edition.factor == 1,  # large blocks stay whole
        "asked": False,
        "left": left,
        "right": right,
        "margin": margin,
        "gutter": GUTTER,
        "short-label": SHORT_LABEL,
        "answers_beside": teacher,
        "sections": [_section(section, teacher) for section in sections],
        "answers": [[number, _said(text)] for number, text in answers],
    }


def _link(front: Front, edition: Edition) -> dict[str, Any] | None:
    """Return where the page plays for a reader, and the code to scan; None for nowhere."""
    address = front.link(edition.who)
    if not address:
        return None
    said = f"Code to scan: the page that plays, for {edition.reader.replace(' flat', '♭')}"
    code = scan_code(address, said)
    width = max(LEAST_CODE, code.modules * MODULE)
    return {"address": address, "code": code.svg, "alt": said, "width": width}


def _running(edition: Edition) -> str:
    """Return what the running head says of the edition."""
    name = edition.reader.replace(" flat", "♭")
    return f"{name}, {edition.audience}"


def _margins(edition: Edition, setting: Setting) -> tuple[float, float, str]:
    """Return the left and right margin in millimetres, and where the teacher's notes stand."""
    wide = PAPERS[edition.paper][0]
    even = (wide - setting.width(edition.size)) / 2
    if edition.audience == "student":
        return even, even, "none"
    if setting.width(edition.size) > NARROW:
        return even, even, "inside"
    return TEACHER_LEFT, TEACHER_RIGHT, "beside"


def _section(section: Section, teacher: bool) -> dict[str, Any]:
    """Return a section as data."""
    return {
        "heading": _said(section.heading),
        "pieces": [_piece(piece) for piece in section.pieces],
        "margin": [_said(text) for text in section.margin] if teacher else [],
    }


def _piece(piece: Any) -> dict[str, Any]:
    """Return a piece as data; its texts with their direction."""
    data: dict[str, Any] = {"piece": type(piece).__name__.lower()}
    for field in fields(piece):
        value = getattr(piece, field.name)
        if isinstance(piece, Beside) and isinstance(value, tuple):
            data[field.name] = [_piece(one) for one in value]
        else:
            data[field.name] = _value(value, raw=field.name in ("svg", "alt", "what"))
    return data


def _value(value: Any, *, raw: bool) -> Any:
    """Return a value as data."""
    if isinstance(value, str):
        return value if raw else _said(value)
    return [_value(one, raw=raw) for one in value] if isinstance(value, tuple) else value


def _said(text: str) -> dict[str, Any]:
    """Return a text with the way it runs."""
    return {"text": with_breaks(text), "rtl": direction(text) == "rtl"}


def check_letters(value: object) -> None:
    """Refuse a value, such as a handout, with a letter inside that no page could show.

    >>> from theorykit.handout.handout import Handout
    >>> check_letters(Handout("Ein Stück für dich"))
    >>> check_letters(Handout("日曜"))
    Traceback (most recent call last):
    theorykit.errors.TheoryError: the fonts of the page cannot print '日' (cjk unified \
ideograph-65e5) (want Latin, Greek, Cyrillic, Hebrew or Arabic letters, and common signs)
    """
    letters = sorted({letter for text in _texts(value) for letter in text if letter > "~"})
    if letters:
        _print("".join(letters))


@lru_cache(maxsize=64)  # a letter is typed after another: the others were printed before
def _print(letters: str) -> None:
    """Print letters on a page of their own, or refuse what no font has."""
    page = Section("", tuple(kind(letter) for letter in letters for kind in (Para, Lead)))
    page_pdf(Front("Letters"), (page,), Edition())


def _texts(value: Any) -> Iterator[str]:
    """Yield every text inside a value."""
    if isinstance(value, str):
        yield value
    elif isinstance(value, tuple):
        for one in value:
            yield from _texts(one)
    elif is_dataclass(value):
        for field in fields(value):
            yield from _texts(getattr(value, field.name))
