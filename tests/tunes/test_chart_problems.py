"""What keeps a text from being a chart: every problem with its place, and nothing slow."""

from __future__ import annotations

import random

import pytest
from hypothesis import given, strategies as st
from together import together

from theorykit.errors import TheoryError
from theorykit.tunes.charts import Chart, chart_problems


@together(
    ("text", "line", "column", "words"),
    [
        ("", 1, 1, "no bars"),
        ("title: a tune without music", 1, 1, "no bars"),
        ("| Dm7 | H7 | C |", 1, 9, "'H7'"),
        ("key: C\n\n| Dm7 | G8 |", 3, 9, "'G8'"),
        ("key: H\n| C |", 1, 6, "not a key"),
        ("metre: 7/8\n| C |", 1, 8, "2/4, 3/4, 4/4"),
        ("tempo: fast\n| C |", 1, 8, "20 to 400 beats a minute"),
        ("colour: blue\n| C |", 1, 1, "want title, by, key, metre, tempo, feel"),
        ("key: C\nkey: D\n| C |", 2, 1, "line 1 has it"),
        ("| C |\nkey: D", 2, 1, "above all bars"),
        ("| C | | F |", 1, 7, "an empty bar"),
        ("| % | C |", 1, 3, "no bar stands before it"),
        ("| C % |", 1, 5, "alone between two bar lines"),
        ("| / / C / |", 1, 3, "none stands before it"),
        ("| C / F |", 1, 3, "make 3 in a bar of 4/4 (want 4"),
        ("| C |\n| Bbm7 Eb7 Abmaj7 Db7 C7 | F |", 2, 3, "5 chords in a bar of 4/4"),
        (
            "| C |\n| Bbm7 Eb7 Abmaj7 Db7 C7 | F |",
            2,
            3,
            "want at most 4, as many as come out alike, or a / after",
        ),
        ("metre: 3/4\n| C D E F | F |", 2, 3, "want at most 3"),
        ("metre: 6/8\n| C D E F | F |", 2, 3, "chords and slashes 6 or 12 in all"),
        ("| C | 3/4 C D E F |", 1, 11, "4 chords in a bar of 3/4"),
        ("| C | 3/4 % |", 1, 11, "not in 3/4"),
        ("| C C C C C C C C C C C C C C C C C |", 1, 3, "want at most 16"),
        ("Dm7 G7 C F Bb", 1, 1, "without a bar line"),
        ("|: C | F |", 1, 4, "never closes"),
        ("|: C |: F :|", 1, 9, "inside a repeat"),
        ("|: C | 1. F | 2. G :|", 1, 18, "not closed"),
        ("|: C | 1. F :| 3. G |", 1, 11, "want each pass once"),
        ("| C | 7/8 F |", 1, 7, "not a metre"),
        ("| Dm7 4/4 | G7 |", 1, 7, "'4/4' is a metre (want it at the head of a bar"),
        ("| Dm7 | 4/4 | G7 |", 1, 9, "'4/4' is a metre, not a bar"),
        ("| Dm7 | G7 | 3/4", 1, 14, "'3/4' is a metre, not a bar"),
        ("| C | x3 F |", 1, 7, "no repeat closes"),
        ("|: C :| x1", 1, 9, "want x2 to x9"),
        (":| C |", 1, 1, "before any bar"),
        ("| C : F |", 1, 5, "stands alone"),
        ("| C [B] F |", 1, 5, "inside a bar"),
        ("| C |\n[B]", 2, 1, "has no bars"),
        ("| C | D.C. | F |", 1, 7, "at the end of the bar before"),
        ("| C | , |", 1, 7, "no chord"),
        ("| C(b9 |", 1, 3, "bracket"),
        ("[A]\n| C |\n[B\n| F |", 3, 1, "not the name of a section: '[B' (want '[B]')"),
        ("| C |\n Bridge]\n| F |", 2, 1, "section: 'Bridge]' (want '[Bridge]')"),
        ("| F |\n(A2)\n| C |", 2, 1, "not the name of a section: '(A2)' (want '[A2]')"),
        ("title: x\ntempo 132\n| C |", 2, 1, "no colon in 'tempo 132' (want 'tempo: 132')"),
        ("title: x\nKey Db major\n| C |", 2, 1, "(want 'Key: Db major')"),
    ],
)
def test_the_place_and_the_reason(text, line, column, words):
    found = chart_problems(text)
    assert [(p.line, p.column) for p in found][:1] == [(line, column)]
    assert words in found[0].message
    with pytest.raises(TheoryError, match=f"line {line}, column {column}"):
        Chart.parse(text)


def test_all_problems_come_at_once_in_the_order_of_the_page():
    text = "key: Q\nmetre: 4/4\n\n| Dm7 | G99 | C | | F |\n| Xm | C / / |\n"
    places = [(p.line, p.column) for p in chart_problems(text)]
    assert places == [(1, 6), (4, 9), (4, 19), (5, 3), (5, 8)]
    with pytest.raises(TheoryError) as refusal:
        Chart.parse(text)
    assert str(refusal.value).count("line ") == 5


def test_a_message_does_not_drown_the_reader():
    text = "| Q " * 5000
    assert len(chart_problems(text)) == 100
    with pytest.raises(TheoryError) as refusal:
        Chart.parse(text)
    assert str(refusal.value).endswith("others")
    assert len(str(refusal.value).splitlines()) < 20


def test_a_chart_that_can_be_read_has_no_problem():
    assert chart_problems("| C |") == ()


HUNDRED_KB = 100_000
WORDS = (
    "| || |: :| 1. 2. % / // Dm7 G7 Cmaj7 C 3/4 4/4 [A] x3 N.C. G7(b9) (Am7 key: title: \n "
    "segno coda fine to D.C. D.S. al [Coda]".split(" ")
)


def drawn_texts():
    draw = random.Random(7)
    signs = "|:%/ \n\tABCDEFGabmdijsu#♭°Δø()[],.1234579x-+N.C\r\0"
    yield from (sign * HUNDRED_KB for sign in "|: \n/(A1.[%,\t\ufeff\0")
    for piece in (
        "|C",
        "|: C :|",
        "|: C :| x9",
        "|: C ",
        "[A]| C |",
        "title: x\n",
        "A:",
        "3/4 ",
        "fine ",
        "segno ",
        "|segno C",
        "|C fine",
        "|C to coda D.S. al coda",
    ):
        yield (piece * HUNDRED_KB)[:HUNDRED_KB]
    yield "C7" + "b9" * 50_000
    yield ("a" * 200 + " ") * 500
    yield (":" + " " * 50) * 2000
    yield "title: " + "x" * HUNDRED_KB
    yield "".join(draw.choice(signs) for _ in range(HUNDRED_KB))
    yield "".join(chr(draw.randrange(1, 0x2FFF)) for _ in range(HUNDRED_KB))
    yield " ".join(draw.choice(WORDS) for _ in range(HUNDRED_KB // 4))
    yield " | ".join(draw.choice(("Dm7", "G7", "Cmaj7", "F#m7b5")) for _ in range(15_000))
    yield " ".join(f"C{draw.choice('7m69')}/{draw.choice('CDEFG')}b{n}" for n in range(9000))


LONG_TEXTS = tuple(drawn_texts())


def too_long(text: str) -> bool:
    """Tell whether a long text is one of those that are left to the proof."""
    return LONG_TEXTS.index(text) % 6 != 0


@pytest.mark.parametrize(
    "text",
    [
        pytest.param(text, id=ascii(text[:12]), marks=[pytest.mark.proof] * too_long(text))
        for text in LONG_TEXTS
    ],
)
def test_a_hundred_kilobytes_are_read_or_refused(text):
    problems = chart_problems(text)
    assert problems == () or str(problems[0]).startswith("line ")


@given(st.text(max_size=300) | st.lists(st.sampled_from(WORDS), max_size=60).map(" ".join))
def test_any_text_reads_back_or_is_refused(text):
    try:
        chart = Chart.parse(text)
    except TheoryError:
        assert chart_problems(text)
    else:
        assert chart_problems(text) == ()
        assert Chart.parse(str(chart)) == chart
        assert str(Chart.parse(str(chart))) == str(chart)


@pytest.mark.parametrize(
    "text",
    [
        "title: a\x07b\n| C |",
        "by: \x1b\n| C |",
        "title: \ud800\n| C |",
        "\x00\nGm\n[B] B",
        "[A\x00]\n| C |",
    ],
)
def test_signs_that_no_file_can_hold_are_refused_with_their_place(text):
    """They were read, and the MusicXML that was written of them could not be read again."""
    problems = chart_problems(text)
    assert problems
    assert str(problems[0]).startswith("line ")
    with pytest.raises(TheoryError):
        Chart.parse(text)


def test_a_metre_alone_on_the_first_line_is_the_metre_and_no_title():
    chart = Chart.parse("3/4\n| Dm7 | G7 | C6 |")
    assert (str(chart.metre), chart.title) == ("3/4", "")
