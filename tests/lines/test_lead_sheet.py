"""Lead sheets as values: the melody over the page, and as it is played."""

from __future__ import annotations

from fractions import Fraction

import pytest

from theorykit.errors import TheoryError
from theorykit.lines.lead_sheet import LeadSheet
from theorykit.lines.text import Line, TimedNote
from theorykit.notes.note import Pitch
from theorykit.tunes.charts import Chart

CHART = Chart.parse("key: C\n|: Dm7 | G7 | 1. Em7 | A7 :| 2. C6 | % |")


def sheet(text: str, chart: Chart = CHART) -> LeadSheet:
    """A lead sheet with a melody over its written bars."""
    return LeadSheet(chart, Line.parse(text, LeadSheet(chart).written.progression).notes)


def test_a_melody_is_played_as_the_repeats_say():
    found = sheet("whole D4 | G4 | E4 | A4 | C5 | B4")
    assert found.played.text == "whole D4 | G4 | E4 | A4 | D4 | G4 | C5 | B4"


def test_a_held_note_goes_on_only_where_the_next_bar_of_the_page_follows():
    notes = (TimedNote(Pitch.parse("G4"), Fraction(6), Fraction(4)),)  # into the first ending
    found = LeadSheet(CHART, notes)
    assert [(n.start, n.beats) for n in found.played.notes] == [(6, 4), (22, 2)]


def test_a_pickup_is_played_once():
    found = sheet("pickup quarter C4 | whole D4 | G4")
    starts = [note.start for note in found.played.notes]
    assert starts == [-1, 0, 4, 16, 20]


def test_in_six_eight_a_bar_has_three_quarters():
    chart = Chart.of("C", "Am", "Dm", metre="6/8")
    assert LeadSheet(chart).written.progression.beats == 6


def test_words_belong_to_notes_and_notes_into_bars():
    note = TimedNote(Pitch.parse("C4"), Fraction(0), Fraction(1))
    assert LeadSheet(CHART, (note,), (("la",),)).words == (("la",),)
    with pytest.raises(TheoryError, match="words for 2 notes"):
        LeadSheet(CHART, (note,), (("la",), ("la",)))
    late = TimedNote(Pitch.parse("C4"), Fraction(23), Fraction(4))
    with pytest.raises(TheoryError, match="no longer than its progression"):
        LeadSheet(CHART, (late,))


def test_the_report_says_nothing_about_equality():
    assert LeadSheet(CHART, report=("a",)) == LeadSheet(CHART)
