"""What a keyboard shows, decided before anything is drawn."""

from __future__ import annotations

from dataclasses import dataclass

__all__ = ["ROLES", "KeyboardView", "LitKey"]

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
