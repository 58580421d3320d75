"""Every kind of block by the name it has in a text file, and the types of its entries."""

from __future__ import annotations

import dataclasses
from datetime import date
from functools import cache
from typing import Any, get_args, get_origin, get_type_hints

from theorykit.errors import TheoryError, shown
from theorykit.handout.block import Block, Question, Step
from theorykit.handout.blocks import AllKeysBlock, ColourBlock, SubstitutionBlock
from theorykit.handout.line_blocks import GuideToneBlock, LineBlock, LineInKeysBlock, StaffBlock
from theorykit.handout.tune_block import TuneBlock
from theorykit.handout.words import NewPageBlock, PlanBlock, QuestionBlock, TextBlock

__all__ = ["KINDS", "Entry", "entries", "record"]

KINDS: dict[str, type[Block]] = {
    row.kind: row
    for row in (
        ColourBlock,
        AllKeysBlock,
        SubstitutionBlock,
        LineBlock,
        LineInKeysBlock,
        TuneBlock,
        GuideToneBlock,
        StaffBlock,
        PlanBlock,
        TextBlock,
        QuestionBlock,
        NewPageBlock,
    )
}
_WORDS = {str: "text in quotes", int: "a whole number", date: "a date", tuple: "a list"}
_WORDS |= {Step: "a table", Question: "a table"}


class Fault(TheoryError):
    """What is wrong with one entry; ``entry`` is its name, empty for the whole."""

    def __init__(self, entry: str, message: str) -> None:
        super().__init__(message)
        self.entry = entry


@dataclasses.dataclass(frozen=True, slots=True)
class Entry:
    """One entry of a text file: its name, its type, its value if it is left out."""

    name: str
    type: Any
    default: Any

    @property
    def is_needed(self) -> bool:
        """True for an entry that has no value of its own."""
        return self.default is dataclasses.MISSING


@cache
def entries(row: Any) -> tuple[Entry, ...]:
    """Return the entries of a kind of record, those of its own kind first.

    >>> [entry.name for entry in entries(KINDS["colour"])][:3]
    ['colour', 'key', 'form']
    """
    hints = get_type_hints(row)
    found = [Entry(one.name, hints[one.name], one.default) for one in dataclasses.fields(row)]
    shared = {one.name for one in dataclasses.fields(Block)}
    return tuple(sorted(found, key=lambda entry: entry.name in shared))


def record(row: type, table: dict[str, Any], what: str) -> Any:
    """Return a record made of a table out of a text file; ``what`` is what messages call it.

    >>> record(Step, {"minutes": 5, "what": "Sing the roots."}, "a step").minutes
    5
    >>> record(Step, {"minute": 5, "what": "Sing."}, "a step")
    Traceback (most recent call last):
    theorykit.handout.kinds.Fault: no such entry in a step: 'minute' (want minutes, what)
    """
    known = entries(row)
    names = [entry.name for entry in known]
    for name in table:
        if name not in names:
            raise Fault(name, f"no such entry in {what}: {shown(name)} (want {', '.join(names)})")
    for entry in known:
        if entry.is_needed and entry.name not in table:
            raise Fault("", f"{what} without {entry.name} (want {_wanted(entry.type)})")
    values = {
        entry.name: _value(entry.type, table[entry.name], entry.name)
        for entry in known
        if entry.name in table
    }
    try:
        return row(**values)
    except Fault:
        raise
    except TheoryError as error:
        raise Fault(_culprit(row, values), str(error)) from None


def _culprit(row: type, values: dict[str, Any]) -> str:
    """Return the entry without which a record would be accepted, if there is one."""
    for entry in entries(row):
        if entry.name in values and not entry.is_needed:
            try:
                row(**{name: value for name, value in values.items() if name != entry.name})
            except TheoryError:
                continue
            return entry.name
    needed = [entry.name for entry in entries(row) if entry.is_needed and entry.name in values]
    return needed[0] if len(needed) == 1 else ""


def _value(wanted: Any, value: Any, name: str) -> Any:
    """Return a value of the wanted type."""
    kinds = _choices(wanted)
    if get_origin(wanted) is tuple:
        if not isinstance(value, list):
            raise Fault(name, f"{name} is no list: {shown(value)} (want {_wanted(wanted)})")
        return tuple(_value(get_args(wanted)[0], one, name) for one in value)
    if dataclasses.is_dataclass(wanted):
        if not isinstance(value, dict):
            raise Fault(name, f"{name}: {shown(value)} (want {_wanted(wanted)})")
        try:
            return record(wanted, value, f"one of the {name}")  # type: ignore[arg-type]
        except Fault as fault:
            raise Fault(name, str(fault)) from None
    if type(value) not in kinds:
        raise Fault(name, f"{name}: {shown(value)} (want {_wanted(wanted)})")
    return value


def _choices(wanted: Any) -> tuple[Any, ...]:
    """Return the types that a hint allows."""
    return get_args(wanted) if get_origin(wanted) is not tuple and get_args(wanted) else (wanted,)


def _wanted(wanted: Any) -> str:
    """Say which values a type has."""
    if get_origin(wanted) is tuple:
        return f"a list in brackets, of {_wanted(get_args(wanted)[0])}"
    if dataclasses.is_dataclass(wanted):
        return "tables such as {" + ", ".join(f"{e.name} = ..." for e in entries(wanted)) + "}"  # type: ignore[arg-type]
    return " or ".join(_WORDS[one] for one in _choices(wanted))
