"""The text file of a handout: TOML 1.0 (toml.io), read with the line of every fault, and written.

It is written in one fixed way; what is left out keeps its default.
"""

from __future__ import annotations

import dataclasses
import re
import tomllib
from collections.abc import Iterator
from datetime import date
from typing import Any

from theorykit.errors import TheoryError, shown
from theorykit.handout.entries import Fault, entries
from theorykit.handout.own_colour import table_of_colour
from theorykit.harmony.colours import COLOURS, Colour

__all__ = [
    "LONGEST_FILE",
    "entry_lines",
    "placed",
    "table_of",
]

LONGEST_FILE = 500_000  # characters
NO_BREAK = "\u00a0"
BYTE_ORDER_MARK = "\ufeff"
LONGEST_ROW = 90  # characters of a list on one line
# How the standard library's reader of TOML begins a complaint, and what it means on a handout.
FAULTS = (
    ("Unterminated string", "a text in quotes does not end"),
    ("Expected '=' after a key", "a line that is no entry"),
    ("Invalid initial character for a key", "a line that is no entry"),
    ("Invalid statement", "a line that is no entry"),
    ("Invalid value", "an entry whose value is neither text in quotes nor a number"),
    ("Illegal character", "a text in quotes does not end on its line"),
    ("Cannot overwrite a value", "an entry that stands there already"),
    ("Cannot declare", "a heading in brackets that stands there already"),
    ("Unclosed array", "a list that does not end with ]"),
    ("Unescaped '\\'", "a backslash inside quotes, which has to be written twice"),
    ("Expected ']", "a heading whose brackets do not close"),
    ("Expected newline", "something behind the end of an entry"),
    ("Invalid date", "a date that does not exist"),
)
_ESCAPES = {"\b": "\\b", "\t": "\\t", "\n": "\\n", "\f": "\\f", "\r": "\\r"}
_ESCAPES |= {'"': '\\"', "\\": "\\\\"}
_PLACE = re.compile(r" \(at (?:line (?P<line>\d+), column \d+|end of document)\)$")
_OPENED = re.compile(r"^[ \t]*[\w-]+[ \t]*=[ \t]*(?:\"\"\"|'''|\"|')", re.MULTILINE)
_HEADER = re.compile(r"\s*\[\[\s*(?:block|\"block\"|'block')\s*\]\]")
_TEXTS = re.compile(
    r'"""(?:\\.|[^\\])*?(?:"""|\Z)' + r"|'''.*?(?:'''|\Z)" + r'|"(?:\\.|[^"\\\n])*"?'
    r"|'[^'\n]*'?|#[^\n]*",
    re.DOTALL,
)
_DEEP = re.compile(r"(?<![\w-])(?:[\w-]+[ \t]*\.[ \t]*){3}")
_HALF_SIGN = re.compile("[\ud800-\udfff]")  # of a pair: no text that can be written has one
_FENCES = re.compile(r"\"\"\"|'''")


def table_of(text: object) -> dict[str, Any]:
    """Read a text file; where it cannot be read, say in which line and in plain words.

    >>> table_of('title = "Warm-up"')
    {'title': 'Warm-up'}
    """
    if not isinstance(text, str) or len(text) > LONGEST_FILE:
        raise TheoryError(
            f"not a handout: {shown(text)} (want text of at most {LONGEST_FILE} characters)"
        )
    _check_signs(text)
    _check_names(text)
    try:
        return tomllib.loads(text.removeprefix(BYTE_ORDER_MARK))
    except tomllib.TOMLDecodeError as error:
        raise TheoryError(
            f'{_in_plain_words(str(error), text)} (want lines such as title = "Six colours", and '
            "[[block]] before each block)"
        ) from None
    except ValueError:
        raise TheoryError("a number too long to read (want a flat file)") from None
    except RecursionError:
        raise TheoryError("lists inside lists, too deep to read (want a flat file)") from None


def _check_signs(text: str) -> None:
    """Refuse halves of signs, which come out of broken files and cannot be written again."""
    half = _HALF_SIGN.search(text)
    if half is not None:
        line = text.count("\n", 0, half.start()) + 1
        raise TheoryError(
            f"line {line}: a sign that is no letter: {shown(half[0])} (want text that can be "
            "written)"
        )


def _check_names(text: str) -> None:
    """Refuse names inside names, which no handout has and which take the reader of TOML long.

    >>> _check_names("tempo = 1.5")
    >>> _check_names("a.b.c.d = 1")
    Traceback (most recent call last):
    theorykit.errors.TheoryError: line 1: names inside names, too deep to read (want a flat file)
    """
    plain = _TEXTS.sub(_as_name, text)
    deep = _DEEP.search(plain)
    if deep is not None:
        line = plain.count("\n", 0, deep.start()) + 1
        raise TheoryError(f"line {line}: names inside names, too deep to read (want a flat file)")


def _as_name(text: re.Match[str]) -> str:
    """Return what stands for a text in quotes or a remark: as many line ends, and a name."""
    return "\n" * text[0].count("\n") + "x" * (text[0][0] != "#")


def placed(text: str, block: int | None, fault: Fault) -> TheoryError:
    """Return the fault of a block, or of the top where ``block`` is None, with its line."""
    return TheoryError(f"line {line_of(text, block, fault.entry)}: {fault}")


def _in_plain_words(message: str, text: str) -> str:
    r"""Return the complaint of the reader of TOML with its line, in plain words.

    >>> _in_plain_words("Expected '=' after a key in a key/value pair (at line 2, column 4)", "")
    'line 2: a line that is no entry'
    >>> _in_plain_words("Unterminated string (at end of document)", 'title = \"\"\"Over\nG7')
    'line 1: a text in quotes does not end'
    """
    place = _PLACE.search(message)
    plain = message[: place.start()] if place else message
    said = next((words for start, words in FAULTS if plain.startswith(start)), _lowered(plain))
    line = place["line"] if place and place["line"] else _last_opened(text)
    return f"line {line}: {said}"


def _lowered(text: str) -> str:
    """Begin a text with a small letter."""
    return text[:1].lower() + text[1:]


def _last_opened(text: str) -> int:
    """Return the line in which the last text in quotes begins, or the last line."""
    starts = [match.start() for match in _OPENED.finditer(text)]
    return text.count("\n", 0, starts[-1] if starts else len(text)) + 1


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


def entry_lines(made: Any, kind: Any = None) -> Iterator[str]:
    """Yield a line for every entry of a record, or of its ``kind``, that differs from its default.

    >>> from theorykit.handout.blocks import ColourBlock
    >>> list(entry_lines(ColourBlock(colour="b9 13", key="F")))
    ['colour = "b9 13"', 'key = "F"']
    """
    row: Any = kind or type(made)
    for entry in entries(row):
        value = getattr(made, entry.name)
        if value != entry.default:
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
    if isinstance(value, Colour):
        return _colour(value)
    if dataclasses.is_dataclass(value):
        kind: Any = type(value)
        names = (entry.name for entry in entries(kind))
        inside = ", ".join(f"{name} = {_short(getattr(value, name))}" for name in names)
        return f"{{{inside}}}"
    return str(value)


def _colour(value: Colour) -> str:
    """Return a colour: its name, or a table where it is none of the house."""
    if value in COLOURS:
        return _short(value.name)
    table = table_of_colour(value)
    texts = {
        name: _short(one) if isinstance(one, str) else f"[{', '.join(map(_short, one))}]"
        for name, one in table.items()
    }
    return f"{{{', '.join(f'{name} = {text}' for name, text in texts.items())}}}"


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
