"""Charts: typed, printed, transposed and played."""

from theorykit.tunes.charts.changes_text import typed_changes
from theorykit.tunes.charts.chart import Chart, chart_problems
from theorykit.tunes.charts.chart_cells import read_cell
from theorykit.tunes.charts.chart_rows import Problem
from theorykit.tunes.charts.chart_text import TEMPI
from theorykit.tunes.charts.play_order import (
    PlayedChord,
    close_up,
    jump_faults,
    played_chords,
    repeat_faults,
)

__all__ = [
    "TEMPI",
    "Chart",
    "PlayedChord",
    "Problem",
    "chart_problems",
    "close_up",
    "jump_faults",
    "played_chords",
    "read_cell",
    "repeat_faults",
    "typed_changes",
]
