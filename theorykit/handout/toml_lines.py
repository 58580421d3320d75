"""In which line of a TOML text an entry stands, so that a message can say where to look."""

from __future__ import annotations

import re
from collections.abc import Iterator

__all__ = ["line_of"]

_HEADER = re.compile(r"\s*\[\[\s*(?:block|\"block\"|'block')\s*\]\]")
_FENCES = re.compile(r"\"\"\"|'''")


def line_of(text: str, block: int | None, entry: str) -> int:
    """Return the line, from 1, of an entry in the block of that number, from 0, or at the top.

    It is the line of the block's header where the entry is not found, and line 1 where there is no
    header either.

    >>> line_of('title = "x"\\n\\n[[block]]\\nkind = "colour"\\nkey = "H"\\n', 0, "key")
    5
    """
    lines = list(_plain_lines(text))
    headers = [number for number, line in lines if _HEADER.match(line)]
    if block is not None and block >= len(headers):
        return 1
    first = 1 if block is None else headers[block]
    last = min((number for number in headers if number > first), default=len(lines) + 1)
    wanted = re.compile(
        rf"\s*(?:\"{re.escape(entry)}\"|'{re.escape(entry)}'|{re.escape(entry)})\s*="
    )
    found = (n for n, line in lines if entry and first <= n < last and wanted.match(line))
    return next(found, first)


def _plain_lines(text: str) -> Iterator[tuple[int, str]]:
    """Yield the lines with their numbers, empty where they are inside a text of several lines."""
    fence = ""
    for number, line in enumerate(text.split("\n"), 1):
        inside = bool(fence)
        for match in _FENCES.finditer(line):
            if not fence:
                fence = match[0]
            elif match[0] == fence:
                fence = ""
        yield number, "" if inside else line
