"""Notation: staves as bars of written notes."""

from theorykit.views.notation.notation import written_bars
from theorykit.views.notation.note_values import Triplet, Written, WrittenBar

__all__ = ["Triplet", "Written", "WrittenBar", "written_bars"]
