"""Proposing colours: which suit a target, at which level, with how much variety."""

from __future__ import annotations

from random import Random

from theorykit.errors import TheoryError, shown
from theorykit.tunes.dominants import Dominant

__all__ = ["LEVELS", "Palette", "colours_at"]

# Which colours a level draws on: for a major I, for a minor i, for a dominant that is a substitute,
# and for one that is written suspended and stays so, by the mode of its target (common practice).
# A level holds those before it. The order is ours: from the triads and sevenths that a player
# knows, over the scales of one word, to what sounds furthest from the plain V.
_FIRST = {
    "major": ("b9 13", "b9"),
    "minor": ("b9 b13", "b9"),
    "substitute": ("9 #11 13",),
    "suspended major": ("suspended",),
    "suspended minor": ("suspended b9",),
}
_SECOND = {
    "major": ("9 #11 13", "b9 b13", "#9 b13", "b9 #11"),
    "minor": ("minor's own", "#9 b13", "b9 #11"),
    "substitute": ("lydian dominant",),
    "suspended major": ("suspended b9",),
    "suspended minor": (),
}
_THIRD = {
    "major": ("altered", "half-whole diminished", "whole tone", "b9 #11 13", "suspended b9"),
    "minor": ("altered", "#9 #11", "suspended b9"),
    "substitute": ("half-whole diminished", "whole tone"),
    "suspended major": (),
    "suspended minor": (),
}
_TABLES = {"first": _FIRST, "second": _SECOND, "third": _THIRD}
LEVELS = tuple(_TABLES)


def colours_at(level: str, aim: str) -> tuple[str, ...]:
    """Return the names of the colours of a level for an aim.

    An aim is ``major``, ``minor``, ``substitute``, ``suspended major`` or ``suspended minor``.

    >>> colours_at("first", "minor"), colours_at("second", "suspended major")
    (('b9 b13', 'b9'), ('suspended', 'suspended b9'))
    """
    if level not in LEVELS:
        raise TheoryError(f"no such level: {shown(level)} (want {', '.join(LEVELS)})")
    names: tuple[str, ...] = ()
    for name, table in _TABLES.items():
        names += table[aim]
        if name == level:
            break
    return names


def aim_of(dominant: Dominant) -> str:
    """Return what the colour of a dominant is chosen for."""
    if not dominant.chord.kind.has("3"):
        return f"suspended {dominant.mode}"
    return "substitute" if dominant.substitute else dominant.mode


class Palette:
    """Hands out colours: at most ``variety`` different ones for each aim, none twice in a row."""

    def __init__(self, level: str, variety: int, seed: int) -> None:
        if not isinstance(variety, int) or variety < 1:
            raise TheoryError(f"not a variety: {shown(variety)} (want 1 or more colours)")
        random = Random(seed)
        self.choices = {aim: self._drawn(level, aim, variety, random) for aim in _FIRST}
        self.used = dict.fromkeys(_FIRST, 0)

    @staticmethod
    def _drawn(level: str, aim: str, variety: int, random: Random) -> list[str]:
        """Return the colours for one aim: the first is always there, the others are drawn."""
        first, *others = colours_at(level, aim)
        more = random.sample(others, min(variety - 1, len(others)))
        return [first, *more]

    def next_for(self, dominant: Dominant) -> str:
        """Return the colour for the next dominant."""
        aim = aim_of(dominant)
        names = self.choices[aim]
        self.used[aim] += 1
        return names[(self.used[aim] - 1) % len(names)]
