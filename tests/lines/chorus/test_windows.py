"""Where phrases stand in a chorus, against bars and beats counted by hand."""

from __future__ import annotations

from itertools import pairwise

import pytest
from house import ROOT
from together import together

from theorykit.lines.chorus.windows import windows_of
from theorykit.tunes.charts import Chart
from theorykit.tunes.treatments import Treatment

TUNES = sorted((ROOT / "workbook" / "tunes").glob("*.txt"))


def told(chart: Chart, choruses: int = 1) -> list[str]:
    """Each window as start, landing, end in beats, and its key."""
    windows = windows_of(chart, Treatment.proposed(chart), choruses)
    return [f"{w.start} {w.landing} {w.end} {w.key}" for w in windows]


@pytest.mark.parametrize(
    ("bars", "expected"),
    [
        # A long ii-V lands a bar after its V begins; the I counts for a bar, however long it is.
        ("Dm7 | G7 | C6 | C6", ["0 8 12 C major"]),
        # A split V is still the V bar.
        ("Dm7 | G7sus4 G7 | C6", ["0 8 12 C major"]),
        # Two pairs side by side: the second begins where the first one lands.
        ("Em7 A7 | Dm7 G7 | C6", ["0 4 6 D minor", "4 8 12 C major"]),
        # Dominants in a chain have windows too.
        ("A7 | D7 | G7 | C6", ["0 4 8 D major", "4 8 12 G major", "8 12 16 C major"]),
        # The V at the end lands on the top, a bar later than the chart is long.
        ("C6 | F6 | Dm7 | G7", ["8 16 20 C major"]),
        # The ii at the end of the form belongs to the V at its top, from the second chorus on.
        ("G7 | C6 | F6 | Dm7", ["0 4 8 C major"]),
        # A phrase begins after a silence.
        ("Dm7 | N.C. | G7 | C6", ["8 12 16 C major"]),
        # Nothing lands on silence.
        ("Dm7 | G7 | N.C. | C6", []),
    ],
)
def test_windows_stand_over_ii_and_v(bars, expected):
    assert told(Chart.of("C", *bars.split(" | "))) == expected


def test_a_beat_in_six_eight_is_a_dotted_quarter_in_the_window():
    assert told(Chart.of("C", "Dm7 G7", "C6", metre="6/8")) == ["0 3 6 C major"]


def test_a_second_chorus_has_the_same_windows_later():
    chart = Chart.of("C", "Dm7", "G7", "C6", "A7")
    once, twice = told(chart), told(chart, 2)
    assert twice[: len(once)] == once
    assert len(twice) == 2 * len(once)
    assert twice[len(once)] == "16 24 28 C major"


def test_a_ii_at_the_end_of_the_form_leads_to_the_v_at_its_top():
    chart = Chart.of("C", "G7", "C6", "F6", "Dm7")
    assert told(chart, 2) == ["0 4 8 C major", "12 20 24 C major"]


def test_repeats_are_followed_as_played():
    chart = Chart.parse("key: C\n|: Dm7 G7 | C6 :|")
    assert told(chart) == ["0 4 8 C major", "8 12 16 C major"]


@together("file", TUNES, ids=lambda file: file.stem)
@together("choruses", [1, 3])
def test_windows_never_overlap_and_carry_the_colour_that_was_set(file, choruses):
    chart = Chart.parse(file.read_text(encoding="utf-8"))
    treatment = Treatment.proposed(chart, level="second", variety=3)
    windows = windows_of(chart, treatment, choruses)
    for before, after in pairwise(windows):
        assert before.landing <= after.start
    for window in windows:
        assert window.start < window.landing < window.end
        here = chart.played[window.v]
        choice = next(
            c for c in treatment.choices if (c.bar, c.beat) == (here.written + 1, here.beat)
        )
        assert window.colour == choice.colour != ""
