"""Lines: notes with exact times over a progression, as values and as text."""

from theorykit.lines.text.legibility import Sound, misread
from theorykit.lines.text.line import HIGHEST_MIDI, Line, SoFar, TimedNote, read_so_far
from theorykit.lines.text.line_spelling import (
    READ_AS,
    half_step_name,
    legible_names,
    single_names,
    sounds_over,
    spelled_by_chords,
)
from theorykit.lines.text.tripping import carries_on, trips

__all__ = [
    "HIGHEST_MIDI",
    "READ_AS",
    "Line",
    "SoFar",
    "Sound",
    "TimedNote",
    "carries_on",
    "half_step_name",
    "legible_names",
    "misread",
    "read_so_far",
    "single_names",
    "sounds_over",
    "spelled_by_chords",
    "trips",
]
