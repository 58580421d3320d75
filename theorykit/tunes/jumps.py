"""Jumps: segno, coda, fine, D.C. and D.S.

Names, meanings and spellings are common practice.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import lru_cache

from theorykit.errors import TheoryError, shown

__all__ = [
    "JUMP_MARKS",
    "MARK_NAMES",
    "JumpMark",
    "in_order",
    "jump_mark",
    "mark_at",
    "marks_of",
    "may_begin",
]


@dataclass(frozen=True, slots=True)
class JumpMark:
    """One mark.

    ``name`` is how a chart says it and ``page`` how a page prints it; ``at_head`` tells whether it
    stands at the head of its bar or at its end. A jump goes ``back`` to ``top`` or ``segno``, and
    then on ``until`` ``fine`` or ``coda``, or as far as the other marks say. ``reads`` is a pattern
    for all its spellings, in small letters.
    """

    name: str
    page: str
    reads: str
    at_head: bool = False
    back: str = ""
    until: str = ""


_DC = r"(?:d\.?c\.?|d\. c\.?|da capo)"
_DS = r"(?:d\.?s\.?|d\. s\.?|d[ae]l segno|d[ae]l 𝄋|d\.?𝄋)"
_AL_FINE = r",? ?(?:al|alla) fine"
_CODA = r"(?:coda|[𝄌⊕])"  # the second sign is what plain text has for the first
_AL_CODA = rf",? ?(?:al|alla|to|to the) {_CODA}"

# In the order in which the marks of one bar are printed.
JUMP_MARKS = (
    JumpMark("segno", "Segno", "segno|𝄋", at_head=True),
    JumpMark("coda", "Coda", _CODA, at_head=True),
    JumpMark("to coda", "To Coda", rf"to (?:the )?{_CODA}"),
    JumpMark("fine", "Fine", "fine"),
    JumpMark("D.C.", "D.C.", _DC, back="top"),
    JumpMark("D.C. al fine", "D.C. al Fine", _DC + _AL_FINE, back="top", until="fine"),
    JumpMark("D.C. al coda", "D.C. al Coda", _DC + _AL_CODA, back="top", until="coda"),
    JumpMark("D.S.", "D.S.", _DS, back="segno"),
    JumpMark("D.S. al fine", "D.S. al Fine", _DS + _AL_FINE, back="segno", until="fine"),
    JumpMark("D.S. al coda", "D.S. al Coda", _DS + _AL_CODA, back="segno", until="coda"),
)
MARK_NAMES = ", ".join(mark.name for mark in JUMP_MARKS)
_BY_NAME = {mark.name: mark for mark in JUMP_MARKS}
_PLACES = {mark.name: place for place, mark in enumerate(JUMP_MARKS)}
_MOST_WORDS = 5  # of one mark: "D. S. to the coda"
_ENDS = r"[.,;)]*(?!\S)"
_ALL = reversed(tuple(enumerate(JUMP_MARKS)))  # the longer spellings before their beginnings
_ANY = re.compile(r"\(?(?:" + "|".join(f"(?P<m{n}>{m.reads}){_ENDS}" for n, m in _ALL) + ")")
_FIRST = re.compile(r"\(?(?:d\.|dc|ds|d[ae]|d𝄋|fine|to|segno|coda|[𝄋𝄌⊕])", re.IGNORECASE)


def jump_mark(name: str) -> JumpMark:
    """Return the mark of a name.

    >>> jump_mark("D.S. al coda").back, jump_mark("fine").page
    ('segno', 'Fine')
    """
    if name not in _BY_NAME:
        raise TheoryError(f"not a mark: {shown(name)} (want {MARK_NAMES})")
    return _BY_NAME[name]


def in_order(names: Iterable[str]) -> tuple[str, ...]:
    """Return the names of marks in the order in which they are printed, each once.

    >>> in_order(["D.S.", "to coda", "segno"])
    ('segno', 'to coda', 'D.S.')
    """
    return tuple(sorted({jump_mark(name).name for name in names}, key=_PLACES.__getitem__))


@lru_cache(maxsize=4096)
def may_begin(word: str) -> bool:
    """Tell whether a mark may begin with a word; charts say the same words often.

    >>> may_begin("Da"), may_begin("Dm7")
    (True, False)
    """
    return _FIRST.match(word) is not None


def mark_at(words: Sequence[str], place: int = 0) -> tuple[str, int] | None:
    """Return the mark that begins with a word, and how many words it has; None if none does.

    >>> mark_at("C Da Capo al Fine".split(), 1), mark_at(["D.C."]), mark_at(["C"])
    (('D.C. al fine', 4), ('D.C.', 1), None)
    """
    if not may_begin(words[place]):
        return None
    found = _ANY.match(" ".join(words[place : place + _MOST_WORDS]).lower())
    if found is None or found.lastgroup is None:
        return None
    return JUMP_MARKS[int(found.lastgroup[1:])].name, found[0].count(" ") + 1


def marks_of(text: str) -> tuple[str, ...]:
    """Return the marks that a text is made of, in its order; nothing if it says anything else.

    >>> marks_of("D.S. al Coda"), marks_of("To Coda"), marks_of("fine, but slower")
    (('D.S. al coda',), ('to coda',), ())
    """
    words, names, place = text.split(), [], 0
    while place < len(words):
        found = mark_at(words, place)
        if found is None:
            return ()
        names.append(found[0])
        place += found[1]
    return tuple(names)
