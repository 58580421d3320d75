"""Staves: notes and words on them, for one reader."""

from theorykit.views.staves.bar_line_marks import PLAIN_BAR, BarMark
from theorykit.views.staves.chorus_staves import cadence_staff, chorus_staff
from theorykit.views.staves.duet import duet_staff
from theorykit.views.staves.phrase_staves import degree_staff, phrase_staff
from theorykit.views.staves.sheet_staff import lead_sheet_staff
from theorykit.views.staves.staff import (
    StaffNote,
    StaffView,
    legend,
    octaves_away,
    read_staff,
    staff_of_line,
    with_pitches,
)

__all__ = [
    "PLAIN_BAR",
    "BarMark",
    "StaffNote",
    "StaffView",
    "cadence_staff",
    "chorus_staff",
    "degree_staff",
    "duet_staff",
    "lead_sheet_staff",
    "legend",
    "octaves_away",
    "phrase_staff",
    "read_staff",
    "staff_of_line",
    "with_pitches",
]
