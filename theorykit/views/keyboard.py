"""What a keyboard shows, decided before anything is drawn."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

__all__ = ["ROLES", "KeyboardView", "LitKey", "is_white", "keyboard_range"]

WHITE = frozenset((0, 2, 4, 5, 7, 9, 11))  # pitch classes of the white keys
FIRST_KEYS = (0, 5)  # a stretch goes from C to B or from F to E
OCTAVE = 12

# What a lit key is: a tone of the chord, a tone the colour adds, a tone outside both.
ROLES = ("chord", "colour", "outside")


@dataclass(frozen=True, slots=True)
class LitKey:
    """One lit key: MIDI number, the note's name, its degree, its role (one of ``ROLES``).

    ``ringed`` marks the notes of the shape that one thinks of.
    """

    midi: int
    name: str
    degree: str
    role: str
    ringed: bool = False


@dataclass(frozen=True, slots=True)
class KeyboardView:
    """A stretch of keyboard from ``low`` to ``high`` (MIDI numbers of white keys, both shown)."""

    low: int
    high: int
    lit: tuple[LitKey, ...]
    alt: str


def is_white(midi: int) -> bool:
    """Tell whether a MIDI number is a white key.

    >>> is_white(60), is_white(61)
    (True, False)
    """
    return midi % OCTAVE in WHITE


def keyboard_range(midis: Iterable[int], *, octaves: int = 2) -> tuple[int, int]:
    """Return the lowest and highest white key of a stretch that shows all of ``midis``.

    It begins on C or F and lasts ``octaves``, or more where they do not reach; what is lit stands
    as near the middle as that allows. Without anything lit, middle C stands there.

    >>> keyboard_range([62, 65, 69, 72]), keyboard_range([55, 59, 64, 68, 83])
    ((53, 76), (53, 88))
    """
    lit = sorted(midis) or [60]
    low, high = lit[0], lit[-1]
    length = octaves * OCTAVE
    while True:
        starts = [start for start in range(high - length + 1, low + 1) if _may_begin(start)]
        if starts:
            start = min(starts, key=lambda one: abs(2 * one + length - 1 - low - high))
            return start, start + length - 1
        length += OCTAVE


def _may_begin(midi: int) -> bool:
    """Tell whether a drawn keyboard may begin on this key."""
    return midi % OCTAVE in FIRST_KEYS
