"""Writing lines to wishes, over a progression."""

from theorykit.lines.writing.last_colour import coloured_last, last_dominant
from theorykit.lines.writing.rhythm_figures import room_over
from theorykit.lines.writing.whole_line import accidental_repeats, broken_rules
from theorykit.lines.writing.wishes import (
    AMOUNTS,
    BEGINNINGS,
    DENSITIES,
    DIRECTIONS,
    ENDINGS,
    MANNERS,
    RANGES,
    REACHES,
    Wishes,
)
from theorykit.lines.writing.writer import write_lines

__all__ = [
    "AMOUNTS",
    "BEGINNINGS",
    "DENSITIES",
    "DIRECTIONS",
    "ENDINGS",
    "MANNERS",
    "RANGES",
    "REACHES",
    "Wishes",
    "accidental_repeats",
    "broken_rules",
    "coloured_last",
    "last_dominant",
    "room_over",
    "write_lines",
]
