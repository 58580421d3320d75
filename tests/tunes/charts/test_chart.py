"""Charts: reading, printing, playing and moving them."""

from __future__ import annotations

from fractions import Fraction

import pytest
from together import together

from theorykit.errors import TheoryError
from theorykit.handout.blocks.block import progression_of
from theorykit.notes.key import Key
from theorykit.notes.reader import READERS
from theorykit.tunes.bars import COMMON_TIME, METRES, ChartBar, Metre, Section
from theorykit.tunes.charts import Chart
from theorykit.tunes.progression import Bar
from theorykit.views.line import typed_over

TYPED = """\
title: Ladder Against the Wall
by: the Thursday workshop
key: F major
metre: 4/4
tempo: 144
feel: swing

[A]
|: Fmaj7         | Gm7 / / C7 | Fmaj7      | Cm7 F7     |
|  1. Bbmaj7     | %          | Gm7        | C7        :|
|  2. Bbmaj7     | Gm7 C7     | F6         | N.C.       |

[Bridge]
|: 3/4 Am7b5     | D7b9/F#    | Gm7 / C7  :| x3
|  4/4 Bb6/9 / / C | F6        |
"""


def names(chart):
    return [str(played.chord) for played in chart.played]


def test_what_print_gives_is_read_back_and_printed_alike():
    chart = Chart.parse(TYPED)
    assert Chart.parse(str(chart)) == chart
    assert str(Chart.parse(str(chart))) == str(chart)


def test_bar_lines_stand_one_under_the_other():
    rows = [row for row in str(Chart.parse(TYPED)).splitlines() if row.startswith("|")]
    places = [[i for i, sign in enumerate(row) if sign == "|"] for row in rows]
    longest = max(places, key=len)
    assert len(rows) == 5
    assert all(place == longest[: len(place)] for place in places)


def test_head_lines_are_kept():
    chart = Chart.parse(TYPED)
    assert (chart.title, chart.by) == ("Ladder Against the Wall", "the Thursday workshop")
    assert (str(chart.key), chart.tempo, chart.feel) == ("F major", 144, "swing")
    assert [section.name for section in chart.sections] == ["A", "Bridge"]


def test_repeats_and_endings_are_played_out():
    chart = Chart.parse(TYPED)
    first, second, bridge = range(8), (0, 1, 2, 3, 8, 9, 10, 11), (12, 13, 14)
    assert chart.played_bars == (*first, *second, *bridge * 3, 15, 16)
    assert [bar.opens for bar in chart.unrolled.bars] == [False] * 27
    assert names(chart.unrolled) == names(chart)


def test_each_played_chord_knows_its_place():
    played = Chart.parse(TYPED).played
    c7 = played[2]
    assert (str(c7.chord), c7.bar, c7.written) == ("C7", 1, 1)
    assert (c7.beat, c7.start, c7.beats) == (4, 7, 1)
    again = [p for p in played if str(p.chord) == "Am7b5"]
    assert [p.bar for p in again] == [16, 19, 22]
    assert [p.written for p in again] == [12] * 3
    assert all(p.beats == 3 for p in again)


# How people type and paste the same six bars.
SAME = Chart.of("C", "Dm7 G7", "Cmaj7", "Cmaj7", "Am7 / / D7", "Dm7 G7", "C6")
WAYS = {
    "as printed": "key: C\n| Dm7 G7 | Cmaj7 | % | Am7 / / D7 | Dm7 G7 | C6 |",
    "no bar line at the ends": "key: C\nDm7 G7 | Cmaj7 | % | Am7 / / D7 | Dm7 G7 | C6",
    "tabs and Windows line ends": "key:\tC\r\n|\tDm7\tG7 | Cmaj7 | % |\r\n\r\n"
    "| Am7 / / D7 | Dm7 G7 | C6 ||\r\n",
    "slashes for every beat": "key: C\n| Dm7 / G7 / | Cmaj7 / / / | / / / / | Am7 / / D7 |"
    "Dm7 / G7 / | C6 / / / |",
    "double and final bar lines": "key: C\n|| Dm7 G7 | Cmaj7 || % | Am7 / / D7 || Dm7 G7 | C6 |]",
    "other signs": "key: C\n│ D–7 G7 │ C△7 │ 𝄎 │ A-7 / / D7 │ Dmi7 G7 │ C6 ‖",
    "chords in pieces": "key: C\n| D m7 G 7 | C maj7 | % | Am7 / / D7 | Dm7, G7 | (C6) |",
    "slashes that touch": "key: C\n|Dm7/ G7/|Cmaj7|%|Am7// D7|Dm7 G7|C6|",
    "a row a bar": "key: C\nDm7 G7\nCmaj7\n%\nAm7 / / D7\nDm7 G7\nC6",
    "commas for bar lines": "key: C\nDm7 G7, Cmaj7, %, Am7 / / D7\nDm7 G7, C6,",
    "commas without spaces": "key: C\nDm7 G7,Cmaj7,%,Am7 / / D7,Dm7 G7,C6",
    "common time": "key: C major\ntime: C\n| Dm7 G7 | Cmaj7 | % | Am7 / / D7 | Dm7 G7 | C6 |",
    "a byte order mark and empty lines": "\ufeffkey: C\n\n\n| Dm7 G7 | Cmaj7 | % |\n \n"
    "| Am7 / / D7 | Dm7 G7 | C6 |\n\n",
    "no key at all": "| Dm7 G7 | Cmaj7 | % | Am7 / / D7 | Dm7 G7 | C6 |",
}


@together("way", WAYS)
def test_one_chart_in_many_hands(way):
    assert Chart.parse(WAYS[way]) == SAME


@pytest.mark.parametrize(
    ("typed", "bars"),
    [
        ("Ebm7, Ab7, Dbmaj7", ["Ebm7", "Ab7", "Dbmaj7"]),
        ("Cm7b5,F7(b9,b13),Bbm6", ["Cm7b5", "F7b9b13", "Bbm6"]),
        ("G#m7 C#7, N.C., F#maj7", ["G#m7 C#7", "N.C.", "F#maj7"]),
        ("| Dm7, G7 | C6 |", ["Dm7 G7", "C6"]),  # a bar line says where bars are
        ("| Dm7, G7 |", ["Dm7 G7"]),
        ("F7b9,b13", ["F7b9b13"]),
    ],
)
def test_changes_with_commas_have_a_bar_for_each_wherever_they_are_typed(typed, bars):
    for over in (progression_of("", "long", typed), typed_over(typed, Key.parse("C"))):
        assert [str(bar) for bar in over] == bars
    assert [str(bar) for bar in Chart.parse(f"key: C\n{typed}").bars] == bars


def test_a_bar_for_the_eye():
    bar = Chart.of("Eb", "B♭7(♭9)/A♭ / / Eb6").bars[0]
    assert (str(bar), bar.pretty) == ("Bb7b9/Ab / / Eb6", "B♭7♭9/A♭ / / E♭6")


def test_flats_and_titles_as_people_type_them():
    chart = Chart.parse("Pigeon on the Awning\n\nkey: B♭\nB♭maj7 | E♭7(♯11) | B♭6/9")
    assert chart.title == "Pigeon on the Awning"
    assert names(chart) == ["Bbmaj7", "Eb7#11", "Bb6/9"]


@pytest.mark.parametrize(
    ("line", "name"),
    [
        ("A", "A"),
        ("[B]", "B"),
        ("B2", "B2"),
        ("A'", "A'"),
        ("C:", "C"),
        ("Bridge", "Bridge"),
        ("intro:", "intro"),
        ("Part II", "II"),
        ("[Second time only]", "Second time only"),
        ("after the solos:", "after the solos"),
    ],
)
def test_names_of_sections(line, name):
    chart = Chart.parse(f"key: C\n{line}\n| Dm7 | G7 |")
    assert [section.name for section in chart.sections] == [name]


def test_a_section_may_begin_in_a_row():
    chart = Chart.parse("key: C\nA: | Dm7 | G7 || [B] C6 | F6 |")
    assert [(s.name, [str(b) for b in s.bars]) for s in chart.sections] == [
        ("A", ["Dm7", "G7"]),
        ("B", ["C6", "F6"]),
    ]


def test_a_lone_letter_with_bar_lines_is_a_chord():
    assert names(Chart.parse("key: D\nA | D |")) == ["A", "D"]


@pytest.mark.parametrize("metre", METRES, ids=str)
def test_chords_share_a_bar_evenly_where_they_can(metre):
    """Beyond a chord a beat only those that come out alike: nobody reads five in 4/4 alike."""
    for count in range(1, metre.grids[-1] + 1):
        if count > metre.beats and next(g for g in metre.grids if g >= count) % count:
            with pytest.raises(TheoryError, match=f"{count} chords in a bar of {metre}, and how"):
                Chart.of("C", " ".join(["C"] * count), metre=metre)
            continue
        bar = Chart.of("C", " ".join(["C"] * count), metre=metre).bars[0]
        lengths = bar.content.lengths
        assert sum(lengths) == metre.beats
        assert lengths == tuple(sorted(lengths, reverse=True))
        if metre.beats % count == 0:
            assert set(lengths) == {Fraction(metre.beats, count)}


def test_a_bar_of_five_chords_keeps_its_slashes():
    """The same bar with its lengths written out, read and printed again."""
    chart = Chart.of("C", "Bbm7 / Eb7 / Abmaj7 / Db7 C7")
    assert "Bbm7 / Eb7 / Abmaj7 / Db7 C7" in str(chart)
    assert Chart.parse(str(chart)) == chart


@pytest.mark.parametrize(
    ("metre", "bar", "beats"),
    [
        ("4/4", "C F G", "2 1 1"),
        ("3/4", "C F", "2 1"),
        ("5/4", "C F", "3 2"),
        ("6/4", "C / / F / /", "3 3"),
        ("6/8", "C F", "1 1"),
        ("6/8", "C / F / / /", "2/3 4/3"),
        ("12/8", "C / / F", "3 1"),
        ("4/4", "C / / / / / / F", "7/2 1/2"),
        ("2/4", "C F", "1 1"),
    ],
)
def test_beats_of_the_chords_of_a_bar(metre, bar, beats):
    content = Chart.of("C", bar, metre=metre).bars[0].content
    assert " ".join(map(str, content.lengths)) == beats


def test_a_progression_counts_in_quarter_notes():
    chart = Chart.parse("key: C\nmetre: 12/8\n| Am7 D7 | 3/4 Dm7 | G7 / C |")
    lengths = [bar.lengths for bar in chart.progression.bars]
    assert lengths == [(3, 3), (3,), (2, 1)]
    assert chart.progression.key == Key.parse("C")


# -- repeats -----------------------------------------------------------------------------------


@together(
    ("text", "played"),
    [
        ("| C | D :| E |", "C D C D E"),
        ("|: C :|: D :|", "C C D D"),
        ("|: C :| x4 D |", "C C C C D"),
        ("C | |: D :| |: E :|", "C D D E E"),
        ("|: C | 1. D :| 2. E | F |", "C D C E F"),
        ("|: C | 1. D :| 2. E :| F |", "C D C E F"),
        ("|: C | 1.2. D :| 3. E |", "C D C D C E"),
        ("|: C | 1-3. D :| 4. E | F", "C D C D C D C E F"),
        ("|: C | 1. D | E :| F |", "C D E C F"),
        ("[A]\n| C :|\n[B]\n| D | E :|", "C C D E D E"),
        ("[A]\n|: C |\n[B]\n| D :|", "C D C D"),
        ("| C |\n1. | D :|\n2. | E |", "C D C E"),
        ("𝄆 C 𝄇 D", "C C D"),
    ],
)
def test_the_order_of_play(text, played):
    chart = Chart.parse(f"key: C\n{text}")
    assert names(chart) == played.split()
    assert names(Chart.parse(str(chart))) == played.split()


# -- refusals ----------------------------------------------------------------------------------


def bar_of(*timed, **marks):
    return ChartBar(Bar.of(*timed), COMMON_TIME, **marks)


@together(
    "make",
    [
        lambda: Chart((), Key.parse("C")),
        lambda: Chart((Section("A", (bar_of(("C", 4)),)),), "C"),
        lambda: Chart((Section("", (bar_of(("C", 4)),)),) * 2, Key.parse("C")),
        lambda: Chart((Section("A", (bar_of(("C", 4), opens=True),)),), Key.parse("C")),
        lambda: Chart((Section("A", (bar_of(("C", 4)),)),), Key.parse("C"), tempo=1000),
        lambda: Chart((Section("A", (bar_of(("C", 4)),)),), Key.parse("C"), title="x" * 10_000),
        lambda: Section("A", ()),
        lambda: Section("A|B", (bar_of(("C", 4)),)),
        lambda: Section(" A", (bar_of(("C", 4)),)),
        lambda: bar_of(("C", 3)),
        lambda: bar_of(("C", Fraction(1, 3)), ("F", Fraction(11, 3))),
        lambda: bar_of(("C", 4), closes=1),
        lambda: bar_of(("C", 4), ending=(0,)),
        lambda: Metre(7, 16),
        lambda: Chart.parse(3),
        lambda: Chart.parse("x" * 1_000_001),
        lambda: Chart.of("C", "C").transposed("A minor"),
    ],
)
def test_what_is_no_chart_is_refused(make):
    with pytest.raises(TheoryError):
        make()


# -- other keys, other readers -----------------------------------------------------------------


def test_a_chart_in_another_key_is_spelled_for_it():
    chart = Chart.of("C", "Dm7b5 G7b9", "Cmaj7 A7/C#", "Ab7 Db7", "C6")
    assert names(chart.transposed("Gb")) == (
        "Abm7b5 Db7b9 Gbmaj7 Eb7/G D7 G7 Gb6".split()  # D7, not E double flat 7
    )
    assert names(chart.transposed("F#"))[:2] == ["G#m7b5", "C#7b9"]


@pytest.mark.parametrize("who", READERS, ids=lambda one: one.name)
def test_every_reader_gets_the_key_on_the_page(who):
    chart = Chart.parse(TYPED)
    page = chart.written_for(who)
    assert page.key == who.written_key(chart.key)
    assert page.played_bars == chart.played_bars
    steps = who.semitones % 12
    for here, there in zip(chart.played, page.played, strict=True):
        if not here.chord.is_silent:
            assert there.chord.root.semitone == (here.chord.root.semitone + steps) % 12
            assert there.chord.kind == here.chord.kind


def test_the_trumpet_reads_a_tune_in_b_flat_in_c():
    # A B flat instrument reads a whole step above what sounds (common practice).
    assert names(Chart.of("Bb", "Cm7 F7", "Bb6").written_for("B flat")) == ["Dm7", "G7", "C6"]


def test_a_root_on_the_leading_note_of_g_sharp_minor_is_written_plain():
    # Its leading note is F double sharp, which is no root of a chord (common practice).
    chart = Chart.of("C minor", "Bm7b5", "E7").transposed("G# minor")
    assert [str(p.chord) for p in chart.played] == ["Gm7b5", "C7"]
