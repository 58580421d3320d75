"""What is marked on the page of a tune, against labels written by hand."""

from __future__ import annotations

from fractions import Fraction

import pytest
from house import ROOT

from theorykit.tunes.cadences import cadences, dominants
from theorykit.tunes.charts import Chart
from theorykit.views.tune_page.tune_marks import tune_marks

TUNES = sorted((ROOT / "workbook" / "tunes").glob("*.txt"))


def told(chart: Chart) -> list[str]:
    """Each mark in one line."""
    return [f"{mark.number} | {mark.bars} | {mark.label}" for mark in tune_marks(chart)]


def tune(name: str) -> Chart:
    """A tune of the workshop."""
    return Chart.parse((ROOT / "workbook" / "tunes" / f"{name}.txt").read_text(encoding="utf-8"))


# Read bar by bar by hand from the charts.
EXPECTED = {
    "the_kettle_comes_late": [
        "1 | 4-5 | ii-V-I D♭7, short",
        "2 | 6-7 | ii-V-I A♭7, short, back door",
        "3 | 8 | ii-V E♭, short, by tritone",
        "4 | 9-10 | ii-V A♭, long, deceptive",
        "5 | 11 | ii-V B♭ minor, short",
        "6 | 12-1 | ii-V-I A♭7, short, to the top",
    ],
    "rain_on_the_skylight": [
        "1 | 3-5, 11-13 | ii-V-I G, long, back door",
        "2 | 7-9 | ii-V-I G, long",
        "3 | 15-17 | ii-V-I G, long, by tritone",
        "4 | 18-19 | ii-V-I C, short",
        "5 | 21-22 | ii-V B minor, long",
        "6 | 23-25 | ii-V-I A minor, long",
        "7 | 27-29 | ii-V-I G, long, back door",
        "8 | 30-32 | ii-V-I G, long, by tritone",
    ],
}


@pytest.mark.parametrize("name", EXPECTED)
def test_marks_read_as_the_charts_do(name):
    assert told(tune(name)) == EXPECTED[name]


@pytest.mark.parametrize("file", TUNES, ids=lambda file: file.stem)
def test_every_cadence_and_every_dominant_has_one_mark(file):
    chart = Chart.parse(file.read_text(encoding="utf-8"))
    marks = tune_marks(chart)
    assert [mark.number for mark in marks] == list(range(1, len(marks) + 1))
    assert sorted(n for mark in marks for n in mark.cadences) == list(range(len(cadences(chart))))
    mine = [mark.dominant for mark in marks if mark.dominant is not None]
    assert sorted(mine, key=lambda d: d.v) == sorted(dominants(chart), key=lambda d: d.v)
    assert [mark.place for mark in marks] == sorted(mark.place for mark in marks)


def test_a_chain_has_a_mark_for_each_of_its_dominants():
    marks = tune_marks(tune("four_bus_stops"))
    assert [mark.label for mark in marks[-4:]] == [
        "C♯7 to F♯7",
        "F♯7 to B7",
        "B7 to E7",
        "V-I A, long, to the top",
    ]
    assert [mark.cadences for mark in marks[-4:-1]] == [(), (), ()]


def test_stretches_say_where_ii_and_v_stand_and_what_leads_on_to_a_later_i():
    (mark,) = tune_marks(Chart.of("C", "C6 Dm7", "G7", "C6"))
    half, one = Fraction(1, 2), Fraction(1)
    assert [(s.bar, s.start, s.end, s.leads) for s in mark.ways[0]] == [
        (0, half, one, False),
        (1, Fraction(0), one, False),
    ]
    later = Chart.of("C", "Dm7", "G7", "Db7", "C6")
    leading = [s for mark in tune_marks(later) for way in mark.ways for s in way if s.leads]
    assert [(s.bar, s.start, s.end) for s in leading] == [(2, 0, 1)]


def test_a_ii_at_the_end_of_the_form_is_marked_there_and_its_v_at_the_top():
    (mark,) = tune_marks(Chart.of("C", "G7", "C6", "F6", "Dm7"))
    assert mark.bars == "4-2"
    assert [(s.bar, s.start, s.end) for s in mark.ways[0]] == [(3, 0, 1), (0, 0, 1)]


def test_a_repeat_that_reaches_a_cadence_on_two_ways_keeps_both():
    chart = Chart.parse("key: C\n|: C6 | Dm7 | 1. G7 :| 2. G7 | C6 |")
    marks = tune_marks(chart)
    assert [mark.place[0] for mark in marks] == [2, 3]
    assert all(len(mark.ways) == 1 for mark in marks)
    twice = Chart.parse("key: C\n|: Dm7 | G7 | C6 :|")
    (mark,) = tune_marks(twice)
    assert (mark.cadences, mark.bars, len(mark.ways)) == ((0, 1), "1-3, 4-6", 1)
