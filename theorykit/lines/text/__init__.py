"""Lines: notes with exact times over a progression, as values and as text."""

from theorykit.lines.text.line import HIGHEST_MIDI, Line, TimedNote, read_so_far
from theorykit.lines.text.line_spelling import half_step_name, legible_names, spelled

__all__ = [
    "HIGHEST_MIDI",
    "Line",
    "TimedNote",
    "half_step_name",
    "legible_names",
    "read_so_far",
    "spelled",
]
