"""Segno, coda, fine and jumps of a lead sheet: its signs, its words, and what they tell players."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING
from xml.etree.ElementTree import Element

from theorykit.tunes.bars import in_order, jump_mark, marks_of

if TYPE_CHECKING:
    from theorykit.show.sheet_bars import SheetBar

__all__ = ["JumpSign", "direction_signs", "line_signs", "settle_jumps", "sound_signs"]

# The attributes of a sound element, and the marks that they stand for (MusicXML 4.0).
SOUNDS = {
    "segno": "segno",
    "coda": "coda",
    "tocoda": "to coda",
    "fine": "fine",
    "dacapo": "D.C.",
    "dalsegno": "D.S.",
}
SIGNS = {"segno": "𝄋", "coda": "𝄌"}
_READ = frozenset(("words", *SIGNS))


@dataclass(slots=True)
class JumpSign:
    """A mark that was found; ``late`` at the end of its bar, ``sure`` if no other can be meant."""

    name: str
    late: bool = False
    sure: bool = False


def sound_signs(sound: Element, *, late: bool = False) -> Iterator[JumpSign]:
    """Return what the attributes of a sound element tell.

    >>> [sign.name for sign in sound_signs(Element("sound", dacapo="yes", fine="no"))]
    ['D.C.']
    """
    for attribute, name in SOUNDS.items():
        if sound.get(attribute) not in (None, "", "no"):
            yield JumpSign(name, late, sure=True)


def line_signs(line: Element) -> Iterator[JumpSign]:
    """Return the signs at a bar line."""
    late = line.get("location", "right") == "right"
    yield from (JumpSign(name, late) for name in SIGNS if line.find(name) is not None)


def direction_signs(direction: Element, *, late: bool) -> list[JumpSign]:
    """Return what a direction tells: its words and signs read as one, and what it sounds like.

    >>> direction = Element("direction")
    >>> for tag in ("words", "coda"):
    ...     direction.append(Element("direction-type"))
    ...     direction[-1].append(Element(tag))
    >>> direction[0][0].text = "To"
    >>> [sign.name for sign in direction_signs(direction, late=False)]
    ['to coda']
    """
    parts = [part for kind in direction.findall("direction-type") for part in kind]
    said = " ".join(SIGNS.get(part.tag, part.text or "") for part in parts if part.tag in _READ)
    signs = [JumpSign(name, late) for name in marks_of(said)]
    if not signs:
        signs = [JumpSign(part.tag, late) for part in parts if part.tag in SIGNS]
    sounds = [one for sound in direction.findall("sound") for one in sound_signs(sound, late=late)]
    if any(one.name == "to coda" for one in sounds):
        signs = [one for one in signs if one.name != "coda"]
    return signs + sounds


def settle_jumps(bars: Sequence[SheetBar]) -> None:
    """Say of every bar which marks it has, from all the signs that were found."""
    _tell_codas_apart(bars)
    for place, bar in enumerate(bars):
        for sign in bar.signs:
            begins_next = sign.late and jump_mark(sign.name).at_head and bar is not bars[-1]
            owner = bars[place + begins_next]
            owner.marks = in_order((*owner.marks, sign.name))
    for bar in bars:
        bar.marks = _without_plain(bar.marks)


def _tell_codas_apart(bars: Sequence[SheetBar]) -> None:
    """Tell the sign where players leave from the sign where they come in: the first of two."""
    codas = [sign for bar in bars for sign in bar.signs if sign.name == "coda"]
    leaves = [bar for bar in bars if any(sign.name == "to coda" for sign in bar.signs)]
    where = [bar for bar in bars if any(sign.name == "coda" for sign in bar.signs)]
    if len(where) < 2:
        return
    if not leaves and not codas[0].sure:
        for sign in where[0].signs:
            sign.name = "to coda" if sign.name == "coda" else sign.name
    for bar in leaves:
        bar.signs = [sign for sign in bar.signs if sign.name != "coda" or sign.sure]


def _without_plain(marks: tuple[str, ...]) -> tuple[str, ...]:
    """Leave out a plain D.C. beside one that says until where, which is the same one."""
    said = {jump_mark(name).back for name in marks if jump_mark(name).until}
    plain = {name for name in marks if jump_mark(name).back in said and not jump_mark(name).until}
    return tuple(name for name in marks if name not in plain)
