"""Taking down: notes as they were played, set on the grid of a page."""

from theorykit.lines.taking.one_voice import Played
from theorykit.lines.taking.written_notes import Quantised, quantised

__all__ = ["Played", "Quantised", "quantised"]
