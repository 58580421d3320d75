"""The band: voicings, bass, comping and drums for any progression."""

from theorykit.lines.band.accompaniment import (
    colours_over,
    performance,
    then,
    unaccompanied,
)
from theorykit.lines.band.around_keys import STEPS, keys_by, through_keys
from theorykit.lines.band.feels import FEELS, SIDE_STICK
from theorykit.lines.band.pacing import Moment, moments, pace, paced
from theorykit.lines.band.swing import default_swing, written_swing

__all__ = [
    "FEELS",
    "SIDE_STICK",
    "STEPS",
    "Moment",
    "colours_over",
    "default_swing",
    "keys_by",
    "moments",
    "pace",
    "paced",
    "performance",
    "then",
    "through_keys",
    "unaccompanied",
    "written_swing",
]
