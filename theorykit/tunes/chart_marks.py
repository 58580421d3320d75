"""The marks of a typed bar: what stands after its chords, such as ``fine`` or ``D.C. al fine``."""

from __future__ import annotations

from collections.abc import Sequence

from theorykit.errors import shown
from theorykit.tunes.jumps import jump_mark, mark_at, may_begin

__all__ = ["MarkWord", "head_mark", "parted"]

MarkWord = tuple[str, int]  # the name of a mark and its column
Word = tuple[str, int]
Fault = tuple[int, str]
CODA_SIGNS = "𝄌⊕"  # at the end of a bar they send players to the coda (common practice)


def head_mark(word: str) -> str:
    """Return the name of the mark for the head of a bar that a word is, or nothing.

    >>> head_mark("Segno"), head_mark("fine")
    ('segno', '')
    """
    found = mark_at([word]) if may_begin(word) else None
    return found[0] if found and jump_mark(found[0]).at_head else ""


def parted(words: Sequence[Word]) -> tuple[list[Word], list[MarkWord], list[Fault]]:
    """Return the chords of a bar, the marks after them, and what is wrong with those.

    >>> parted([("C", 3), ("D.C.", 5), ("al", 10), ("Fine", 13)])
    ([('C', 3)], [('D.C. al fine', 5)], [])
    """
    if not any(may_begin(text) for text, _ in words):
        return [*words], [], []
    texts = [text for text, _ in words]
    start = next((place for place in range(len(texts)) if mark_at(texts, place)), len(texts))
    marks: list[MarkWord] = []
    place = start
    while place < len(texts):
        column = words[place][1]
        found = mark_at(texts, place)
        if found is None:
            return [*words[:start]], marks, [(column, _after(marks[-1][0], texts[place]))]
        name = "to coda" if start and texts[place][0] in CODA_SIGNS else found[0]
        if start and jump_mark(name).at_head:
            return [*words[:start]], marks, [(column, _late(name))]
        marks.append((name, column))
        place += found[1]
    return [*words[:start]], marks, []


def _after(mark: str, word: str) -> str:
    """Say that something follows a mark in its bar."""
    return f"{shown(word)} after {mark} (want {mark} at the end of its bar)"


def _late(name: str) -> str:
    """Say that a mark for the head of a bar stands after its chords."""
    leave = " and to coda where players leave" if name == "coda" else ""
    return f"{name} after a chord (want {name} at the head of its bar{leave})"
