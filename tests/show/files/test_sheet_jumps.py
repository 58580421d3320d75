"""Segno, coda, fine and jumps of lead sheets: out and in, and against music21's own expander."""

from __future__ import annotations

import pytest
import verovio
from house import ROOT
from music21 import bar, chord, converter, expressions, harmony, repeat, spanner, stream
from music21.musicxml.m21ToXml import GeneralObjectExporter
from schema import complaints
from together import together

from theorykit.lines.lead_sheet import LeadSheet
from theorykit.show.files import lead_sheet_of_bytes, lead_sheet_xml
from theorykit.tunes.charts import Chart


def played(chart: Chart) -> str:
    """Say the chords as played."""
    return " ".join(str(one.chord) for one in chart.played)


def expanded(text: str) -> str:
    """Say the chord symbols of a file in the order in which music21 plays them."""
    part = converter.parseData(text, format="musicxml").parts[0]
    return " ".join(symbol.figure for symbol in part.expandRepeats()[harmony.ChordSymbol])


def page(text: str) -> str:
    """Write a typed chart as MusicXML, hold it against the schema, and see that it comes back."""
    chart = Chart.parse(f"key: C\n{text}")
    written = lead_sheet_xml(chart)
    assert complaints(written) == []
    found = lead_sheet_of_bytes("page.musicxml", written.encode())
    assert found.chart == chart
    assert [line for line in found.report if "signature" not in line] == []
    return written


# -- our pages, played by music21 (repeat.Expander) ----------------------------------------------

SAME = [
    ("| C | D | E D.C. |", "C D E C D E"),
    ("| C | segno D | E D.S. |", "C D E D E"),
    ("| C | D fine | E | F D.C. al fine |", "C D E F C D"),
    ("| C | segno D fine | E | F D.S. al fine |", "C D E F D"),
    ("| C | D to coda | E | F D.C. al coda | coda G |", "C D E F C D G"),
    ("| C | segno D to coda | E D.S. al coda | coda F | G |", "C D E D F G"),
    ("|: C | D :| E fine | F D.C. al fine |", "C D C D E F C D E"),
    ("| C |: segno D | E fine :| F D.S. al fine |", "C D E D E F D E"),
    ("|: C fine | D :| x3 D.C. al fine", "C D C D C D C"),
    ("|: C fine | D D.C. al fine :|", "C D C D C"),
    ("|: C | D :| x3 segno E | F to coda | G D.S. al coda | coda A |", "C D C D C D E F G E F A"),
    ("| C to coda | D D.C. al coda | coda |: E | F :| G |", "C D C E F E F G"),
    ("A: | C | D to coda |\nB: | E | F D.C. al coda |\nCoda: | G |", "C D E F C D G"),
]


@together(("text", "expected"), SAME)
def test_music21_plays_our_pages_as_we_do(text, expected):
    written = page(text)
    assert played(Chart.parse(f"key: C\n{text}")) == expected
    assert expanded(written) == expected


def test_music21_plays_the_tune_of_the_workshop_with_a_coda_as_we_do():
    file = ROOT / "workbook" / "tunes" / "the_keys_are_still_upstairs.txt"
    chart = Chart.parse(file.read_text(encoding="utf-8"))
    part = converter.parseData(lead_sheet_xml(chart), format="musicxml").parts[0].expandRepeats()
    symbols = part[harmony.ChordSymbol]
    assert len(part.getElementsByClass(stream.Measure)) == len(chart.played_bars) == 32
    roots = [symbol.root().pitchClass for symbol in symbols]
    assert roots == [one.chord.root.semitone % 12 for one in chart.played]


# Where music21 (10.5) plays otherwise, and why; a player does as we do (common practice).
OTHERWISE = [
    # A plain D.C. or D.S. is played to the end of the page, past a fine.
    ("| C | D fine | E D.C. |", "C D E C D", "C D E C D E"),
    ("| C | segno D | E fine | F D.S. |", "C D E F D E", "C D E F D E F"),
    # In a page with a jump it cuts the measures out of the part and loses the brackets over them
    # on the way, so that it takes every ending on every pass.
    ("|: C | 1. D :| 2. E fine | F D.C. al fine |", "C D C E F C E", "C D C D E F C D E"),
    (
        "| C | segno D |: E | 1. F :| 2. G to coda | A D.S. al coda | coda B |",
        "C D E F E G A D E G B",
        "C D E F E F G A D E F G B",
    ),
]


@pytest.mark.parametrize(("text", "ours", "theirs"), OTHERWISE)
def test_where_music21_plays_otherwise(text, ours, theirs):
    written = page(text)
    assert played(Chart.parse(f"key: C\n{text}")) == ours
    assert expanded(written) == theirs


def test_music21_refuses_a_plain_jump_on_a_page_with_a_coda():
    written = page("| C to coda | D D.C. | coda E |")
    with pytest.raises(repeat.ExpanderException):
        expanded(written)


# -- pages that music21 writes, played by both ---------------------------------------------------


def measures(*roots: str) -> stream.Part:
    """A part with a chord symbol and a whole note in each measure."""
    part = stream.Part()
    for number, root in enumerate(roots, 1):
        one = stream.Measure(number=number)
        one.append([harmony.ChordSymbol(root), chord.Chord(["C4"], quarterLength=4)])
        part.append(one)
    return part


def both(part: stream.Part) -> tuple[LeadSheet, str]:
    """Read a part as our lead sheet, and let music21 play it."""
    text = GeneralObjectExporter(part).parse().decode()
    theirs = " ".join(symbol.figure for symbol in part.expandRepeats()[harmony.ChordSymbol])
    return lead_sheet_of_bytes("theirs.musicxml", text.encode()), theirs


def test_da_capo_al_fine_as_music21_writes_it():
    part = measures("C", "D", "E", "F")
    part[1].append(repeat.Fine())
    part[3].append(repeat.DaCapoAlFine())
    ours, theirs = both(part)
    assert played(ours.chart) == theirs == "C D E F C D"


def test_da_capo_al_fine_with_a_repeat_as_music21_writes_it():
    part = measures("C", "D", "E", "F")
    part[0].leftBarline, part[1].rightBarline = bar.Repeat("start"), bar.Repeat("end")
    part[2].append(repeat.Fine())
    part[3].append(repeat.DaCapoAlFine())
    ours, theirs = both(part)
    assert played(ours.chart) == theirs == "C D C D E F C D E"


def test_dal_segno_al_coda_as_music21_writes_it():
    part = measures("C", "D", "E", "F", "G", "A")
    part[1].insert(0, repeat.Segno())
    part[2].append(repeat.Coda())
    part[3].append(repeat.DalSegnoAlCoda())
    part[4].insert(0, repeat.Coda())
    ours, theirs = both(part)
    assert played(ours.chart) == theirs == "C D E F D E G A"


def test_dal_segno_al_coda_in_words_as_music21_writes_it():
    part = measures("C", "D", "E", "F", "G", "A")
    part[1].insert(0, repeat.Segno())
    for place, words in ((2, "To Coda"), (3, "D.S. al Coda")):
        part[place].append(expressions.TextExpression(words))
    part[4].insert(0, repeat.Coda())
    ours, _ = both(part)
    assert played(ours.chart) == "C D E F D E G A"


def test_repeats_in_the_coda_and_endings_as_music21_writes_them():
    part = measures("C", "D", "E", "F", "G", "A")
    one = list(part.getElementsByClass(stream.Measure))
    one[0].leftBarline, one[1].rightBarline = bar.Repeat("start"), bar.Repeat("end")
    part.insert(0, spanner.RepeatBracket(one[1], number=1))
    part.insert(0, spanner.RepeatBracket(one[2], number=2))
    one[2].append(repeat.Coda())
    one[3].append(repeat.DaCapoAlCoda())
    one[4].insert(0, repeat.Coda())
    one[4].leftBarline, one[5].rightBarline = bar.Repeat("start"), bar.Repeat("end")
    ours, _ = both(part)
    assert played(ours.chart) == "C D C E F C E G A G A"  # music21 loses the endings, see above


# -- what other programs write, in small files by hand -------------------------------------------

START = (
    "<attributes><divisions>1</divisions><key><fifths>0</fifths></key>"
    "<time><beats>4</beats><beat-type>4</beat-type></time></attributes>"
)
NOTE = "<note><pitch><step>C</step><octave>5</octave></pitch><duration>{}</duration></note>"


def direction(inside: str = "", sound: str = "") -> str:
    """A direction with its kinds, and what it sounds like."""
    kinds = "".join(f"<direction-type>{kind}</direction-type>" for kind in inside.split("+"))
    return f"<direction>{kinds}{f'<sound {sound}/>' if sound else ''}</direction>"


def read(*bars: str) -> LeadSheet:
    """Read a file of one part; ``*`` stands for the chord symbol and the note of a bar.

    The chords are C7, D7 and so on.
    """
    made = []
    for number, (content, root) in enumerate(zip(bars, "CDEFGAB", strict=False), 1):
        symbol = (
            f"<harmony><root><root-step>{root}</root-step></root><kind>dominant</kind></harmony>"
        )
        inside = content.replace("*", symbol + NOTE.format(4)).replace("~", NOTE.format(4))
        start = START if number == 1 else ""
        made.append(f'<measure number="{number}">{start}{inside}</measure>')
    part = '<score-part id="P1"><part-name>Melody</part-name></score-part>'
    body = f'<part-list>{part}</part-list><part id="P1">{"".join(made)}</part>'
    text = f'<score-partwise version="4.0">{body}</score-partwise>'
    assert complaints(text) == []
    return lead_sheet_of_bytes("made.musicxml", text.encode())


SEGNO, CODA = direction("<segno/>"), direction("<coda/>")


def words(text: str, sound: str = "") -> str:
    """A direction of words."""
    return direction(f"<words>{text}</words>", sound)


FILES = {
    "sounds alone": (
        ["*", direction("<segno/>", 'segno="a"') + "*", "*" + '<sound tocoda="b"/>',
         "*" + '<sound dalsegno="a"/>', '<sound coda="b"/>' + "*"],
        "C7 D7 E7 F7 D7 E7 G7",
    ),
    "words alone": (["*", "*" + words("Fine"), "*" + words("D.C. al Fine")], "C7 D7 E7 C7 D7"),
    "words say which kind, the sound only where to": (
        ["*", "*" + words("Fine", 'fine="yes"'), "*" + words("Da Capo al Fine", 'dacapo="yes"')],
        "C7 D7 E7 C7 D7",
    ),
    "a sound that says no": (
        ["*", "*" + words("Fine"), "*" + words("D.C. al Fine", 'dacapo="yes" fine="no"')],
        "C7 D7 E7 C7 D7",
    ),
    "words at the head of the bar that they end": (
        ["*", words("Fine") + "*", words("D.C. al Fine") + "*"],
        "C7 D7 E7 C7 D7",
    ),
    "two coda signs, the first of them to leave": (
        ["*", SEGNO + "*" + CODA, "*" + words("D.S. al Coda"), CODA + "*"],
        "C7 D7 E7 D7 F7",
    ),
    "to and a sign": (
        ["*", "*" + direction("<words>To</words>+<coda/>"), "*" + words("D.C. al Coda"),
         CODA + words("Coda") + "*"],
        "C7 D7 E7 C7 D7 F7",
    ),
    "words to leave and a sign beside them": (
        ["*" + words("To Coda", 'tocoda="coda"') + CODA, "*" + words("D.C. al Coda"),
         direction("<coda/>", 'coda="coda"') + "*"],
        "C7 D7 C7 E7",
    ),
    "jump with the sign in it": (
        ["*" + words("To Coda"), "*" + direction("<words>D.C. al</words>+<coda/>"),
         direction("<coda/>", 'coda="c"') + "*"],
        "C7 D7 C7 E7",
    ),
    "signs at the end of the bar before": (
        ["*" + SEGNO, "*" + words("To Coda"), "*" + words("D.S. al Coda") + direction("<coda/>",
         'coda="c"'), "*"],
        "C7 D7 E7 D7 F7",
    ),
    "signs in the bar lines": (
        ["*", '<barline location="left"><segno/></barline>*', "*" + words("Fine"),
         "*" + words("D.S. al Fine")],
        "C7 D7 E7 F7 D7 E7",
    ),
    "a section named Coda": (
        ["*" + words("To Coda"), "*" + words("D.C. al Coda"),
         direction("<rehearsal>Coda</rehearsal>") + "*"],
        "C7 D7 C7 E7",
    ),
}  # fmt: skip


@together("name", FILES)
def test_what_other_programs_write_is_followed(name):
    bars, expected = FILES[name]
    found = read(*bars)
    assert played(found.chart) == expected
    assert [line for line in found.report if "signature" not in line] == []


def test_the_coda_goes_on_with_the_chord_of_the_bar_where_players_leave():
    found = read("*", "*" + words("To Coda"), "*" + words("D.C. al Coda"), CODA + "~")
    assert played(found.chart) == "C7 D7 E7 C7 D7 D7"


def test_a_segno_over_the_pickup_is_that_of_the_first_bar():
    pickup = f"{SEGNO}{NOTE.format(1)}"
    found = read(pickup, "*", "*" + words("D.S."))
    assert played(found.chart) == "D7 E7 D7 E7"
    assert found.chart.bars[0].marks == ("segno",)


@pytest.mark.parametrize(
    ("bars", "told", "why"),
    [
        (["*", "*" + words("D.S. al Fine")], "D.S. al Fine (bar 2)", "without segno"),
        ([SEGNO + "*", "*"], "Segno (bar 1)", "segno without a jump"),
        (["*" + words("Fine"), "*" + words("D.C. al Fine"), "*" + words("D.C.")],
         "Fine (bar 1), D.C. al Fine (bar 2), D.C. (bar 3)", "a second jump"),
        (["*" + words("Fine"), "*" + words("D.C. al Fine"), "*"], "Fine (bar 1)", "never played"),
    ],
)  # fmt: skip
def test_jumps_that_cannot_be_followed_are_told_and_the_chart_goes_straight_on(bars, told, why):
    found = read(*bars)
    assert len(found.chart.played_bars) == len(bars)
    assert not any(bar.marks for bar in found.chart.bars)
    said = [line for line in found.report if line.startswith("These jumps are not followed")]
    assert len(said) == 1
    assert told in said[0]
    assert why in said[0]


def test_words_that_are_no_jump_are_told_as_before():
    found = read("*" + words("fine, but slower"), "*" + words("ritardando al fine"))
    assert (
        "These words are left out: 'fine, but slower' (bar 1), 'ritardando al fine' (bar 2)."
        in (found.report)
    )


def test_the_melody_is_played_along_the_jumps():
    chart = Chart.parse("key: C\n| C | F fine | G7 D.C. al fine |")
    over = LeadSheet(chart).written.progression
    notes = type(LeadSheet(chart).written).parse("whole C5 | whole D5 | whole E5", over).notes
    sheet = LeadSheet(chart, notes)
    assert [str(n.pitch) for n in sheet.played.notes] == ["C5", "D5", "E5", "C5", "D5"]
    assert lead_sheet_of_bytes("tune.musicxml", lead_sheet_xml(sheet).encode()) == sheet


def test_verovio_engraves_the_signs_and_the_words():
    toolkit = verovio.toolkit()
    text = page("| C | segno D | E to coda | F D.S. al coda | coda G |")
    assert toolkit.loadData(text)
    svg = toolkit.renderToSVG(1)
    assert svg.count('class="measure"') == 5
    assert all(said in svg for said in ("To Coda", "D.S. al Coda"))
