"""Segno, coda, fine, D.C. and D.S.: reading, printing, the order of play, and what cannot be."""

from __future__ import annotations

from itertools import product

import pytest
from hypothesis import given, settings, strategies as st
from sweeps import swept

from theorykit.errors import TheoryError
from theorykit.notes.key import Key
from theorykit.tunes.bars import (
    COMMON_TIME,
    JUMP_MARKS,
    ChartBar,
    Section,
    in_order,
    jump_mark,
    marks_of,
)
from theorykit.tunes.cadences import cadences
from theorykit.tunes.charts import Chart, chart_problems
from theorykit.tunes.progression import Bar
from theorykit.tunes.treatments import Treatment


def typed(text: str) -> Chart:
    """Read a chart in C and check that print gives it back."""
    chart = Chart.parse(f"key: C\n{text}")
    assert Chart.parse(str(chart)) == chart
    assert str(Chart.parse(str(chart))) == str(chart)
    return chart


def played(chart: Chart) -> str:
    """Say the chords as played."""
    return " ".join(str(one.chord) for one in chart.played)


# -- the order of play, written down by hand as players follow a page (common practice) ----------

ORDERS = [
    # plain D.C. and D.S., nothing else on the page: once more to the jump
    ("| C | D | E D.C. |", "C D E C D E"),
    ("| C | segno D | E D.S. |", "C D E D E"),
    # with a fine, with a coda: what the page has decides
    ("| C | D fine | E D.C. |", "C D E C D"),
    ("| C | segno D | E fine | F D.S. |", "C D E F D E"),
    ("| C to coda | D D.C. | coda E |", "C D C E"),
    ("| C | segno D | E to coda | F D.S. | coda G | A |", "C D E F D E G A"),
    # said in full
    ("| C | D fine | E | F D.C. al fine |", "C D E F C D"),
    ("| C | segno D fine | E | F D.S. al fine |", "C D E F D"),
    ("| C | D to coda | E | F D.C. al coda | coda G |", "C D E F C D G"),
    ("| C | segno D to coda | E D.S. al coda | coda F | G |", "C D E D F G"),
    # players leave at the jump itself, and come in where they left
    ("| C | D to coda D.C. al coda | coda E |", "C D C D E"),
    ("| C | segno D fine D.S. al fine |", "C D D"),
    # repeats: all of them at first, none after the jump
    ("|: C | D :| E fine | F D.C. al fine |", "C D C D E F C D E"),
    ("|: C | D :| x3 segno E | F to coda | G D.S. al coda | coda A |", "C D C D C D E F G E F A"),
    ("| C |: segno D | E fine :| F D.S. al fine |", "C D E D E F D E"),
    # a jump in a repeat is taken the last time
    ("|: C fine | D D.C. al fine :|", "C D C D C"),
    ("|: C fine | D :| x3 D.C. al fine", "C D C D C D C"),
    # endings: after the jump the last one
    ("|: C | 1. D :| 2. E fine | F D.C. al fine |", "C D C E F C E"),
    ("|: C | 1.2. D :| 3. E | F to coda | G D.C. al coda | coda A |", "C D C D C E F G C E F A"),
    ("|: C | 1. D :| 2. E D.C. |", "C D C E C E"),
    ("| C | segno D |: E | 1. F :| 2. G to coda | A D.S. al coda | coda B |",
     "C D E F E G A D E G B"),
    # a jump in the first ending: the second one comes on the way back
    ("|: C | 1. D D.C. :| 2. E |", "C D C E"),
    # the repeats of a coda are new, and are taken; a coda may have a fine
    ("| C to coda | D D.C. al coda | coda |: E | F :| G |", "C D C E F E F G"),
    ("| C to coda | D D.C. al coda | coda |: E | F fine :|", "C D C E F E F"),
    ("| C to coda | D D.C. al coda | coda |: E fine | F :|", "C D C E F E"),
    # a fine after the jump: played past it once, on the way
    ("| C | D D.C. al fine | E fine |", "C D C D E"),
    # sections: the one named Coda is the coda
    ("A: | C | D to coda |\nB: | E | F D.C. al coda |\nCoda: | G | A |", "C D E F C D G A"),
    ("[A]\nsegno C | D to coda | E | F\nD.S. al Coda\nCoda\nG | A", "C D E F C D G A"),
    # no jump: a section named Coda is played where it stands
    ("A: | C | D |\nCoda: | E |", "C D E"),
]  # fmt: skip


@pytest.mark.parametrize(("text", "expected"), ORDERS)
def test_the_order_of_play(text, expected):
    chart = typed(text)
    assert played(chart) == expected
    assert played(chart.unrolled) == expected
    assert not any(bar.marks for bar in chart.unrolled.bars)


@pytest.mark.parametrize(("text", "expected"), ORDERS)
def test_marks_stay_in_other_keys_under_treatments_and_with_other_bars(text, expected):
    chart = typed(text)
    moved = chart.transposed("Eb")
    assert [bar.marks for bar in moved.bars] == [bar.marks for bar in chart.bars]
    assert moved.played_bars == chart.played_bars
    assert moved.transposed("C") == chart
    assert chart.with_bars(chart.bars) == chart
    treatment = Treatment.proposed(chart)
    assert treatment.undone(treatment.applied(chart)) == chart
    assert treatment.applied(chart).played_bars == chart.played_bars
    assert len(chart.progression.bars) == len(expected.split())


def test_a_two_five_is_found_where_it_is_played():
    """By hand: G7 goes to Em7 at first, to the flat VI from the coda; Dm7 G7 comes home by D.C."""
    text = "| Cmaj7 | Dm7 | G7 to coda | Em7 | A7 | Dm7 G7 D.C. al coda | coda Abmaj7 | C6 |"
    assert [(c.bars, c.kind, str(c.key), c.deceptive) for c in cadences(typed(text))] == [
        ((2, 3), "ii-V", "C major", True),
        ((4, 5), "ii-V", "D minor", False),
        ((6, 7), "ii-V-I", "C major", False),
        ((8, 9), "ii-V", "C major", True),
    ]


# -- spellings -----------------------------------------------------------------------------------

SPELLINGS = {
    "segno": "segno|Segno|SEGNO|𝄋",
    "coda": "coda|Coda|𝄌|⊕",
    "to coda": "to coda|To Coda|TO CODA|to the coda|to 𝄌|to ⊕|(To Coda)",
    "fine": "fine|Fine|FINE|Fine.|(Fine)",
    "D.C.": "D.C.|DC|d.c.|D. C.|Da Capo|da capo|D.C",
    "D.C. al fine": "D.C. al Fine|DC al Fine|D.C.al Fine|Da Capo al Fine|d. c. al fine",
    "D.C. al coda": "D.C. al Coda|DC al coda|Da Capo al Coda|D.C. al 𝄌|D.C. to Coda",
    "D.S.": "D.S.|DS|d.s.|D. S.|Dal Segno|del segno|dal 𝄋",
    "D.S. al fine": "D.S. al Fine|DS al fine|Dal Segno al Fine",
    "D.S. al coda": "D.S. al Coda|DS al Coda|Dal Segno al Coda|D.S. alla Coda|d.s. al 𝄌",
}


def test_every_mark_has_its_spellings():
    assert set(SPELLINGS) == {mark.name for mark in JUMP_MARKS}
    for name, texts in SPELLINGS.items():
        for text in (*texts.split("|"), name, jump_mark(name).page):
            assert marks_of(text) == (name,), text


@pytest.mark.parametrize("text", ["C", "D C", "D S", "DC7", "Dsus4", "Fm7", "al", "finest", "D.",
                                  "D.C. al", "codas", "C fine", "to", "sego"])  # fmt: skip
def test_chords_and_other_words_are_no_marks(text):
    assert marks_of(text) == ()


def test_a_chord_beside_a_mark_stays_a_chord():
    chart = typed("| C fine | D C D.C. | ")
    assert [str(bar) for bar in chart.bars] == ["C", "D C"]
    assert typed("| F Fine | C D. C. |").bars[1].marks == ("D.C.",)


WAYS = {
    "as printed": "| C | segno F to coda | G D.S. al coda |\n| coda Am |",
    "capitals": "| C | SEGNO F TO CODA | G D.S. AL CODA | CODA Am |",
    "signs": "| C | 𝄋 F 𝄌 | G D.S. al 𝄌 | 𝄌 Am |",
    "signs of plain text": "| C | 𝄋 F ⊕ | G D.S. al ⊕ |\n⊕ Am",
    "after the bar lines": "| C |\nsegno\n| F | To Coda\n| G | D.S. al Coda\n| coda Am",
    "on lines of their own": "| C |\n𝄋\n| F |\nTo Coda\n| G |\nDal Segno al Coda\n𝄌\n| Am |",
    "before a last line": "| C |\n| segno |\n| F | To Coda ||\n| G |\nDS al Coda |\n| coda Am |]",
    "with a metre and double lines": "| C | segno 4/4 F | (To Coda)\n| G DS al Coda || coda Am ||",
    "% beside marks": "| C | segno F to coda | G D.S. al coda | coda Am |",
}  # fmt: skip


@pytest.mark.parametrize("way", WAYS)
def test_one_chart_in_many_hands(way):
    assert typed(WAYS[way]) == typed(WAYS["as printed"])


def test_a_section_named_coda_and_a_mark_say_the_same():
    named = typed("A: | C to coda | F D.C. al coda |\nCoda: | G |")
    marked = typed("A: | C to coda | F D.C. al coda |\nCoda: | coda G |")
    assert named == marked
    assert named.bars[2].marks == ("coda",)
    assert "coda G" not in str(named)
    other = typed("A: | C to coda | F D.C. al coda |\nCoda: | G |\nB: | Am |")
    assert played(other) == "C F C G Am"


def test_fine_and_coda_may_be_names_of_sections():
    chart = typed("A: | C | F |\n[Fine]\n| G |\nCoda\n| Am |")
    assert [section.name for section in chart.sections] == ["A", "Fine", "Coda"]
    assert [section.name for section in typed("Fine:\n| C |\nSegno:\n| G |").sections] == [
        "Fine", "Segno",
    ]  # fmt: skip
    assert [s.name for s in typed("| C | F fine | G D.C. al fine |\n").sections] == [""]


def test_bars_like_the_one_before_are_printed_short_unless_players_come_in_there():
    text = str(typed("| F | F | F to coda | F D.C. al coda | coda F | F |"))
    assert "| F      | % | % to coda | % D.C. al coda |" in text
    assert "| coda F | %" in text
    assert "| F | segno F fine | % D.S. al fine |" in str(
        typed("| F | segno F fine | F D.S. al fine |")
    )


def test_the_marks_of_a_bar_have_one_order():
    one = ChartBar(Bar.of(("C", 4)), COMMON_TIME, marks=("D.S.", "segno"))
    assert one.marks == ("segno", "D.S.")
    assert in_order(mark.name for mark in reversed(JUMP_MARKS)) == tuple(
        mark.name for mark in JUMP_MARKS
    )
    with pytest.raises(TheoryError, match="not a mark: 'dacapo'"):
        ChartBar(Bar.of(("C", 4)), COMMON_TIME, marks=("dacapo",))


# -- what cannot be ------------------------------------------------------------------------------

FAULTS = [
    ("| C | F D.S. |", 9, "D.S. without segno"),
    ("| C fine | F D.S. al fine |", 14, "without segno"),
    ("| C | F D.C. al fine |", 9, "D.C. al fine without fine"),
    ("| C | F D.C. al coda | coda G |", 9, "D.C. al coda without to coda"),
    ("| C to coda | F D.C. al coda |", 17, "D.C. al coda without a coda"),
    ("| C to coda | F D.C. |", 5, "to coda without a coda"),
    ("| C | F D.C. | coda G |", 16, "coda without to coda"),
    ("| C D.C. | F D.C. |", 14, "a second jump; bar 1 has one"),
    ("| C | F D.C. D.S. |", 14, "a second jump"),
    ("| C fine | F fine | G D.C. |", 14, "a second fine; bar 1 has one"),
    ("| segno C | segno F D.S. |", 13, "a second segno"),
    ("| C | F fine | G |", 9, "fine without a jump (want D.C. al fine or D.S. al fine"),
    ("| C | F to coda | coda G |", 9, "to coda without a jump"),
    ("| C | coda G |", 7, "coda without a jump"),
    ("| C | segno G |", 7, "segno without a jump (want D.S."),
    ("| segno C | G D.C. |", 3, "D.C. goes to the top"),
    ("| C to coda | coda G | F D.C. al coda |", 15, "the coda stands before the jump"),
    ("| C to coda | G D.C. al coda | Am | coda F |", 32, "never played"),
    ("| C | G fine | F D.C. al fine | Am |", 33, "never played"),
    ("| C | F D.C. | Am |", 16, "never played"),
    ("| C to coda | F D.C. al coda | coda G fine | Am |", 46, "never played"),
    ("| C to coda | segno F | G D.S. al coda | coda Am |", 5, "never meets this to coda"),
    ("| C fine | segno F | G D.S. al fine |", 5, "never meets this fine"),
    ("| C | segno F D.S. al coda | coda G | Am to coda |", 42, "never meets this to coda"),
    ("|: C | 1. F to coda :| 2. G | Am D.C. al coda | coda Em |", 13, "never meets this to coda"),
    ("|: C | 1. F fine :| 2. G | Am D.C. al fine |", 13, "never meets this fine"),
    ("| C fine | G to coda | F D.C. al fine | coda Am |", 14, "goes to no coda (want D.C. al coda"),
    ("| C fine | F to coda | G D.C. al coda | coda Am |", 5, "never meets this fine"),
    ("| C | F D.S. al fine | segno G fine |", 24, "cannot go to this segno"),
    ("|: C | 1. segno F :| 2. G D.S. |", 11, "cannot go to this segno"),
    ("| C to coda | F D.C. al coda |: G | coda Am :|", 37, "begins inside a repeat"),
    # marks that stand in the wrong place on the page
    ("| C segno | F D.S. |", 5, "segno after a chord (want segno at the head"),
    ("| C coda | F |", 5, "and to coda where players leave"),
    ("| fine C | F D.C. |", 8, "'C' after fine (want fine at the end of its bar)"),
    ("| C D.C. al | F |", 10, "'al' after D.C."),
    ("| C | fine | F D.C. |", 7, "fine without a chord"),
    ("| C | F | segno", 11, "segno after the last bar"),
    ("| C fine fine | F D.C. |", 10, "fine again in one bar"),
    ("| C to | F |", 5, "makes no mark"),
]  # fmt: skip


@pytest.mark.parametrize(("text", "column", "words"), FAULTS)
def test_every_fault_has_its_place_and_its_reason(text, column, words):
    found = chart_problems(f"key: C\n{text}")
    assert (found[0].line, found[0].column) == (2, column)
    assert words in found[0].message
    assert "(want " in found[0].message
    assert len(found) == 1


def test_the_place_is_that_of_the_mark_on_whichever_line_it_stands():
    found = chart_problems("key: C\n| C | F |\n  D.S. al Coda\n| G |")
    assert [(p.line, p.column) for p in found][:1] == [(3, 3)]


def test_a_chart_made_of_bars_says_its_faults_too():
    bars = tuple(
        ChartBar(Bar.of((name, 4)), COMMON_TIME, marks=marks)
        for name, marks in (("C", ()), ("F", ("D.S.",)))
    )
    with pytest.raises(TheoryError, match=r"bar 2: D\.S\. without segno"):
        Chart((Section("A", bars),), Key.parse("C"))


# -- any chart -----------------------------------------------------------------------------------

CELLS = st.tuples(
    st.sampled_from(["", "", "", "", "segno ", "coda "]),
    st.sampled_from(["C", "F", "Dm7 G7", "%", "Am7 / / D7"]),
    st.sampled_from(["", "", "", "", "", " fine", " to coda", *(f" {m.name}" for m in JUMP_MARKS)]),
)
SHAPES = ["| {0} | {1} |", "|: {0} | {1} :|", "|: {0} | 1. {1} :| 2. {2} |", "|: {0} :| x3"]
ROWS = st.lists(
    st.tuples(
        st.sampled_from(SHAPES),
        st.lists(CELLS.map("".join), min_size=3, max_size=3),
        st.sampled_from(["", "", "[Coda]\n", "[B]\n"]),
    ),
    min_size=1,
    max_size=4,
)
# Four bars with a jump at their end, and a coda: the order with every repeat, and the order with
# each repeat once and its last ending, both written down by hand.
SHAPES_PLAYED = {
    "| {} | {} | {} | {} |": ([0, 1, 2, 3], [0, 1, 2, 3]),
    "|: {} | {} :| {} | {} |": ([0, 1, 0, 1, 2, 3], [0, 1, 2, 3]),
    "{} |: {} | {} :| x3 {}": ([0, 1, 2, 1, 2, 1, 2, 3], [0, 1, 2, 3]),
    "|: {} | 1. {} :| 2. {} | {} |": ([0, 1, 0, 2, 3], [0, 2, 3]),
    "|: {} | 1.2. {} :| 3. {} | {} |": ([0, 1, 0, 1, 0, 2, 3], [0, 2, 3]),
    "|: {} | {} | {} | {} :|": ([0, 1, 2, 3, 0, 1, 2, 3], [0, 1, 2, 3]),
}
CODAS = {
    "|: coda F | Bb :| F |": [4, 5, 4, 5, 6],
    "| coda F |": [4],
    "[Coda] F | F": [4, 5],
    "| coda F |: F | 1. C :| 2. G |": [4, 5, 6, 5, 7],
}


def check(text: str) -> bool:
    """Check a chart that can be read: every bar is played, in its bounds, and print is read."""
    if chart_problems(text):
        with pytest.raises(TheoryError):
            Chart.parse(text)
        return False
    chart = Chart.parse(text)
    assert set(chart.played_bars) == set(range(len(chart.bars)))
    assert Chart.parse(str(chart)) == chart
    assert str(Chart.parse(str(chart))) == str(chart)
    return True


@settings(max_examples=300)
@given(ROWS)
def test_any_marks_are_followed_or_refused(rows):
    check(
        "key: C\nC | C\n" + "\n".join(f"{name}{shape.format(*bars)}" for shape, bars, name in rows)
    )


BACK = [mark.name for mark in JUMP_MARKS if mark.back]
PLACES = [*product(SHAPES_PLAYED, BACK)]


@pytest.mark.parametrize(
    ("shape", "jump"),
    swept(PLACES, lambda case: (list(SHAPES_PLAYED).index(case[0]) + BACK.index(case[1])) % 3 == 0),
)
def test_every_place_of_every_mark_is_followed_or_refused(shape, jump):
    first, once = SHAPES_PLAYED[shape]
    until = jump_mark(jump).until
    segnos = range(4) if jump_mark(jump).back == "segno" else [None]
    for segno, out, coda in product(segnos, range(4) if until else [3], CODAS):
        bars = ["C", "Dm7 G7", "%", "Am7"]
        if segno is not None:
            bars[segno] = f"segno {bars[segno]}"
        bars[out] += {"fine": " fine", "coda": " to coda", "": ""}[until]
        bars[3] += f" {jump}"
        text = f"key: C\n{shape.format(*bars)}\n{coda if until == 'coda' else ''}"
        way = once[once.index(segno or 0) :] if (segno or 0) in once else []
        assert check(text) == (out in way), text
        if out in way:
            expected = first + way[: way.index(out) + 1] + CODAS[coda] * (until == "coda")
            assert list(Chart.parse(text).played_bars) == expected, text
