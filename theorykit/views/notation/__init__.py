"""Notation: staves as bars of written notes."""

from theorykit.views.notation.accidentals import Triplet, Written, WrittenBar
from theorykit.views.notation.notation import written_bars

__all__ = ["Triplet", "Written", "WrittenBar", "written_bars"]
