"""Taking down: notes as they were played, set on the grid of a page."""

from theorykit.lines.taking.compasses import compass_of
from theorykit.lines.taking.ghost_notes import Ghosts
from theorykit.lines.taking.mending import WAYS, mended, note_words
from theorykit.lines.taking.names_of_sounds import spelled_pitches
from theorykit.lines.taking.one_voice import Played
from theorykit.lines.taking.taken_lines import (
    NO_TEMPO,
    HeardNote,
    TakenLine,
    taken_line,
)
from theorykit.lines.taking.whole_lines import better_place
from theorykit.lines.taking.written_notes import Quantised, quantised

__all__ = [
    "NO_TEMPO",
    "WAYS",
    "Ghosts",
    "HeardNote",
    "Played",
    "Quantised",
    "TakenLine",
    "better_place",
    "compass_of",
    "mended",
    "note_words",
    "quantised",
    "spelled_pitches",
    "taken_line",
]
