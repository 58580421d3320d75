"""Where the blocks of a handout came from, when they stand in another order or are others now."""

from __future__ import annotations

from collections.abc import Sequence
from difflib import SequenceMatcher
from typing import Any

__all__ = ["origins"]


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
