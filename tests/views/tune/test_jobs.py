"""The jobs of a tune as rows: for every reader, in every key, in words that can be read."""

from __future__ import annotations

import re

import pytest
from house import ROOT
from job_charts import job_cases

from theorykit.notes.key import KEYS
from theorykit.notes.reader import READERS, reader
from theorykit.tunes.cadences import functions
from theorykit.tunes.charts import Chart
from theorykit.views.tune import JOB_HEADS, job_caption, job_rows

TUNES = [Chart.parse(file.read_text("utf-8")) for file in (ROOT / "workbook/tunes").glob("*.txt")]
CHARTS = [*TUNES, *(case.chart for case in job_cases())]
DOUBLE = re.compile("♭♭|♯♯|𝄫|𝄪")


def test_rows_by_hand_for_an_alto():
    # E flat alto: written a major sixth above what sounds (common practice).
    chart = Chart.of("Db", "Dbmaj7", "%", "Ebm7", "D7", "Db6 / / Gb7")
    assert [row.cells[:3] for row in job_rows(chart, "E flat")] == [
        ("1-2", "B♭maj7", "tonic"),
        ("3", "Cm7", "ii of B7"),
        ("4", "B7", "tritone V of B♭6"),
        ("5", "B♭6", "tonic"),
        ("5, beat 4", "E♭7", "at rest"),
    ]


@pytest.mark.parametrize("who", READERS, ids=lambda who: who.name)
def test_every_reader_has_the_same_jobs_in_the_names_of_the_page(who):
    for chart in CHARTS:
        page = chart.written_for(who)
        rows, told = job_rows(chart, who), functions(chart)
        assert {row.chord for row in rows} == {one.chord.pretty for one in page.played}
        assert [one.role for one in functions(page)] == [one.role for one in told]
        for row in rows:
            assert row.words.startswith((row.chord, "No chord"))
            assert row.job
            assert not DOUBLE.search(row.job + row.words)
            assert len(row.cells) == len(JOB_HEADS)


@pytest.mark.parametrize("key", KEYS, ids=str)
def test_no_key_brings_a_double_accidental(key):
    for chart in CHARTS:
        if chart.key.mode == key.mode:
            for row in job_rows(chart.transposed(key)):
                assert not DOUBLE.search(row.job + row.words), (str(key), row)


def test_the_caption_says_for_whom():
    assert job_caption(READERS[0]).endswith("at concert pitch")
    assert job_caption(reader("B flat")).endswith("as written for B flat")


def test_a_repeat_is_told_each_time_it_is_played():
    chart = Chart.parse("key: C\n|: Dm7 G7 | C6 :|")
    assert [row.bars for row in job_rows(chart)] == ["1", "1, beat 3", "2", "3", "3, beat 3", "4"]


@pytest.mark.parametrize(
    ("metre", "bar", "places"),
    [  # common practice: three eighths to a beat of 6/8 and 12/8, two to one of 4/4 and 3/4
        ("6/8", "F6 / / D7 / /", ["1", "1, beat 2"]),
        (
            "6/8",
            "F6 D7 Gm7",
            ["1", "1, the third eighth of beat 1", "1, the second eighth of beat 2"],
        ),
        ("12/8", "F6 D7 Gm7 C7", ["1", "1, beat 2", "1, beat 3", "1, beat 4"]),
        ("12/8", "F6 / / / / / / / / / / C7", ["1", "1, the third eighth of beat 4"]),
        ("4/4", "F6 / / / / / / C7", ["1", "1, the and of 4"]),
        ("3/4", "F6 / / / / C7", ["1", "1, the and of 3"]),
    ],
)
def test_a_place_in_a_bar_is_said_by_the_beats_of_its_metre(metre, bar, places):
    rows = job_rows(Chart.parse(f"key: F\nmetre: {metre}\n| {bar} | F6 |"), "E flat")
    assert [row.bars for row in rows][: len(places)] == places
