"""The entries of a record in a text file: their types, their defaults, and what each of them takes.

A record is a frozen dataclass whose fields are its entries. What an entry takes stands in its type,
as ``Annotated[str, About(offers=("wide", "beside"))]``; the check of the record and the field of a
form are both made from that, so that no form offers what its record refuses.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Callable, Iterable, Iterator
from datetime import date
from functools import cache
from typing import Annotated, Any, get_args, get_origin, get_type_hints

from theorykit.errors import TheoryError, shown

__all__ = [
    "About",
    "Entry",
    "Fault",
    "check_entries",
    "entries",
    "own_words",
    "record",
]

_WORDS = {str: "text in quotes", int: "a whole number", date: "a date", tuple: "a list"}


class Fault(TheoryError):
    """What is wrong with one entry; ``entry`` is its name, empty for the whole."""

    def __init__(self, entry: str, message: str) -> None:
        super().__init__(message)
        self.entry = entry


@dataclasses.dataclass(frozen=True, slots=True)
class About:
    """What an entry takes, and what its field in a form looks like.

    ``offers`` are the texts to choose from. Nothing else is accepted, unless ``reads`` is there: a
    function that reads a text or refuses it. A table in place of a text is read by ``makes``, if
    that is there. A whole number lies between ``least`` and ``most``.
    ``called`` is the name of the entry in messages, where it is not its own. ``says`` explains the
    entry, ``hint`` is an example of it, ``rows`` is the height of its field; a list in a field of
    several rows has one item in each. ``names`` is true for a teacher's own words, which may name
    notes and chords.
    """

    offers: tuple[str, ...] = ()
    reads: Callable[[str], object] | None = None
    makes: Callable[[object], object] | None = None
    least: int | None = None
    most: int = 0
    called: str = ""
    says: str = ""
    hint: str = ""
    rows: int = 1
    names: bool = False


@dataclasses.dataclass(frozen=True, slots=True)
class Entry:
    """One entry of a text file: its name, its type, its value if it is left out, what it takes."""

    name: str
    type: Any
    default: Any
    about: About = About()

    @property
    def is_needed(self) -> bool:
        """True for an entry that has no value of its own."""
        return self.default is dataclasses.MISSING

    @property
    def item(self) -> Any:
        """The type of the items of a list; None for an entry that is no list."""
        return get_args(self.type)[0] if get_origin(self.type) is tuple else None

    def check(self, value: Any) -> None:
        """Refuse a value that this entry does not take.

        >>> Entry("days", int, 7, About(least=0, most=14)).check(15)
        Traceback (most recent call last):
        theorykit.errors.TheoryError: no such days: 15 (want a whole number from 0 to 14)
        """
        about, name = self.about, self.about.called or self.name
        if about.least is not None:
            whole(value, name, about.least, about.most)
        for one in value if isinstance(value, tuple) else (value,):
            if about.reads is not None and (one or one != self.default):
                about.reads(one)
            elif about.offers and about.reads is None:
                offered(one, name, about.offers)


@cache
def entries(row: Any) -> tuple[Entry, ...]:
    """Return the entries of a kind of record, those of its own first, then those that all have.

    >>> from theorykit.handout.blocks import KINDS
    >>> [entry.name for entry in entries(KINDS["staves"])][5:]
    ['layout', 'heading', 'margin', 'names', 'as_typed']
    """
    hints = get_type_hints(row, include_extras=True)
    fields = {one.name: one for one in dataclasses.fields(row)}
    return tuple(_entry(fields[name], hints[name]) for name in _order(row) if name in fields)


def _order(row: Any) -> Iterator[str]:
    """Yield the names that a record writes down, those of the class at the bottom last."""
    classes = [one for one in row.__mro__ if dataclasses.is_dataclass(one)]
    *own, bottom = classes
    names = [name for one in reversed(own) for name in one.__annotations__]
    yield from dict.fromkeys([*names, *bottom.__annotations__])


def _entry(field: Any, hint: Any) -> Entry:
    """Return the entry that a field is."""
    if get_origin(hint) is not Annotated:
        return Entry(field.name, hint, field.default)
    kind, *notes = get_args(hint)
    about = next((note for note in notes if isinstance(note, About)), About())
    return Entry(field.name, kind, field.default, about)


def check_entries(made: Any) -> None:
    """Refuse a record with an entry that does not take its value."""
    kind: Any = type(made)
    for entry in entries(kind):
        entry.check(getattr(made, entry.name))


def own_words(made: Any) -> Iterator[str]:
    """Yield the texts of a record in which a teacher's own words may name notes and chords.

    >>> from theorykit.handout.blocks.plan_block import PlanBlock, Step
    >>> steps = (Step(minutes=5, what="Sing the root of G7."),)
    >>> list(own_words(PlanBlock(steps=steps, heading="Over G7")))
    ['Over G7', 'Sing the root of G7.']
    """
    kind: Any = type(made)
    found = sorted(entries(kind), key=lambda entry: entry.name != "heading")
    for entry in found:
        value = getattr(made, entry.name)
        for one in value if isinstance(value, tuple) else (value,):
            if dataclasses.is_dataclass(one):
                yield from own_words(one)
            elif entry.about.names:
                yield one


def whole(number: object, name: str, least: int, most: int) -> None:
    """Refuse what is no whole number between two others.

    >>> whole(0, "days", 1, 14)
    Traceback (most recent call last):
    theorykit.errors.TheoryError: no such days: 0 (want a whole number from 1 to 14)
    """
    if isinstance(number, bool) or not isinstance(number, int) or not least <= number <= most:
        raise TheoryError(
            f"no such {name}: {shown(number)} (want a whole number from {least} to {most})"
        )


def offered(value: object, name: str, names: Iterable[str]) -> None:
    """Refuse what is not among the names offered.

    >>> offered("list", "layout", ("table", "staves"))
    Traceback (most recent call last):
    theorykit.errors.TheoryError: no such layout: 'list' (want table, staves)
    """
    names = tuple(names)
    if value not in names:
        raise TheoryError(f"no such {name}: {shown(value)} (want {', '.join(names)})")


def record(row: type, table: dict[str, Any], what: str) -> Any:
    """Return a record made of a table out of a text file; ``what`` is what messages call it.

    >>> from theorykit.handout.blocks.plan_block import Step
    >>> record(Step, {"minutes": 5, "what": "Sing the roots."}, "a step").minutes
    5
    >>> record(Step, {"minute": 5, "what": "Sing."}, "a step")
    Traceback (most recent call last):
    theorykit.handout.entries.Fault: no such entry in a step: 'minute' (want minutes, what)
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
        entry.name: _value(entry.type, table[entry.name], entry.name, entry.about.makes)
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


def _value(
    wanted: Any, value: Any, name: str, makes: Callable[[object], object] | None = None
) -> Any:
    """Return a value of the wanted type; ``makes`` reads a table in place of a text."""
    if makes is not None and isinstance(value, dict):
        return _made(makes, value, name)
    kinds = _choices(wanted)
    if get_origin(wanted) is tuple:
        if not isinstance(value, list):
            raise Fault(name, f"{name} is no list: {shown(value)} (want {_wanted(wanted)})")
        return tuple(_value(get_args(wanted)[0], one, name, makes) for one in value)
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


def _made(makes: Callable[[object], object], table: dict[str, Any], name: str) -> Any:
    """Return what a table in place of a text tells of."""
    try:
        return makes(table)
    except TheoryError as error:
        raise Fault(name, str(error)) from None


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
