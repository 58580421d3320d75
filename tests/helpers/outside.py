"""How music21, the reference of these tests, spells: flats are minus signs."""

from collections.abc import Iterable
from typing import Any


def as_music21(name: str) -> str:
    """A note or root as music21 wants it: Bb is B-."""
    return name[:1] + name[1:].replace("b", "-")


def from_music21(pitches: Iterable[Any]) -> list[str]:
    """Pitches of music21 as our note names."""
    return [pitch.name.replace("-", "b") for pitch in pitches]
