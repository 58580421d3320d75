"""A teacher's own colour in the text of a handout: a small table in place of a name."""

from __future__ import annotations

from collections.abc import Mapping

from theorykit.errors import TheoryError, shown
from theorykit.harmony.colours import BOTH, Colour, colour
from theorykit.notes.degree import Degree, degrees

__all__ = ["colour_from", "table_of_colour"]

BY_HAND = "by hand"
# The entries of a table, and what a colour has where one is left out.
_OTHERS: dict[str, object] = {
    "targets": BOTH, "passing": (), "title": "", "source": BY_HAND, "scale": "", "aliases": (),
}  # fmt: skip
_DEGREES = ("degrees", "passing")
WANT = 'want such as {name = "my own", degrees = "b9 11 13"}, with targets, passing or title'


def table_of_colour(own: Colour) -> dict[str, str | list[str]]:
    """Return a colour as the entries of a table; what is as usual is left out.

    >>> own = colour_from({"name": "my own", "degrees": "b9 11 13", "targets": ["minor"]})
    >>> table_of_colour(own)
    {'name': 'my own', 'degrees': 'b9 11 13', 'targets': ['minor']}
    """
    told: dict[str, str | list[str]] = {"name": own.name, "degrees": _words(own.degrees)}
    for name, usual in _OTHERS.items():
        value = getattr(own, name)
        if value != usual:
            texts = _words(value) if name in _DEGREES else value
            told[name] = texts if isinstance(texts, str) else list(texts)
    return told


def _words(found: tuple[Degree, ...]) -> str:
    """Return degrees as text."""
    return " ".join(map(str, found))


def colour_from(table: object) -> Colour:
    """Return the colour that a table tells of; one of the house is given by its name alone."""
    if not isinstance(table, Mapping) or not {"name", "degrees"} <= table.keys():
        raise TheoryError(f"not a colour: {shown(table)} ({WANT})")
    odd = [name for name in table if name not in ("name", "degrees", *_OTHERS)]
    if odd:
        raise TheoryError(f"no such entry in a colour: {shown(odd[0])} ({WANT})")
    values = _OTHERS | {name: _value(name, value) for name, value in table.items()}
    if not values["degrees"] or not values["name"]:
        raise TheoryError(f"not a colour: {shown(table)} ({WANT})")
    return _checked(Colour(**values))  # type: ignore[arg-type]


def _value(name: str, value: object) -> object:
    """Return one entry of a colour."""
    if name in ("targets", "aliases"):
        if not isinstance(value, list) or not all(isinstance(one, str) for one in value):
            raise TheoryError(f"not a list of {name}: {shown(value)} ({WANT})")
        return tuple(value)
    if not isinstance(value, str):
        raise TheoryError(f"not the {name} of a colour: {shown(value)} ({WANT})")
    return degrees(value) if name in _DEGREES else value


def _checked(own: Colour) -> Colour:
    """Refuse targets that are none, and the name of a colour of the house for another one."""
    if not own.targets or not set(own.targets) <= set(BOTH):
        raise TheoryError(f"no such targets: {shown(own.targets)} (want {' or '.join(BOTH)})")
    try:
        known = colour(own.name)
    except TheoryError:
        return own
    if known.degrees != own.degrees:
        raise TheoryError(f"there is a colour {own.name!r} already (want another name)")
    return known
