"""A line that is being typed: what of it can be shown, and what is said about the rest."""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import lru_cache

from theorykit.errors import TheoryError
from theorykit.lines.line import Line
from theorykit.lines.line_text import read_so_far
from theorykit.tunes.progression import Progression

__all__ = ["TypedLine", "typed_line"]

_OPEN = re.compile(r"[^\s|]*")  # the word that is being typed, or nothing
_LAST = re.compile(r"\|*[^\s|]*\s*")  # the last word or bar line, finished or not


@dataclass(frozen=True, slots=True)
class TypedLine:
    """What a text says over a progression.

    ``line`` is what can be shown, or None where a mistake stands before other words: then the last
    good picture stays. ``problem`` is what is amiss, in words; ``is_open`` tells that nothing is
    wrong yet, because the text ends in the middle of a word or of a bar.
    """

    line: Line | None
    problem: str = ""
    is_open: bool = False

    @property
    def is_whole(self) -> bool:
        """True where the whole text could be read."""
        return not self.problem


@lru_cache(maxsize=4)  # the desk asks several times about the text of the moment
def typed_line(text: str, progression: Progression) -> TypedLine:
    """Return what can be shown of a text that is being typed.

    >>> from theorykit.tunes.progression import two_five_one
    >>> over = two_five_one("C", "short")
    >>> for text in ("quarter D5 F5 half E5", "quarter D5 F5 E", "quarter D5 H5 half E5"):
    ...     found = typed_line(text, over)
    ...     print(found.line.text if found.line else None, found.is_whole, found.is_open)
    quarter D5 F5 half E5 True False
    quarter D5 F5 half rest False True
    None False False
    """
    try:
        found = read_so_far(text, [bar.beats for bar in progression.bars])
    except TheoryError as problem:  # far too much of it
        return TypedLine(None, str(problem))
    ends = not found.problem or _LAST.fullmatch(found.rest)
    line = Line(progression, found.notes) if ends else None
    is_open = bool(found.problem) and _OPEN.fullmatch(found.rest) is not None
    return TypedLine(line, found.problem, is_open)
