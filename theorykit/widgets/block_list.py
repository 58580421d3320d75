"""The list of a handout's blocks: what stands in its rows, and where each block came from."""

from __future__ import annotations

from collections.abc import Sequence
from difflib import SequenceMatcher
from typing import Any

from theorykit.handout.block import Block
from theorykit.handout.handout import Handout
from theorykit.widgets.block_form import FRONT

__all__ = ["block_rows", "origins"]

LONGEST_TITLE, LONGEST_ROW = 60, 50  # characters
TELLING = ("colour", "substitute", "text", "changes", "keys", "key")  # entries that tell a block


def block_rows(handout: Handout) -> list[tuple[str, int]]:
    """Return the rows of the list with their values: title and note is -1, blocks count from 0.

    >>> from theorykit.handout.blocks import ColourBlock
    >>> block_rows(Handout("Warm-up", blocks=(ColourBlock(colour="b9"),)))
    [('title and note: Warm-up', -1), ('1  colour  b9', 0)]
    """
    rows = [(f"{FRONT}: {handout.title[:LONGEST_TITLE]}", -1)]
    return rows + [(_row(place, block), place) for place, block in enumerate(handout.blocks)]


def _row(place: int, block: Block) -> str:
    """Return the row of one block."""
    found = (_short(getattr(block, name, "")) for name in TELLING)
    what = block.heading or next(filter(None, found), "")
    return f"{place + 1}  {block.kind}  {' '.join(what.split())[:LONGEST_ROW]}".strip()


def _short(value: Any) -> str:
    """Return an entry in a few words."""
    return " ".join(value) if isinstance(value, tuple) else str(value)


def origins(before: Sequence[Any], after: Sequence[Any]) -> list[int | None]:
    """Return for each block of now the place that it had before, None for a new one.

    A block that was changed where it stands has the place of the one that stood there.

    >>> origins("abc", "xabc"), origins("abc", "ac"), origins("abc", "aXc")
    ([None, 0, 1, 2], [0, 2], [0, 1, 2])
    """
    found: list[int | None] = [None] * len(after)
    for what, a, b, c, d in SequenceMatcher(None, before, after, autojunk=False).get_opcodes():
        if what == "equal" or (what == "replace" and b - a == d - c):
            found[c:d] = range(a, b)
    return found
