"""What keeps a text from being a handout, in words for somebody who writes no programs."""

from __future__ import annotations

import re

__all__ = ["in_plain_words"]

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
_PLACE = re.compile(r" \(at (?:line (?P<line>\d+), column \d+|end of document)\)$")
_OPENED = re.compile(r"^\s*[\w-]+\s*=\s*(?:\"\"\"|'''|\"|')", re.MULTILINE)


def in_plain_words(message: str, text: str) -> str:
    r"""Return the complaint of the reader of TOML with its line, in plain words.

    >>> in_plain_words("Expected '=' after a key in a key/value pair (at line 2, column 4)", "")
    'line 2: a line that is no entry'
    >>> in_plain_words("Unterminated string (at end of document)", 'title = \"\"\"Over\nG7')
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
