"""Palettes: the colours that a level proposes, each for a dominant whose symbol it agrees with."""

from __future__ import annotations

from random import Random

from theorykit.errors import TheoryError, expect, shown
from theorykit.harmony.agreement import agrees, written_in
from theorykit.harmony.colours import colour
from theorykit.notes.degree import degrees
from theorykit.notes.kinds import ChordKind
from theorykit.tunes.treatments.written import Written

# Which colours a level draws on: for a major I, for a minor i, for a dominant that is a substitute,
# and for one that is written suspended and stays so, by the mode of its target (common practice).
# A level holds those before it. The order is ours: from the triads and sevenths that a player
# knows, over the scales of one word, to what sounds furthest from the plain V. A substitute falls
# by a half step and has the lydian dominant at every level, never the half-whole scale. What would
# suspend a V that is written with its 3rd is proposed at none.
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
    "major": ("altered", "half-whole diminished", "whole tone", "b9 #11 13"),
    "minor": ("altered", "#9 #11"),
    "substitute": (),
    "suspended major": (),
    "suspended minor": (),
}
_TABLES = {"first": _FIRST, "second": _SECOND, "third": _THIRD}
LEVELS = tuple(_TABLES)

# Where nothing on a level agrees with what is written: triads and sevenths first, as on the levels.
_ELSE = (
    *("9 #11 13", "b9 13", "b9 b13", "b9", "#9", "#9 b13", "b9 #11", "#9 #11", "b9 #11 13"),
    *("suspended", "suspended b9", "lydian dominant", "altered", "whole tone"),
)
_HALF_WHOLE = ("b9 13", "b9 #11 13")  # what only the half-whole scale holds
_OF_MAJOR = frozenset(degrees("9 13"))  # the 9 and the 13 that a minor i has not
_ALTERED = ChordKind.of("1 3 b7 b9 #9 #11 b13")
_HALF_STEP = 1
THIRD = 3  # the number above which a written degree is a tension, an altered 5 or a suspended 4


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


def aim_of(written: Written) -> str:
    """Return what the colour of a dominant is chosen for."""
    one = written.dominant
    if not one.chord.kind.has("3"):
        return f"suspended {one.mode}"
    falls = (one.chord.root.semitone - one.target.root.semitone) % 12 == _HALF_STEP
    return "substitute" if one.substitute or falls else one.mode


def suits(name: str, written: Written) -> bool:
    """Tell whether a colour agrees with what is written, and with the mode of the target.

    A 9 or a 13 that the composer wrote over the V of a minor i is no reason against a colour.
    """
    row, one = colour(name), written.dominant
    if not agrees(row, one.chord, written.ii):
        return False
    held = {degree.semitone for degree in one.chord.degrees}
    new = {degree for degree in row.degrees if degree.semitone not in held}
    return aim_of(written) == "substitute" or row.suits(one.mode) or not new & _OF_MAJOR


def keeps(name: str, written: Written) -> bool:
    """Tell whether a colour has all tensions that are written: it says no less than the symbol.

    Over 7alt any altered notes do: the symbol leaves to the player which of them.
    """
    if written.dominant.chord.kind == _ALTERED:
        return agrees(name, written.dominant.chord)
    held = {degree.semitone for degree in colour(name).degrees}
    said = written_in(written.dominant.chord)
    return all(degree.semitone in held for degree in said if degree.number > THIRD)


class Palette:
    """Hands out colours: at most ``variety`` different ones for each aim, none twice in a row.

    What is written narrows the choice: first come colours that have every written tension, then
    those that contradict none; in both, those that were drawn, then the level's, then the others.
    """

    def __init__(self, level: str, variety: int, seed: int) -> None:
        if not isinstance(variety, int) or variety < 1:
            raise TheoryError(f"not a variety: {shown(variety)} (want 1 or more colours)")
        random = Random(expect(seed, int, "a seed", "a whole number"))
        self.level, self.variety = level, variety
        self.choices = {aim: self._drawn(level, aim, variety, random) for aim in _FIRST}
        self.used = dict.fromkeys(_FIRST, 0)

    @staticmethod
    def _drawn(level: str, aim: str, variety: int, random: Random) -> list[str]:
        """Return the colours for one aim: the first is always there, the others are drawn."""
        first, *others = colours_at(level, aim)
        more = random.sample(others, min(variety - 1, len(others)))
        return [first, *more]

    def next_for(self, written: Written) -> str:
        """Return the colour for the next dominant; the empty text where none agrees with it."""
        aim = aim_of(written)
        names = self._fitting(aim, written)
        self.used[aim] += 1
        return names[(self.used[aim] - 1) % len(names)] if names else ""

    def _fitting(self, aim: str, written: Written) -> list[str]:
        """Return the best colours that fit what is written."""
        pools = (self.choices[aim], colours_at(self.level, aim), _others(aim))
        fitting = [[name for name in pool if suits(name, written)] for pool in pools]
        keeping = [[name for name in pool if keeps(name, written)] for pool in fitting]
        found = next((pool for pool in (*keeping, *fitting) if pool), [])
        return found[: self.variety]


def _others(aim: str) -> list[str]:
    """Return the colours that any dominant may have where its level has none that fits."""
    return [name for name in _ELSE if aim != "substitute" or name not in _HALF_WHOLE]
