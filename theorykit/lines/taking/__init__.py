"""Taking down: notes as they were played, set on the grid of a page."""

from theorykit.lines.taking.compasses import COMPASSES, compass_of
from theorykit.lines.taking.ghost_notes import left_ghosts, put_back, report_beside
from theorykit.lines.taking.mending import WAYS, mended, note_words
from theorykit.lines.taking.names_of_sounds import spelled_pitches
from theorykit.lines.taking.one_voice import Played
from theorykit.lines.taking.taken_lines import (
    DOUBTFUL,
    NO_TEMPO,
    HeardNote,
    TakenLine,
    fits_better,
    retaken,
    taken_line,
)
from theorykit.lines.taking.whole_lines import better_place
from theorykit.lines.taking.written_notes import Quantised, quantised

__all__ = [
    "COMPASSES",
    "DOUBTFUL",
    "NO_TEMPO",
    "WAYS",
    "HeardNote",
    "Played",
    "Quantised",
    "TakenLine",
    "better_place",
    "compass_of",
    "fits_better",
    "left_ghosts",
    "mended",
    "note_words",
    "put_back",
    "quantised",
    "report_beside",
    "retaken",
    "spelled_pitches",
    "taken_line",
]
