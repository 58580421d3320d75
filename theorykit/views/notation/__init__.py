"""Notation: staves as bars of written notes."""

from theorykit.views.notation.accidentals import Written, WrittenBar
from theorykit.views.notation.notation import written_bars

__all__ = ["Written", "WrittenBar", "written_bars"]
