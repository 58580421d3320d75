"""Engraved staves: pictures of our MusicXML, their texts set by us.

verovio prints chord symbols from its music font, as private-use characters that other fonts show
as boxes, and prints every degree of a MusicXML chord a second time. So it is given each symbol as
plain text, for the room it needs, and the text is set afterwards exactly as the chord prints.
"""

from __future__ import annotations

import re
import secrets
from collections.abc import Container, Sequence
from functools import lru_cache
from typing import Any
from xml.etree import ElementTree
from xml.etree.ElementTree import Element, SubElement

from theorykit.errors import TheoryError, shown
from theorykit.notes.chord import Chord
from theorykit.show.engraving.bar_numbers import hanging_margin, number_sections
from theorykit.show.engraving.line_breaks import break_after, break_every
from theorykit.show.engraving.note_places import number_notes
from theorykit.show.engraving.staff_xml import score_element
from theorykit.show.engraving.symbol_room import make_room
from theorykit.show.engraving.verovio_engine import engraved, room_lacking
from theorykit.show.pictures import INK, NOTE_MARKS, PADDING, PAPER, card, with_own_ids
from theorykit.views.staves import StaffView

OPTIONS: dict[str, Any] = {
    "adjustPageHeight": True,
    "footer": "none",
    "header": "none",
    "lyricTopMinMargin": 3.3,
    "minLastJustification": 0.8,
    "pageHeight": 60_000,
    "pageMarginBottom": 0,
    "pageMarginLeft": 0,
    "pageMarginRight": 0,
    "pageMarginTop": 0,
    "pageWidth": 100_000,
    "smuflTextFont": "none",
    "spacingLinear": 0.3,
    "svgFormatRaw": True,
    "svgRemoveXlink": True,
}
KEPT, FEW_BARS = 48, 8  # pictures that are remembered, and how many bars such a one has at most
EDGE = 2  # pixels that stay free at the edge of the card
# The space between two labels, as verovio counts it, and what is added.
LEAST_ROOM, MOST_SPACE, LEAST_STEP = 2.4, 10.0, 1.0
# In verovio's units, of which 180 are the space between two lines of the staff.
UNIT = 90  # what verovio counts its spaces in
LABEL_SIZE = 340
# Of letters beside the notes, for large print: how much larger they are, the room over the first
# line for them, in tens of these units, and that between notes and labels as verovio counts it.
LARGER, LARGER_TOP, LARGER_LYRICS = 1.2, 9, 4.4
HALF_HEAD, HALF_WHOLE = 106, 152
WHOLE_HEAD = "E0A2"  # its name in SMuFL, the standard layout of music fonts
LANGUAGE = "{http://www.w3.org/XML/1998/namespace}lang"
ROOM = "\u00a0"  # a space that makes room: verovio measures a narrower font than the one we print
# verovio keeps the weight and the slant of a label, and loses its line: it is known by these.
_LINED = {
    (look.get("font-weight") == "bold", look.get("font-style") == "italic"): line
    for look in (dict(row.style) for row in NOTE_MARKS.values())
    for line in ("underline", "overline")
    if line in look
}
ROOM_SAID = "data-room"  # where a picture says how far apart its labels are
_IDS = re.compile(r'id="(p[0-9a-f]{12})-')
_ROOM_SAID = re.compile(rf'{ROOM_SAID}="([0-9.]+)"')
LONGEST_CENTRED = 4  # characters; a longer label begins under its note, where verovio made room


def staff_svg(
    view: StaffView,
    *,
    scale: float = 40,
    width: float | None = None,
    bars_per_line: int | Sequence[int] | None = None,
    paper: str = PAPER,
    room: float = LEAST_ROOM,
    large: bool = False,
) -> str:
    """Return a staff as the text of a standalone SVG picture.

    ``scale`` is the size in percent; at 40 a staff is 29 pixels high. Without ``width`` the music
    stands on one line, as long as it is; with it, in lines that fill ``width`` pixels and never
    break a bar, each with as many bars as it holds or with ``bars_per_line``: one number for all
    lines, or one for each. Chord symbols and labels are ordinary text; a marked note is told by its
    colour and by the style of its label.
    ``paper`` is the colour behind it all, ``"none"`` where the page is white itself; ``room`` is
    the space between two labels that is tried first, such as ``label_room`` of a picture of nearly
    the same. With ``large`` all letters are larger beside the notes, as large print has them.
    Raises ``TheoryError`` for what ``notation.notation`` cannot write.

    >>> from theorykit.lines.text import Line
    >>> from theorykit.tunes.progression import two_five_one
    >>> from theorykit.views.staves import staff_of_line
    >>> picture = staff_svg(staff_of_line(Line(two_five_one("Db"), ())))
    >>> [symbol in picture for symbol in (">E♭m7<", ">A♭7<", ">D♭maj7<")]
    [True, True, True]
    """
    _check_sizes(scale, width, bars_per_line)
    bars = bars_per_line if isinstance(bars_per_line, int | None) else tuple(bars_per_line)
    drawn = _drawn if len(view.bars) <= FEW_BARS else _drawn.__wrapped__
    return _with_new_ids(drawn(view, scale, width, bars, paper, room, large))


@lru_cache(KEPT)  # one goes to and fro between a few
def _drawn(
    view: StaffView,
    scale: float,
    width: float | None,
    bars_per_line: int | tuple[int, ...] | None,
    paper: str,
    room: float,
    large: bool,
) -> str:
    """Return the text of ``staff_svg``."""
    score = score_element(view, chord_element=_placeholder, hide_rests=False)
    options = _size(scale, width) | {"lyricWordSpace": max(room, LEAST_ROOM)}
    options |= {"lyricTopMinMargin": LARGER_LYRICS} if large else {}
    if isinstance(bars_per_line, int):
        options |= break_every(score, bars_per_line)
    elif bars_per_line is not None:
        options |= break_after(score, bars_per_line)
    music = ElementTree.tostring(score, encoding="unicode")
    root = _numbered(music, OPTIONS | options, view, LARGER if large else 1.0)
    page = next(root.iter("svg"))
    wide, high = (float(page.attrib[side].removesuffix("px")) for side in ("width", "height"))
    number_notes(root, view)
    inside = with_own_ids(root)
    return card(ElementTree.tostring(inside, encoding="unicode"), wide, high, view.alt, paper=paper)


def _with_new_ids(picture: str) -> str:
    """Return a picture with ids that no other has, be it the same one on the same page."""
    found = _IDS.search(picture)
    return picture.replace(found[1], f"p{secrets.token_hex(6)}") if found else picture


def label_room(picture: str) -> float:
    """Return the space that was left between labels in a picture of a staff.

    >>> from theorykit.views.explorer_view import explore
    >>> label_room(staff_svg(explore("C").staff)) == LEAST_ROOM
    True
    """
    said = _ROOM_SAID.search(picture)
    return float(said[1]) if said else LEAST_ROOM


def _numbered(score: str, options: dict[str, Any], view: StaffView, letters: float) -> Element:
    """Return the music with the numbers of its sections, in margins that hold them all."""
    outside = (PADDING - EDGE) * 1000 / options["scale"]
    lined = options["breaks"] != "none"
    margins = {"pageMarginLeft": hanging_margin(view, outside, letters)} if lined else {}
    if letters > 1:
        margins["pageMarginTop"] = LARGER_TOP
    while True:
        root = _with_room(score, options | margins, view, letters)
        wanted = number_sections(root, view, outside, letters)
        if all(margins.get(name, 0) >= least for name, least in wanted.items()):
            return root
        margins = {name: max(margins.get(name, 0), least) for name, least in wanted.items()}


def _with_room(score: str, options: dict[str, Any], view: StaffView, letters: float) -> Element:
    """Return the music with its texts set, spaced out until no two labels are too close."""
    symbols = {str(chord): chord.pretty for _, chord in view.chords}
    unwanted = ("rest", "mRest") if not view.notes else ()
    space = options["lyricWordSpace"]
    while True:
        drawn = engraved(score, options | {"lyricWordSpace": space})
        root = ElementTree.fromstring(drawn.replace(' xmlns="http://www.w3.org/2000/svg"', "", 1))
        _tidy(root, unwanted)
        _set_texts(root, symbols, letters)
        lacking = room_lacking(root)
        if not lacking or space == MOST_SPACE:
            make_room(root)
            root.set(ROOM_SAID, f"{space:.9g}")
            return root
        space = min(space + max(lacking / UNIT, LEAST_STEP), MOST_SPACE)


def _placeholder(chord: Chord) -> Element:
    """Return a chord symbol that verovio prints as it stands, for the room that it takes."""
    text = str(chord)
    text += ROOM * (2 + len(text) // 4)
    harmony = Element("harmony")
    SubElement(SubElement(harmony, "root"), "root-step").text = text[0]
    SubElement(harmony, "kind", {"text": text[1:]}).text = "other"
    return harmony


def _size(scale: float, width: float | None) -> dict[str, Any]:
    """Return the options that say how large the picture becomes."""
    options = {"scale": scale, "adjustPageWidth": width is None, "noJustification": width is None}
    if width is None:
        return options | {"breaks": "none"}
    return options | {"breaks": "auto", "pageWidth": round((width - 2 * PADDING) * 100 / scale)}


def _check_sizes(scale: float, width: float | None, bars: int | Sequence[int] | None) -> None:
    """Refuse sizes in which nothing can be read."""
    each = bars if isinstance(bars, int) or bars is None else min(bars, default=0)
    wanted = {
        "scale": (scale, 10, 400),
        "width": (width, 200, 20_000),
        "bars_per_line": (each, 1, 64),
    }
    for name, (value, least, most) in wanted.items():
        if value is not None and not least <= value <= most:
            raise TheoryError(f"{name} out of range: {shown(value)} (want {least} to {most})")


def _tidy(root: Element, unwanted: Container[str]) -> None:
    """Take out what is not to be seen, and say on each line what verovio says in a style sheet.

    ``unwanted`` are the classes that go besides: an empty staff is left free to write on.
    """
    parents = {child: parent for parent in root.iter() for child in parent}
    for element in list(parents):
        element.attrib.pop(LANGUAGE, None)  # verovio takes section letters for Italian
        classes = element.get("class", "").split()
        kind = classes[0] if classes else ""
        if element.tag in ("desc", "style") or "placeholder" in classes or kind in unwanted:
            parents[element].remove(element)
        elif element.tag in ("path", "polygon", "polyline", "rect", "ellipse"):
            if parents[parents[element]].tag != "defs":
                element.set("stroke", "currentColor")
        elif element.tag == "svg":
            element.attrib.pop("font-family", None)
            element.attrib.update(color=INK, overflow="visible")
        elif kind:
            element.set("class", kind)


def _set_texts(root: Element, symbols: dict[str, str], letters: float) -> None:
    """Set every text in one piece: chord symbols as they print, labels under their notes.

    ``letters`` is how much larger they all are than usual.
    """
    for text in root.iter("text"):
        _flatten(text)
    for group in root.iter("g"):
        kind = group.get("class")
        if kind == "harm":
            for text in group.iter("text"):
                text.text = symbols[(text.text or "").rstrip(ROOM)]
        elif kind == "mNum":
            group.set("font-style", "italic")
        elif kind == "note":
            _set_labels(group)
    boxed = {text for group in root.iter("g") if group.get("class") == "reh" for text in group}
    for text in root.iter("text"):
        if text not in boxed:
            text.set("font-size", f"{letters * float(text.attrib['font-size']):g}")


def _flatten(text: Element) -> None:
    """Put the parts of a text together, in the size that they have."""
    parts = [part for part in text.iter("tspan") if part.get("font-size", "0px") != "0px"]
    text.text = "".join(part.text or "" for part in parts)
    text.attrib["font-size"] = parts[0].attrib["font-size"].removesuffix("px") if parts else "0"
    for part in list(text):
        text.remove(part)


def _set_labels(note: Element) -> None:
    """Set the labels of one note: short ones in the middle under its head."""
    head = next(note.iter("use"))
    left = float(head.attrib["transform"].partition("(")[2].partition(",")[0])
    half = HALF_WHOLE if WHOLE_HEAD in head.attrib["href"] else HALF_HEAD
    for text in note.iter("text"):
        text.set("font-size", str(LABEL_SIZE))
        if len(text.text or "") <= LONGEST_CENTRED:
            text.set("x", str(round(left + half)))
            text.set("text-anchor", "middle")
        look = text.get("font-weight") == "bold", text.get("font-style") == "italic"
        if look in _LINED:
            text.set("text-decoration", _LINED[look])
            text.attrib.pop("font-style", None)  # slanted alone means the landing
