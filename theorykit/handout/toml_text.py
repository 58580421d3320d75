"""Values as TOML 1.0 (toml.io), in one fixed way of writing; what is left out keeps its default."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator
from datetime import date
from typing import Any

from theorykit.handout.block import Block
from theorykit.handout.kinds import entries

__all__ = ["block_lines", "entry_lines", "value_text"]

NO_BREAK = "\u00a0"
LONGEST_ROW = 90  # characters of a list on one line
_ESCAPES = {"\b": "\\b", "\t": "\\t", "\n": "\\n", "\f": "\\f", "\r": "\\r"}
_ESCAPES |= {'"': '\\"', "\\": "\\\\"}


def block_lines(block: Block) -> Iterator[str]:
    """Return the lines of one block, with an empty one before it.

    >>> from theorykit.handout.blocks import ColourBlock
    >>> print(*block_lines(ColourBlock(colour="b9 13", key="F")), sep="\\n")
    <BLANKLINE>
    [[block]]
    kind = "colour"
    colour = "b9 13"
    key = "F"
    """
    yield ""
    yield "[[block]]"
    yield f"kind = {value_text(block.kind)}"
    yield from entry_lines(block)


def entry_lines(record: Any) -> Iterator[str]:
    """Return a line for every entry of a record that differs from its default."""
    kind: Any = type(record)
    for entry in entries(kind):
        value = getattr(record, entry.name)
        if entry.name != "blocks" and value != entry.default:
            yield f"{entry.name} = {value_text(value)}"


def value_text(value: Any) -> str:
    """Return one value; a text with line breaks stands between three quotation marks.

    >>> print(value_text('say "hi"'), value_text(("C", "F")), value_text("two\\nlines"))
    "say \\"hi\\"" ["C", "F"] \"\"\"
    two
    lines\"\"\"
    """
    if isinstance(value, str):
        return _long_text(value) if "\n" in value else f'"{_escaped(value)}"'
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, tuple):
        return _list(value)
    if dataclasses.is_dataclass(value):
        kind: Any = type(value)
        names = (entry.name for entry in entries(kind))
        inside = ", ".join(f"{name} = {_short(getattr(value, name))}" for name in names)
        return f"{{{inside}}}"
    return str(value)


def _list(values: tuple[Any, ...]) -> str:
    """Return a list: on one line, or with one value on each."""
    parts = [_short(one) for one in values]
    row = f"[{', '.join(parts)}]"
    if len(row) <= LONGEST_ROW and not any(map(dataclasses.is_dataclass, values)):
        return row
    return "[\n" + "".join(f"    {part},\n" for part in parts) + "]"


def _short(value: Any) -> str:
    """Return a value inside a list or a table in braces, where no line may break."""
    return f'"{_escaped(value)}"' if isinstance(value, str) else value_text(value)


def _long_text(text: str) -> str:
    """Return a text of several lines; the first line break is the one that TOML leaves out."""
    lines = (_escaped(line) for line in text.split("\n"))
    return '"""\n' + "\n".join(lines).replace('\\"', '"').replace('""', '"\\"') + '"""'


def _escaped(text: str) -> str:
    """Return the letters of a text, those that need it behind a backslash."""
    return "".join(_ESCAPES.get(letter) or _letter(letter) for letter in text)


def _letter(letter: str) -> str:
    """Return one letter, or its number where no editor shows it."""
    return letter if letter.isprintable() or letter == NO_BREAK else f"\\U{ord(letter):08x}"
