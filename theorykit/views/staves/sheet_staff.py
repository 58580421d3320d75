"""Staves of lead sheets: every written bar once, the verses under the notes."""

from __future__ import annotations

from dataclasses import replace

from theorykit.lines.lead_sheet import LeadSheet
from theorykit.notes.reader import READERS, Reader
from theorykit.views.staves.bar_line_marks import bar_marks
from theorykit.views.staves.staff import StaffView, staff_of_line


def lead_sheet_staff(sheet: LeadSheet, *, reader: Reader = READERS[0]) -> StaffView:
    """Return the staff of a lead sheet: every written bar once, the verses under the notes.

    >>> from theorykit.tunes.charts import Chart
    >>> lead_sheet_staff(LeadSheet(Chart.of("C", "Dm7 G7", "C6"))).alt
    '2 bars in C major, chords Dm7, G7, C6.'
    """
    view = staff_of_line(sheet.written, labels=sheet.words, reader=reader)
    metre = sheet.chart.metre
    return replace(view, marks=bar_marks(sheet.chart), time=(metre.count, metre.unit))
