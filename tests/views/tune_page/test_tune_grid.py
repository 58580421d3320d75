"""The grid of a tune: rows, columns, words and brackets where a hand would put them."""

from __future__ import annotations

import pytest
from house import ROOT
from hypothesis import given, strategies as st

from theorykit.tunes.charts import Chart
from theorykit.tunes.treatments import Treatment
from theorykit.views.tune_page import BARS_A_ROW, tune_grid
from theorykit.views.tune_page.tune_bars import grid_bars

TUNES = sorted((ROOT / "workbook" / "tunes").glob("*.txt"))


def placed(text: str) -> str:
    """Row, column and words of each bar, in short."""
    bars = grid_bars(Chart.parse(text))
    return " ".join(f"{b.row}{b.column}:{','.join(w.text for w in b.words)}" for b in bars)


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        # Four bars a row; the same bar again in a row is a sign.
        ("| C | % | F | G | Am |", "00:C 01:% 02:F 03:G 10:Am"),
        # At the start of a row the chord is written again.
        ("| C | F | G | Am | % |", "00:C 01:F 02:G 03:Am 10:Am"),
        # A section begins a row, and so does a repeat and what follows it.
        ("A: | C | F |\nB: | G |", "00:C 01:F 10:G"),
        ("| C |: F | G :| Am |", "00:C 10:F 11:G 20:Am"),
        # The second ending stands under the first.
        ("|: C | F | 1. G | C :| 2. D | E |", "00:C 01:F 02:G 03:C 12:D 13:E"),
        ("|: C | F | G | Am | 1. Dm :| 2. Em |", "00:C 01:F 02:G 03:Am 10:Dm 20:Em"),
        # So does a coda; where players come in, the chord is written again.
        ("| C to coda | C | F D.C. | coda F | F |", "00:C 01:% 02:F 10:F 11:%"),
        ("| C | segno C | F fine | F D.S. |", "00:C 01:C 02:F 03:%"),
        # Beats that are not shared evenly have their slashes.
        ("| Dm7 / / G7 | C |", "00:Dm7,/,/,G7 01:C"),
    ],
)
def test_bars_stand_where_a_copyist_puts_them(text, expected):
    assert placed(text) == expected


def test_bars_bear_the_numbers_as_played():
    bars = grid_bars(Chart.parse("|: C | F :| x5 G |"))
    assert [bar.numbers for bar in bars] == ["1, 3, 5, ...", "2, 4, 6, ...", "11"]


def test_metre_and_sections_are_told_where_they_begin():
    bars = grid_bars(Chart.parse("metre: 4/4\nA: | C | 3/4 F | G |\nBridge: | 4/4 C |"))
    assert [bar.metre for bar in bars] == ["4/4", "3/4", "", "4/4"]
    assert [bar.section for bar in bars] == ["A", "", "", "Bridge"]


def test_segno_coda_fine_and_jumps_are_words_at_the_head_and_the_end_of_their_bars():
    chart = Chart.parse("A: | C | segno F to coda | G D.S. al coda |\n[Out] | coda C |\n")
    bars = grid_bars(chart)
    assert [bar.heads for bar in bars] == [(), ("Segno",), (), ("Coda",)]
    assert [bar.ends for bar in bars] == [(), ("To Coda",), ("D.S. al Coda",), ()]
    assert [bar.numbers for bar in bars] == ["1", "2, 4", "3", "5"]
    alt = tune_grid(chart).alt
    assert "A: C | Segno, F, To Coda | G, D.S. al Coda. Out: Coda, C." in alt


def test_a_section_named_coda_says_it_once():
    bars = grid_bars(Chart.parse("A: | C to coda | F D.C. al coda |\nCoda: | G |"))
    assert (bars[2].section, bars[2].heads) == ("Coda", ())


def test_words_stand_on_their_beats():
    bars = grid_bars(Chart.of("C", "Dm7 G7", "C Am F", "Em7 / / A7"))
    shares = [[float(word.at) for word in bar.words] for bar in bars]
    assert shares == [[0, 0.5], [0, 0.5, 0.75], [0, 0.25, 0.5, 0.75]]


def test_what_a_treatment_changed_is_told():
    chart = Chart.of("Eb", "Fm7", "Bb7", "Ebmaj7")
    view = tune_grid(chart, Treatment.proposed(chart))
    words = [(word.text, word.changed) for bar in view.bars for word in bar.words]
    assert words == [
        ("Fm7", False),
        ("Fm7", True),
        ("B♭13♭9", True),
        ("E♭maj7", False),
    ]


def test_a_bracket_is_cut_at_the_end_of_a_row_and_labelled_once():
    view = tune_grid(Chart.of("C", "C6", "F6", "C6", "Dm7", "G7", "C6"))
    pieces = [
        (b.row, float(b.start), float(b.end), b.label, b.opens, b.closes, b.lands)
        for b in view.brackets
    ]
    assert pieces == [
        (0, 3, 4, "1  ii-V-I C, long", True, False, False),
        (1, 0, 1, "1", False, True, True),
    ]


def test_the_way_from_v_to_a_later_i_is_a_piece_of_its_own():
    view = tune_grid(Chart.of("C", "Dm7", "G7", "Db7", "C6"))
    mine = [(float(b.start), float(b.end), b.leads, b.lands) for b in view.brackets if b.mark == 1]
    assert mine == [(0, 2, False, False), (2, 3, True, True)]


@pytest.mark.parametrize("file", TUNES, ids=lambda file: file.stem)
def test_the_picture_in_words_names_every_chord_and_every_cadence(file):
    chart = Chart.parse(file.read_text(encoding="utf-8"))
    view = tune_grid(chart)
    assert chart.title in view.alt
    assert all(placed.chord.pretty in view.alt for placed in chart.played)
    assert all(f"{mark.number}, bars {mark.bars}: {mark.name}." in view.alt for mark in view.marks)


BARS = st.lists(
    st.sampled_from(["C", "F", "G7", "Dm7 G7", "%", "Am7 / / D7"]), min_size=1, max_size=9
)
SECTIONS = st.lists(
    st.tuples(BARS, st.sampled_from(["plain", "repeat", "endings"])), min_size=1, max_size=4
)


@given(SECTIONS)
def test_no_two_bars_share_a_place_and_rows_follow_one_another(sections):
    lines = []
    for number, (bars, kind) in enumerate(sections):
        first = ["C" if bars[0] == "%" else bars[0], *bars[1:]]
        text = {
            "plain": f"| {' | '.join(first)} |",
            "repeat": f"|: {' | '.join(first)} :|",
            "endings": f"|: {' | '.join(first)} | 1. G7 :| 2. C |",
        }[kind]
        lines.append(f"{'ABCD'[number]}: {text}")
    bars = grid_bars(Chart.parse("\n".join(lines)))
    places = [(bar.row, bar.column) for bar in bars]
    assert len(set(places)) == len(places)
    assert places == sorted(places)
    assert all(bar.column < BARS_A_ROW for bar in bars)
    rows = sorted({bar.row for bar in bars})
    assert rows == list(range(len(rows)))
