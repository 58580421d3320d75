"""The one exception of the library."""

import sys
from collections.abc import Iterable
from os import PathLike, fspath
from typing import TypeVar

__all__ = ["TheoryError", "expect", "expect_all", "expect_path", "needs_workbook", "shown"]

_Kind = TypeVar("_Kind")

LONGEST_QUOTE = 60  # characters of the reader's text that a message repeats


class TheoryError(ValueError):
    """What was wanted, what came, what is accepted: in one sentence for the reader.

    >>> raise TheoryError("not a note name: 'H' (want a letter A-G, then b's or #'s)")
    Traceback (most recent call last):
    theorykit.errors.TheoryError: not a note name: 'H' (want a letter A-G, then b's or #'s)
    >>> from theorykit import Note, TheoryError
    >>> try:
    ...     Note.parse("H")
    ... except TheoryError as refusal:
    ...     print(str(refusal).partition(" (")[0])
    not a note name: 'H'
    """


class NotInstalled(TheoryError, ImportError):
    """A ``TheoryError`` for a package that is missing: an ``ImportError`` to who imports."""


def needs_workbook(missing: ModuleNotFoundError) -> TheoryError:
    """Return what to say where a package of the workbook is not installed.

    >>> needs_workbook(ModuleNotFoundError("No module named 'mido'", name="mido"))
    NotInstalled("mido is not installed (want: python -m pip install 'theorykit[workbook]')")
    """
    if sys.platform == "emscripten":
        return NotInstalled(
            f"{missing.name} does not run in a browser (want an installed workbook)"
        )
    return NotInstalled(
        f"{missing.name} is not installed (want: python -m pip install 'theorykit[workbook]')"
    )


def shown(value: object) -> str:
    """Quote ``value`` for a message, cut where it would drown the sentence.

    >>> shown("Cmaj7")
    "'Cmaj7'"
    >>> shown("C" * 10_000)
    "'CCCCCCCCCCCCCCCCCCCCCCCCCCCCCCCCCCCCCCCCCCCCCCCCCCCCCCCCCCC... (10000 characters)"
    """
    if isinstance(value, str) and len(value) > LONGEST_QUOTE:
        return f"{repr(value[:LONGEST_QUOTE])[:LONGEST_QUOTE]}... ({len(value)} characters)"
    try:
        text = repr(value)
    except Exception:  # a stranger's value may not even say what it is
        text = f"a {type(value).__name__} that cannot be printed"
    if " at 0x" in text:  # where it lies in memory says nothing to a reader
        text = f"a {type(value).__name__}"
    return text if len(text) <= 2 * LONGEST_QUOTE else f"{text[:LONGEST_QUOTE]}..."


def expect(value: object, kind: type[_Kind], name: str, want: str) -> _Kind:
    """Return a value that is of a kind; refuse any other one, saying what is wanted.

    >>> expect(5, int, "a number", "one such as 4"), expect("C", str, "text", "any")
    (5, 'C')
    >>> expect(None, int, "a number", "one such as 4")
    Traceback (most recent call last):
    theorykit.errors.TheoryError: not a number: None (want one such as 4)
    """
    if not isinstance(value, kind):
        raise TheoryError(f"not {name}: {shown(value)} (want {want})")
    return value


def expect_all(values: object, kind: type[_Kind], name: str, want: str) -> tuple[_Kind, ...]:
    """Return several values, all of a kind, as a tuple; refuse what is none or holds others.

    >>> expect_all([1, 2], int, "numbers", "some such as 4 and 5")
    (1, 2)
    >>> expect_all("12", int, "numbers", "some such as 4 and 5")
    Traceback (most recent call last):
    theorykit.errors.TheoryError: not numbers: '12' (want some such as 4 and 5)
    """
    if isinstance(values, (str, bytes, dict)) or not isinstance(values, Iterable):
        raise TheoryError(f"not {name}: {shown(values)} (want {want})")
    found = values if isinstance(values, tuple) else tuple(values)
    for value in found:
        if not isinstance(value, kind):
            raise TheoryError(f"not {name}: {shown(value)} among them (want {want})")
    return found


def expect_path(value: object, name: str = "a file") -> str:
    """Return a path as text; refuse what is none.

    >>> from pathlib import Path
    >>> expect_path(Path("lines.json"))
    'lines.json'
    >>> expect_path(3.5, "a journal")
    Traceback (most recent call last):
    theorykit.errors.TheoryError: not the path of a journal: 3.5 (want text or a Path)
    """
    found = fspath(value) if isinstance(value, (str, PathLike)) else value
    return expect(found, str, f"the path of {name}", "text or a Path")
