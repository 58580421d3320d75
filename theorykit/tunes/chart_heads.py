"""The head lines of a typed chart: title, by, key, metre, tempo, feel."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass

from theorykit.errors import TheoryError, shown
from theorykit.notes.key import Key
from theorykit.tunes.metre import COMMON_TIME, Metre

__all__ = ["TEMPI", "Heads", "checked_line", "checked_tempo", "head_of"]

TEMPI = (20, 400)  # beats a minute, from the slowest ballad to the fastest bebop
LONGEST_LINE = 200
# Every name that a head line may have, and the field it fills.
_NAMES = {
    "title": "title",
    "by": "by", "composer": "by", "music": "by", "written by": "by",
    "key": "key",
    "metre": "metre", "meter": "metre", "time": "metre", "time signature": "metre",
    "tempo": "tempo", "bpm": "tempo",
    "feel": "feel", "style": "feel", "groove": "feel",
}  # fmt: skip
FIELDS = tuple(dict.fromkeys(_NAMES.values()))
_LINE = re.compile(r"\s*([A-Za-z]+(?: [A-Za-z]+)?)\s*[:=](.*)")
_TEMPO = re.compile(r"(?:♩\s*=?|=)?\s*([0-9]{1,4})\s*(?:bpm)?", re.IGNORECASE)


@dataclass(slots=True)
class Heads:
    """What the head lines say, as far as they have been read."""

    title: str = ""
    by: str = ""
    key: Key | None = None
    metre: Metre = COMMON_TIME
    tempo: int | None = None
    feel: str = ""

    def take(self, name: str, value: str) -> None:
        """Fill one field, or say in a TheoryError what it takes."""
        setattr(self, name, _READERS[name](value.strip()))


def head_of(line: str) -> tuple[str, str, int] | None:
    """Return field, value and the place of the value if the line is a head line.

    >>> head_of("Meter: 3/4"), head_of("| C | F |")
    (('metre', ' 3/4', 6), None)
    """
    found = _LINE.fullmatch(line)
    if found is None or found[1].lower() not in _NAMES:
        return None
    return _NAMES[found[1].lower()], found[2], found.start(2)


def checked_line(text: str, what: str) -> str:
    """Return text fit for one head line, spaces tidied, or refuse it."""
    if not isinstance(text, str):
        raise TheoryError(f"not a {what}: {shown(text)} (want text)")
    tidy = " ".join(text.split())
    if len(tidy) > LONGEST_LINE:
        raise TheoryError(
            f"{what} of {len(tidy)} characters: {shown(tidy)} (want at most {LONGEST_LINE})"
        )
    return tidy


def checked_tempo(tempo: int) -> int:
    """Return a tempo in beats a minute, or refuse it."""
    low, high = TEMPI
    if not isinstance(tempo, int) or not low <= tempo <= high:
        raise TheoryError(f"not a tempo: {shown(tempo)} (want {low} to {high} beats a minute)")
    return tempo


def _read_tempo(text: str) -> int:
    """Read beats a minute."""
    found = _TEMPO.fullmatch(text) if len(text) < 20 else None
    if found is None:
        low, high = TEMPI
        raise TheoryError(f"not a tempo: {shown(text)} (want {low} to {high} beats a minute)")
    return checked_tempo(int(found[1]))


def _read_metre(text: str) -> Metre:
    """Read a metre; the sign of common time may be typed as C."""
    return COMMON_TIME if text in ("C", "c") else Metre.parse(text)


_READERS: dict[str, Callable[[str], object]] = {
    "title": lambda text: checked_line(text, "title"),
    "by": lambda text: checked_line(text, "name"),
    "feel": lambda text: checked_line(text, "feel"),
    "key": Key.parse,
    "metre": _read_metre,
    "tempo": _read_tempo,
}
