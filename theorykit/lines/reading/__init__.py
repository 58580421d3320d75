"""Reading lines: roles, colours, landings, and a teacher's words."""

from theorykit.lines.placed import beat_words
from theorykit.lines.reading.landings import place_words
from theorykit.lines.reading.line_colour import SpelledColour, shape_behind
from theorykit.lines.reading.line_reading import LineReading, NoteReading, read_line

__all__ = [
    "LineReading",
    "NoteReading",
    "SpelledColour",
    "beat_words",
    "place_words",
    "read_line",
    "shape_behind",
]
