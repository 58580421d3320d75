"""Works and their states as values, and what a state holds as text."""

from __future__ import annotations

import json
from contextlib import suppress
from dataclasses import dataclass, field
from typing import Any

from theorykit.errors import TheoryError, shown

LARGEST = 1_000_000  # characters of a state

Data = dict[str, Any]


@dataclass(frozen=True, slots=True)
class Work:
    """One work in a list: its number, its title, and when it was changed, in seconds of 1970."""

    number: int
    title: str
    changed: float


@dataclass(frozen=True, slots=True)
class State:
    """One state of a work: its number, when it was left, in seconds of 1970, and what it holds."""

    number: int
    changed: float
    data: Data = field(hash=False)


@dataclass(frozen=True, slots=True)
class Opened:
    """A work as one desk has it: the present state, and how many lie before it and after it.

    ``revision`` counts the changes of all desks, so that newer work of another one is noticed.
    """

    work: int
    kind: str
    revision: int
    state: State
    before: int
    after: int


def text_of(data: Data) -> str:
    """Return data as they are kept, or refuse what is too much."""
    text = json.dumps(data, ensure_ascii=False)
    if len(text) > LARGEST:
        raise TheoryError(
            f"{len(text):,} characters are too much to be kept (want at most {LARGEST:,})"
        )
    return text.encode("utf-8", "replace").decode()


def data_in(text: str) -> Data:
    """Return data that were kept."""
    with suppress(ValueError, RecursionError):
        found = json.loads(text)
        if isinstance(found, dict):
            return found
    raise TheoryError(f"no kept state: {shown(text)} (want an object)")


def state_in(row: tuple[int, float, str]) -> State:
    """Return a state out of its row."""
    return State(row[0], row[1], data_in(row[2]))
