"""The line over one cadence."""

from __future__ import annotations

from theorykit.lines.chorus import cadence_line
from theorykit.tunes.cadences import cadences
from theorykit.tunes.charts import Chart
from theorykit.tunes.treatments import Treatment

CHART = Chart.of("C", "Em7b5 A7b9", "Dm7", "G7", "Ebm7", "Ab7", "Dbmaj7", "Dm7 G7")


def test_each_cadence_has_a_line_over_its_own_chords_in_its_own_key():
    treatment = Treatment.plain(CHART)
    lines = [cadence_line(CHART, treatment, cadence.v) for cadence in cadences(CHART)]
    told = [f"{line.progression} in {line.progression.key}" for line in lines if line]
    assert told == [
        "Em7b5 A7b9 | Dm7 in D minor",
        "Dm7 | G7 | Ebm7 in C major",
        "Ebm7 | Ab7 | Dbmaj7 in Db major",
        "Dm7 G7 | Em7b5 in C major",  # the end leads back to the top
    ]
    assert all(line and line.notes for line in lines)


def test_it_is_what_the_chorus_has_there_where_nothing_leads_into_it():
    chart = Chart.of("Eb", "Ebmaj7", "Fm7", "Bb7", "Ebmaj7")
    treatment = Treatment.proposed(chart)
    line = cadence_line(chart, treatment, 2, seed=7)
    assert line == cadence_line(chart, treatment, 2, seed=7)
    assert line != cadence_line(chart, treatment, 2, seed=8)


def test_where_no_phrase_stands_there_is_none():
    assert cadence_line(CHART, Treatment.plain(CHART), 99) is None
    silent = Chart.of("C", "Dm7", "G7", "N.C.")
    assert cadence_line(silent, Treatment.plain(silent), 1) is None
