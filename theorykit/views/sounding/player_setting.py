"""The setting of a player: what each part does, where it stands, how fast it plays."""

from __future__ import annotations

import re
from dataclasses import dataclass

from theorykit.errors import TheoryError, expect, shown
from theorykit.lines.parts import PART_NAMES
from theorykit.views.sounding.takes import FASTEST, SLOWEST

LEVELS = ("full", "soft", "off")
TURNS = "every other round"  # the line alone may do that
MOST_BARS, LONGEST = 2000, 200  # bars, and characters of a text
_FORM = "some such as 'piano off, bar 3, tempo 90'"
_NUMBER = re.compile(r"[0-9]{1,4}(\.[0-9]{1,4})?")


@dataclass(frozen=True, slots=True)
class PlayerSetting:
    """How a player is set: ``levels`` of the parts, the ``bar`` from 1, the ``tempo``.

    The levels are of ``LEVELS``, in the order of ``PART_NAMES``. A tempo of None is the one that
    was written. What is as it was at first is not in the text.

    >>> setting = PlayerSetting.parse("piano off, bar 3")
    >>> setting.levels, setting.bar, setting.tempo
    (('full', 'off', 'full', 'full'), 3, None)
    >>> str(setting), str(PlayerSetting())
    ('piano off, bar 3', '')
    """

    levels: tuple[str, ...] = (LEVELS[0],) * len(PART_NAMES)
    bar: int = 1
    tempo: float | None = None

    @classmethod
    def parse(cls, text: str) -> PlayerSetting:
        """Return the setting of a text; each thing is said once at most."""
        expect(text, str, "the setting of a player", _FORM)
        if len(text) > LONGEST:
            raise TheoryError(f"too long for the setting of a player: {shown(text)} (want {_FORM})")
        found: dict[str, str] = {}
        for words in filter(None, (part.strip() for part in text.split(","))):
            name, _, value = words.partition(" ")
            if name in found or not value:
                raise TheoryError(f"no setting of a player: {shown(words)} (want {_FORM})")
            found[name] = value
        levels = tuple(_level(name, found.pop(name, LEVELS[0])) for name in PART_NAMES)
        bar = _number(found.pop("bar", "1"), "bar", 1, MOST_BARS)
        tempo = found.pop("tempo", None)
        if found:
            names = ", ".join((*PART_NAMES, "bar", "tempo"))
            raise TheoryError(f"a player has no {shown(next(iter(found)))} (want {names})")
        speed = None if tempo is None else _number(tempo, "tempo", SLOWEST, FASTEST)
        return cls(levels, int(bar), speed)

    def __str__(self) -> str:
        named = zip(PART_NAMES, self.levels, strict=True)
        said = [f"{name} {level}" for name, level in named if level != LEVELS[0]]
        said += [f"bar {self.bar}"] if self.bar > 1 else []
        said += [] if self.tempo is None else [f"tempo {self.tempo:g}"]
        return ", ".join(said)


def _level(part: str, level: str) -> str:
    """Return what a part does, refusing what it cannot do."""
    offered = (*LEVELS, TURNS) if part == PART_NAMES[0] else LEVELS
    if level not in offered:
        raise TheoryError(f"no level of the {part}: {shown(level)} (want {', '.join(offered)})")
    return level


def _number(text: str, name: str, least: float, most: float) -> float:
    """Return a number between two others."""
    value = float(text) if _NUMBER.fullmatch(text) else least - 1
    if not least <= value <= most or (name == "bar" and not value.is_integer()):
        raise TheoryError(f"no {name} of a player: {shown(text)} (want {least:g} to {most:g})")
    return round(value, 1)
