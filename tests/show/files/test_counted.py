"""Scores, charts and handouts that would take long are refused by counting, before they are read.

Each of these once took from two seconds to for ever. What holds them is a count of things, so the
tests look at what was counted and at what was never begun, not at a clock.
"""

import struct

import pytest

from theorykit.errors import TheoryError
from theorykit.handout.handout import Handout
from theorykit.lines.lead_sheet import LeadSheet
from theorykit.show.files import lead_sheet_of_bytes, open_line
from theorykit.show.files.lead_sheets import lead_sheet_xml
from theorykit.tunes.charts import Chart, chart_problems
from theorykit.tunes.charts.chart_rows import MOST_KEPT

NOTE = "<note><pitch><step>C</step><octave>5</octave></pitch><duration>1</duration></note>"
PART = '<score-part id="P1"><part-name>Ida</part-name></score-part>'
SYMBOL = "<harmony><root><root-step>D</root-step></root><kind>minor-seventh</kind></harmony>"
LINE = '<barline location="right"><repeat direction="backward"/></barline>'
WORDS = "<direction><direction-type><words>To Coda</words></direction-type></direction>"


SAID = " ".join(f'a{number}="1"' for number in range(300))


def first(beats="4", more=""):
    """The attributes of the first bar."""
    return (
        f"<attributes><divisions>2</divisions><key><fifths>0</fifths></key><time><beats>{beats}"
        f"</beats><beat-type>4</beat-type></time>{more}</attributes>"
    )


def score(*bars, parts="", listed=PART):
    """A score of one part, with others before it."""
    written = "".join(f'<measure number="{n}">{bar}</measure>' for n, bar in enumerate(bars, 1))
    return (
        f'<score-partwise version="4.0"><part-list>{listed}</part-list>{parts}'
        f'<part id="P1">{written}</part></score-partwise>'
    ).encode()


TOO_MANY = {
    "parts": (score(first() + NOTE * 8, parts='<part id="Q"/>' * 15_000), "15,001 parts"),
    "attributes": (score(first() + "<attributes/>" * 20_000 + NOTE * 8), "<attributes>"),
    "bars": (score(*["<forward/>"] * 20_000), "no part has a note"),
    "bars with notes": (score(first(), *[NOTE] * 2_000), "2,001 bars"),
    "symbols": (score(first() + SYMBOL * 20_000 + NOTE * 8), "20,000 <harmony>"),
    "directions": (score(first() + WORDS * 20_000 + NOTE * 8), "20,000 <direction>"),
    "bar lines": (score(first() + NOTE * 8 + LINE * 20_000), "20,000 <barline>"),
    "notes": (score(first() + NOTE * 20_000), "20,000 <note>"),
    "lyrics": (score(first() + NOTE.replace("</note>", "<lyric/>" * 30_000 + "</note>")), "lyric"),
    "things said of one note": (
        score(first() + NOTE.replace("<note>", f"<note {SAID}>")),
        "300 attributes",
    ),
}  # fmt: skip


@pytest.mark.parametrize("what", TOO_MANY)
def test_a_score_with_too_many_of_a_thing_is_refused_with_their_number(tmp_path, what):
    data, words = TOO_MANY[what]
    (tmp_path / "tune.xml").write_bytes(data)
    with pytest.raises(TheoryError) as refusal:
        open_line(tmp_path / "tune.xml")
    assert words in str(refusal.value)
    with pytest.raises(TheoryError):
        lead_sheet_of_bytes("tune.xml", data)


# Numbers that a reader of MusicXML may count up to, each of them once without end.
ODD = {
    "beats": score(first("99999") + NOTE * 8),
    "beats in a sum": score(first("+".join(["9" * 9] * 3)) + NOTE * 8),
    "beats of many digits": score(first("9" * 100_000) + NOTE * 8),
    "signs": score(first().replace("<fifths>0", "<fifths>99999999") + NOTE * 8),
    "staves": score(first(more="<staves>9999999</staves>") + NOTE * 8),
    "a transposition": score(
        first(more="<transpose><diatonic>99999</diatonic><chromatic>-5</chromatic></transpose>")
        + NOTE * 8
    ),
    "a length": score(first() + NOTE.replace(">1<", f">{'9' * 15}<") * 8),
    "an octave": score(first() + NOTE.replace("5", "99999999") * 8),
    "an accidental": score(first() + NOTE.replace("<octave>", "<alter>1e99</alter><octave>") * 8),
    "divisions": score(first().replace(">2<", f">{'9' * 15}<") + NOTE * 8),
    "a tuplet": score(
        first()
        + NOTE.replace(
            "</note>",
            "<time-modification><actual-notes>9999999</actual-notes><normal-notes>1</normal-notes>"
            "</time-modification></note>",
        )
        * 8
    ),
    "words": score(first() + WORDS.replace("To Coda", "To Coda " * 500_000) + NOTE * 8),
}


@pytest.mark.parametrize("what", ODD)
def test_a_score_with_an_odd_number_is_read_or_refused(tmp_path, what):
    (tmp_path / "tune.xml").write_bytes(ODD[what])
    try:
        found = open_line(tmp_path / "tune.xml")
    except TheoryError:
        return
    assert len(found.line.progression.bars) < 10
    assert found.line.notes


def test_a_time_that_no_bar_has_leaves_the_time_before():
    sheet = lead_sheet_of_bytes("tune.xml", score(first() + NOTE * 8, first("99999") + NOTE * 8))
    assert {str(bar.metre) for bar in sheet.chart.bars} == {"4/4"}


def part_with(symbols: int, more: str = "") -> str:
    """A measure of so many symbols, one after the other, and a note."""
    chord = "<harmony><root><root-step>G</root-step></root><kind>dominant</kind></harmony>"
    step = "<forward><duration>1</duration></forward>"
    back = f"<backup><duration>{symbols}</duration></backup>"
    whole = NOTE.replace("<duration>1<", "<duration>4000<")
    time = "<attributes><divisions>1000</divisions></attributes>"
    return f'<measure number="1">{time}{(chord + step) * symbols}{back}{whole}{more}</measure>'


def test_symbols_of_other_parts_are_compared_up_to_a_count_and_told(monkeypatch):
    from theorykit.show.files import score_parts

    asked, true = [], score_parts.symbol_of
    monkeypatch.setattr(score_parts, "symbol_of", lambda one: asked.append(one) or true(one))
    words = "<direction><direction-type><words>x</words></direction-type></direction>" * 8_001
    bodies = [part_with(2), part_with(2), part_with(3), part_with(2, words), part_with(4_000)]
    names = ["lead", "same", "other", "wordy", "long"]
    listed = "".join(f'<score-part id="{n}"><part-name>{n}</part-name></score-part>' for n in names)
    parts = "".join(f'<part id="{n}">{b}</part>' for n, b in zip(names, bodies, strict=True))
    text = f"<score-partwise><part-list>{listed}</part-list>{parts}</score-partwise>"
    told = lead_sheet_of_bytes("tune.xml", text.encode()).report
    left = [one for one in told if "chord symbols over" in one]
    assert left == [f"The chord symbols over {n!r} are left out." for n in names[2:]]
    assert len(asked) < 20


def test_the_longest_part_is_read_whole():
    """600 bars of eighths: all 4,800 notes, each on its own half beat."""
    eighths = "".join(NOTE.replace(">C<", f">{step}<") for step in "CDEFGABC")
    sheet = lead_sheet_of_bytes("tune.xml", score(first() + eighths, *[eighths] * 599))
    assert isinstance(sheet, LeadSheet)
    assert len(sheet.melody) == 4_800
    assert [float(note.start) for note in sheet.melody[-2:]] == [2399.0, 2399.5]
    assert len(sheet.chart.bars) == 600
    assert "<measure" in lead_sheet_xml(sheet.chart)


# -- charts ---------------------------------------------------------------------------------------


@pytest.mark.parametrize("row", ["|", "|:", ":|", "[A]", "| "])
def test_a_chart_of_many_lines_is_refused_unread(row):
    (problem,) = chart_problems(f"{row}\n" * 200_000)
    assert str(problem) == "line 10001, column 1: too many lines: 200,001 (want at most 10,000)"


def test_reading_stops_within_a_row_where_nobody_learns_anything_more(monkeypatch):
    asked = []
    monkeypatch.setattr("theorykit.tunes.charts.chart_cells._chord", counted(asked))
    found = chart_problems("".join(f"| X{number} " for number in range(20_000)))
    assert len(found) == MOST_KEPT
    assert len(asked) < 10 * MOST_KEPT


def counted(asked):
    """A reader of chords that refuses all of them, and counts."""

    def refused(text):
        asked.append(text)
        return TheoryError(f"not a chord: {text!r}")

    return refused


def test_an_honest_chart_of_many_bars_is_read():
    text = "\n".join(["| Dm7 | G7 | Cmaj7 | % |"] * 2_000)
    assert len(Chart.parse(text).bars) == 8_000


# -- handouts -------------------------------------------------------------------------------------

DEEP = {
    "names": "a." * 50_000 + "a=1",
    "headings": f"[{'a.' * 50_000}a]",
    "names in quotes": '"a".' * 20_000 + "a=1",
    "names with blanks": "a . " * 20_000 + "a = 1",
    "names in a table": f"x = {{{'a.' * 50_000}a = 1}}",
    "names after a text": f'title = """one\ntwo"""\n{"a." * 50_000}a = 1',
    "a long number": f"tempo = {'9' * 100_000}",
    "lists": f"x = {'[' * 100_000}",
}


@pytest.mark.parametrize("what", DEEP)
def test_a_handout_too_deep_to_read_is_refused(what):
    with pytest.raises(TheoryError, match=r"too (deep|long) to read"):
        Handout.parse(DEEP[what])


def test_dots_in_texts_and_remarks_are_nobodys_names():
    text = (
        'title = "a.b.c.d.e.f"  # see a.b.c.d.e\nnote = """x.y.z.q.w\na.b.c.d = 1"""\ntempo = 120\n'
    )
    assert Handout.parse(text).title == "a.b.c.d.e.f"


@pytest.mark.parametrize("sign", ['"""', "'''", '"', "'", "\\", '"""\\', "x", "1_", "#\n", "a ."])
def test_a_handout_of_one_sign_over_and_over_is_refused(sign):
    with pytest.raises(TheoryError):
        Handout.parse(sign * (400_000 // len(sign)))


def test_a_byte_order_mark_is_read_over(tmp_path):
    (tmp_path / "page.toml").write_text('\ufefftitle = "Thursday"\n', encoding="utf-8")
    assert Handout.read(tmp_path / "page.toml").title == "Thursday"
    assert Handout.parse('\ufefftitle = "Thursday"\n').title == "Thursday"


def test_empty_lines_are_not_read_again_and_again():
    """A handout of 20,000 empty lines once took four seconds, one of 400,000 half an hour."""
    lines = 400_000
    with pytest.raises(TheoryError, match=f"line {lines + 1}: a line that is no entry"):
        Handout.parse("\n" * lines + "x")


def test_halves_of_signs_are_refused_with_their_line():
    """They were read, and what was written of them could not be read again."""
    with pytest.raises(TheoryError, match="line 2: a sign that is no letter"):
        Handout.parse('title = "x"\nnote = "\ud800"\n')


# -- MIDI -----------------------------------------------------------------------------------------


def midi(events):
    """A file of one track."""
    track = events + b"\x00\xff\x2f\x00"
    head = b"MThd" + struct.pack(">IHHH", 6, 0, 1, 480) + b"MTrk" + struct.pack(">I", len(track))
    return head + track


def test_a_midi_file_of_too_many_chord_symbols_is_refused(tmp_path):
    symbols = b"".join(bytes([1, 0xFF, 1, 2, 65 + number % 7, 55]) for number in range(10_000))
    note = bytes([0, 0x90, 60, 64, 96, 0x80, 60, 0])
    (tmp_path / "tune.mid").write_bytes(midi(symbols + note))
    with pytest.raises(TheoryError, match="more than 4,000 chord symbols"):
        open_line(tmp_path / "tune.mid")


def test_a_midi_file_larger_than_a_tune_is_refused_unread(tmp_path):
    (tmp_path / "tune.mid").write_bytes(midi(b"\x00\xff\x01\x01C" * 40_000))
    with pytest.raises(TheoryError, match="at most 160,000"):
        open_line(tmp_path / "tune.mid")
