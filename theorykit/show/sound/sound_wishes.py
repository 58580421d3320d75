"""Wishes that sound is asked for with, and the lengths and levels that all engines keep to."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from theorykit.errors import TheoryError, shown
from theorykit.lines.parts import MELODY_SOUNDS, PART_NAMES, Sounding

RATES = (22050, 44100)  # frames a second
TAIL = 1.0  # seconds after the last beat in which the instruments ring out
CYMBAL = 1.5  # seconds that a struck drum or cymbal may ring
LOOP_TAIL = 3.0  # seconds that ring over the end of a loop into its beginning
LONGEST_TONE = 5.0  # seconds of a single note
LEAD = 1024  # frames kept before the first, for what a filter answers ahead of a note

ROOM = ("room left", "room right")  # what the sounds are called with which the room answers
PEAK = 10 ** (-2 / 20)  # 2 dB below full scale: between the frames it rises to 1 dB at most


@dataclass(frozen=True, slots=True)
class AskedSound:
    """What the name of a sound stands for: the note that it was first met in, and what plays it.

    ``player`` is an instrument of the engine, ``place`` says which of its recordings sounds.
    """

    note: Sounding
    player: Any
    place: int


def check_wishes(melody: str, silent: tuple[str, ...], rate: int, ending: str) -> None:
    """Refuse wishes that cannot be met."""
    wishes = (
        ("melody sound", [melody], MELODY_SOUNDS),
        ("part", silent, PART_NAMES),
        ("frame rate", [rate], RATES),
        ("ending", [ending], ("tail", "loop")),
    )
    for what, wished, offered in wishes:
        for one in wished:
            if one not in offered:
                raise TheoryError(
                    f"no such {what}: {shown(one)} (want {', '.join(map(str, offered))})"
                )
