"""Lead sheets in and out: bar for bar and note for note, and what cannot be kept is told."""

from __future__ import annotations

import re
import zipfile
from contextlib import suppress
from fractions import Fraction
from pathlib import Path
from xml.etree import ElementTree

import pytest
import verovio
from house import ROOT
from hypothesis import HealthCheck, given, settings, strategies as st
from music21 import bar as m21bar, converter, corpus, harmony, spanner
from outside import as_music21
from schema import complaints
from together import together

from theorykit.errors import TheoryError
from theorykit.lines.lead_sheet import LeadSheet
from theorykit.lines.text import Line, TimedNote
from theorykit.notes.note import Pitch
from theorykit.notes.reader import READERS, reader
from theorykit.show.files import (
    lead_sheet_of_bytes,
    lead_sheet_xml,
    open_lead_sheet,
    save_lead_sheet,
)
from theorykit.tunes.charts import Chart

TUNES = sorted((ROOT / "workbook" / "tunes").glob("*.txt"))
CORPUS = sorted(path for path in corpus.getPaths() if "leadSheet" in str(path))


def there_and_back(sheet: LeadSheet | Chart) -> LeadSheet:
    """Write a lead sheet, check the file against the schema, read it."""
    text = lead_sheet_xml(sheet)
    assert complaints(text) == []
    return lead_sheet_of_bytes("sheet.musicxml", text.encode())


# The two lead sheets that music21 carries in its corpus, read by music21 itself.


@pytest.mark.parametrize("path", CORPUS, ids=lambda path: Path(path).stem)
def test_the_lead_sheets_of_music21_are_read_without_loss(path):
    ours = open_lead_sheet(path)
    theirs = converter.parse(path).parts[0]
    measures = list(theirs.getElementsByClass("Measure"))
    assert len(ours.chart.bars) == len(measures)
    for mine, measure in zip(ours.chart.bars, measures, strict=True):
        named = [symbol.figure for symbol in measure[harmony.ChordSymbol]]
        # A bar of ours that goes on with the chord before has no symbol in the file.
        new = [as_music21(str(chord)) for chord in mine.chords if not chord.is_silent]
        assert [name for name in named if name != "N.C."] == new[-len(named) :] if named else True
    assert {str(chord) for bar in ours.chart.bars for chord in bar.chords} - {"N.C."} == {
        symbol.figure.replace("-", "b") for symbol in theirs[harmony.ChordSymbol]
    }
    notes = [
        n for n in theirs.stripTies().recurse().notes if not isinstance(n, harmony.ChordSymbol)
    ]
    assert [note.pitch.midi for note in ours.melody] == [n.pitch.midi for n in notes]
    assert [note.beats for note in ours.melody] == [Fraction(n.quarterLength) for n in notes]
    assert ours.chart.metre.beats == 4
    assert not [line for line in ours.report if "left out" in line or "filled" in line]


@pytest.mark.parametrize("path", CORPUS, ids=lambda path: Path(path).stem)
def test_their_repeats_endings_and_words_are_kept(path):
    ours = open_lead_sheet(path)
    theirs = converter.parse(path)
    brackets = theirs.recurse().getElementsByClass(spanner.RepeatBracket) or theirs.spannerBundle
    endings = sorted(b.number for b in brackets if isinstance(b, spanner.RepeatBracket))
    mine = [str(n) for bar in ours.chart.bars for n in bar.ending]
    assert mine == [str(number) for number in endings]
    signs = [b.direction for b in theirs.recurse().getElementsByClass(m21bar.Repeat)]
    assert signs.count("start") == sum(bar.opens for bar in ours.chart.bars)
    assert signs.count("end") == sum(bool(bar.closes) for bar in ours.chart.bars)
    sung = [n for n in theirs.parts[0].stripTies().recurse().notes if n.lyrics]
    assert sum(bool(words) for words in ours.words) == len(sung)
    first = next(words for words in ours.words if words)
    assert first[0].rstrip("-") == sung[0].lyrics[0].text


@pytest.mark.parametrize("path", CORPUS, ids=lambda path: Path(path).stem)
def test_they_come_back_the_same_out_of_our_own_file(path):
    ours = open_lead_sheet(path)
    again = there_and_back(ours)
    assert again == ours


# Our own tunes and charts.


@pytest.mark.parametrize("file", TUNES, ids=lambda file: file.stem)
def test_the_tunes_of_the_workshop_come_back_the_same(file):
    chart = Chart.parse(file.read_text(encoding="utf-8"))
    found = there_and_back(chart)
    assert (found.chart, found.report, found.melody) == (chart, (), ())


CHORDS = ("Dm7", "G7b9", "Cmaj7", "F#m7b5", "B7alt", "Ebm6/Gb", "N.C.", "A13", "Bb7sus4", "Dbdim7")
ROWS = st.lists(st.sampled_from(CHORDS), min_size=1, max_size=3)
METRES = st.sampled_from(("2/4", "3/4", "4/4", "5/4", "6/4", "6/8", "12/8"))
SHAPES = ("| {a} | {b} |", "|: {a} | {b} :|", "|: {a} | 1. {b} :| 2. {a} |", "|: {a} :| x3 {b} |")
ENDS = (
    "",
    "[Out] | C fine D.C. |",
    "[Out] | segno C | F fine | G7 D.S. al fine |",
    "[Out] | segno C to coda | F D.S. al coda |\n[Coda] |: G7 :| x3 C |",
    "[Out] | C to coda | F D.C. al coda |\n[Tag] | coda G7 | C fine |",
)


def in_metre(row, metre):
    """Chords of a bar as text: three in two beats say that the first is held for one of them.

    In 6/8 three are alike, in 2/4 they are not.
    """
    first, *others = row
    return " ".join((first, "/", *others) if (len(row), metre) == (3, "2/4") else row)


@settings(max_examples=60, suppress_health_check=[HealthCheck.too_slow])
@given(
    METRES,
    st.lists(st.tuples(ROWS, ROWS, st.sampled_from(SHAPES)), min_size=1, max_size=3),
    st.data(),
)
def test_any_chart_comes_back_the_same(metre, sections, data):
    lines = [
        f"key: {data.draw(st.sampled_from(('F', 'Bb minor', 'E', 'C# minor')))}",
        f"metre: {metre}",
    ]
    if data.draw(st.booleans()):
        lines += ["title: Milk & <Tea>", "by: Ida", "tempo: 132", "feel: gently, not too even"]
    for number, (first, second, shape) in enumerate(sections):
        row = shape.format(a=in_metre(first, metre), b=in_metre(second, metre))
        lines.append(f"{'ABC'[number]}: {row}")
    lines.append(data.draw(st.sampled_from(ENDS)))
    chart = Chart.parse("\n".join(lines))
    found = there_and_back(chart)
    assert found.chart == chart
    assert [line for line in found.report if "signature" not in line] == []


def sheet() -> LeadSheet:
    """A lead sheet of our own with everything in it."""
    chart = Chart.parse(
        "title: Wet Gloves\nby: Ida\nkey: C\ntempo: 96\nfeel: bossa\n\nA: |: Dm7 / / A7 | G7 | "
        "1. C6 :| 2. Cmaj7 |\n"
    )
    over = LeadSheet(chart).written.progression
    text = "pickup 8th D5 C#5 | dotted half D5 quarter rest | triplet 8th F5 E5 D5 half B4 rest"
    notes = Line.parse(text.replace("half B4 rest", "half B4 quarter rest"), over).notes
    words = (("wet", "dry"), ("gloves",), ("by-",), ("the",), ("door-",), ("step",), ())
    return LeadSheet(chart, notes, words[: len(notes)])


def test_melody_pickup_triplets_words_and_chart_come_back_together():
    found = there_and_back(sheet())
    assert found == sheet()
    assert found.report == ()


@pytest.mark.parametrize("who", READERS, ids=lambda one: one.name)
def test_a_page_for_another_instrument_sounds_the_same(who):
    text = lead_sheet_xml(sheet(), reader=who)
    assert complaints(text) == []
    found = lead_sheet_of_bytes("sheet.musicxml", text.encode())
    semitones = {
        note.pitch.midi - mine.pitch.midi
        for note, mine in zip(found.melody, sheet().melody, strict=True)
    }
    assert semitones == ({-12} if who.clef == "bass" else {0})  # a page set lower sounds there
    assert found.chart == sheet().chart


def test_music21_reads_what_we_write():
    score = converter.parseData(lead_sheet_xml(sheet()), format="musicxml")
    part = score.parts[0]
    assert [s.figure for s in part[harmony.ChordSymbol]] == ["Dm7", "A7", "G7", "C6", "Cmaj7"]
    played = part.expandRepeats()
    assert len(list(played.getElementsByClass("Measure"))) == 1 + 6  # the pickup, and 3 bars twice
    assert score.metadata.title == "Wet Gloves"
    assert score.metadata.composer == "Ida"
    assert [m.content for m in part["RehearsalMark"]] == ["A"]


def test_verovio_reads_what_we_write():
    toolkit = verovio.toolkit()
    assert toolkit.loadData(lead_sheet_xml(sheet()))
    svg = toolkit.renderToSVG(1)
    assert svg.count('class="measure"') == 5
    assert svg.count('class="harm"') == 5
    assert svg.count('class="ending') >= 2
    assert svg.count('class="reh"') == 1


# What other programs write, in small files by hand.


def measure(content: str, number: int = 1, more: str = "") -> str:
    """One measure of quarters."""
    return f'<measure number="{number}"{more}>{content}</measure>'


START = (
    "<attributes><divisions>1</divisions><key><fifths>0</fifths></key>"
    "<time><beats>4</beats><beat-type>4</beat-type></time></attributes>"
)


def note(step: str = "C", beats: int = 4, more: str = "") -> str:
    """One note."""
    pitch = f"<pitch><step>{step}</step><octave>5</octave></pitch>"
    return f"<note>{pitch}<duration>{beats}</duration>{more}</note>"


def chord(root: str, kind: str = "dominant", more: str = "") -> str:
    """One chord symbol."""
    return f"<harmony><root><root-step>{root}</root-step></root><kind>{kind}</kind>{more}</harmony>"


def read(*measures: str, head: str = "") -> LeadSheet:
    """A file of one part."""
    part = '<score-part id="P1"><part-name>Melody</part-name></score-part>'
    body = f'<part-list>{part}</part-list><part id="P1">{"".join(measures)}</part>'
    text = f'<score-partwise version="4.0">{head}{body}</score-partwise>'
    return lead_sheet_of_bytes("made.musicxml", text.encode())


def test_a_chord_sounds_until_the_next_and_in_a_second_ending_as_before_the_first():
    left = '<barline location="left"><ending number="{}" type="start"/>{}</barline>'
    stop = '<ending number="1" type="stop"/><repeat direction="backward"/>'
    right = f'<barline location="right">{stop}</barline>'
    found = read(
        measure(START + chord("D", "minor-seventh") + note(), 1),
        measure(note(), 2),
        measure(left.format(1, "") + chord("G") + note() + right, 3),
        measure(left.format(2, "") + note(), 4),
    )
    assert [str(bar) for bar in found.chart.bars] == ["Dm7", "Dm7", "G7", "Dm7"]
    assert len(found.chart.played_bars) == 6


def test_a_bar_in_two_parts_is_joined_and_a_short_one_filled_and_told():
    found = read(
        measure(START + chord("C") + note(beats=4), 1),
        measure(chord("F") + note(beats=3), 2),
        measure(chord("G") + note(beats=1), 3, ' implicit="yes"'),
        measure(chord("A") + note(beats=2), 4),
        measure(chord("C") + note(beats=4), 5),
    )
    assert [str(bar) for bar in found.chart.bars] == ["C7", "F7 / / G7", "A7", "C7"]
    assert any("Bar 4 has 2 quarters of 4/4" in line for line in found.report)
    assert [n.start for n in found.melody] == [0, 4, 7, 8, 12]


def test_a_pickup_stays_one_unless_a_chord_stands_over_it():
    plain = read(measure(START + note(beats=1), 0), measure(chord("C") + note(), 1))
    assert len(plain.chart.bars) == 1
    assert [n.start for n in plain.melody] == [-1, 0]
    held = read(measure(START + chord("G") + note(beats=1), 0), measure(chord("C") + note(), 1))
    assert [str(bar) for bar in held.chart.bars] == ["G7", "C7"]


def test_metres_of_the_same_length_are_taken_and_told_and_others_refused():
    cut = START.replace("<beats>4</beats><beat-type>4", "<beats>2</beats><beat-type>2")
    found = read(measure(cut + chord("C") + note()))
    assert str(found.chart.metre) == "4/4"
    assert "Bar 1: 2/2 is written as 4/4." in found.report
    seven = START.replace("<beats>4</beats>", "<beats>7</beats>")
    with pytest.raises(TheoryError, match=r"bar 1: no chart in 7/4 \(want 2/4, 3/4, 4/4"):
        read(measure(seven + chord("C") + note(beats=7)))


def test_what_a_chart_has_no_place_for_is_told():
    words = "<direction><direction-type><words>{}</words></direction-type>{}</direction>"
    slur = '<notations><slur type="start"/><articulations><accent/></articulations></notations>'
    found = read(
        measure(START + words.format("Medium swing", "") + chord("C") + note(more=slur), 1),
        measure(words.format("rit.", "") + chord("F", "other") + note(), 2),
        measure("<attributes><key><fifths>2</fifths></key></attributes>" + note(), 3),
        measure(words.format("D.C. al Fine", '<sound dacapo="yes"/>') + note(), 4),
    )
    assert found.chart.feel == "Medium swing"
    assert "These words are left out: 'rit.' (bar 2)." in found.report
    assert (
        "These jumps are not followed; the chart goes straight on: D.C. al Fine (bar 4). Bar 4: "
        "D.C. al fine without fine (want fine at the end of the last bar played)."
    ) in found.report
    assert "The key signature changes, which is left out, in bar: 3." in found.report
    assert "These marks are left out: 1 slurs, 1 articulations." in found.report


def test_repeats_that_cannot_be_followed_are_left_out_and_told():
    opens = '<barline location="left"><repeat direction="forward"/></barline>'
    found = read(
        measure(START + opens + chord("C") + note(), 1),
        measure(opens + note(), 2),
    )
    assert not any(bar.opens for bar in found.chart.bars)
    assert any("repeats cannot be followed" in line for line in found.report)


def test_the_mode_comes_from_the_changes_where_the_signature_does_not_say_it():
    minor = read(
        measure(START + chord("B", "half-diminished") + note(), 1),
        measure(chord("E") + note(), 2),
        measure(chord("A", "minor") + note(), 3),
    )
    assert str(minor.chart.key) == "A minor"
    no_key = START.replace("<key><fifths>0</fifths></key>", "")
    found = read(measure(no_key + chord("G") + note(), 1), measure(chord("C", "major") + note(), 2))
    assert str(found.chart.key) == "C major"
    assert any("no key signature" in line for line in found.report)


def test_a_chart_alone_and_a_melody_alone_are_read():
    rest = '<note><rest measure="yes"/><duration>4</duration></note>'
    alone = read(measure(START + chord("C") + rest), measure(chord("F") + rest, 2))
    assert (alone.melody, [str(b) for b in alone.chart.bars]) == ((), ["C7", "F7"])
    tune = read(measure(START + note("E")), measure(note("D"), 2))
    assert [str(bar) for bar in tune.chart.bars] == ["N.C.", "N.C."]
    assert "The file has no chord symbols; the chart says N.C." in tune.report


def test_section_names_begin_sections():
    mark = "<direction><direction-type><rehearsal>{}</rehearsal></direction-type></direction>"
    found = read(
        measure(START + mark.format("A") + chord("C") + note(), 1),
        measure(mark.format("B | C") + note(), 2),
        measure(mark.format("Bridge") + note(), 3),
    )
    assert [(s.name, len(s.bars)) for s in found.chart.sections] == [("A", 2), ("Bridge", 1)]
    assert any("'B | C' is left out" in line for line in found.report)


def test_chords_between_the_places_of_a_chart_are_moved_and_told():
    odd = START.replace("<divisions>1</divisions>", "<divisions>24</divisions>")
    notes = note(beats=20) + chord("F") + note(beats=76)
    found = read(measure(odd + chord("C") + notes))
    assert [str(b) for b in found.chart.bars[0].chords] == ["C7", "F7"]
    assert "Bar 1: 1 chord(s) moved to the nearest place in the beat." in found.report


# Files that are not trusted; show.untrusted has tests of its own.


@pytest.mark.parametrize(
    ("name", "content", "words"),
    [
        (
            "a.musicxml",
            b"<!DOCTYPE x [<!ENTITY a 'b'>]><score-partwise>&a;</score-partwise>",
            "refused",
        ),
        ("a.musicxml", b"<score-timewise/>", "want <score-partwise>"),
        ("a.musicxml", b"no music", "refused"),
        ("a.mxl", b"PK\x03\x04 broken", "refused"),
        (
            "a.mid",
            b"MThd\x00\x00\x00\x06\x00\x00\x00\x01\x00\x60MTrk\x00\x00\x00\x04\x00\xff\x2f\x00",
            "no lead sheet",
        ),
        ("a.musicxml", b'<score-partwise><part-list/><part id="P1"/></score-partwise>', "no music"),
        ("a.txt", b"\xff\xfe\x00", "no text"),
        ("a.txt", b"| Dm7 | G8 |", "line 1, column 9"),
    ],
)
def test_files_that_are_no_lead_sheets_are_refused_in_words(name, content, words):
    with pytest.raises(TheoryError, match=words):
        lead_sheet_of_bytes(name, content)


@together("tag", ["chromatic", "diatonic", "fifths", "divisions", "beats", "kind"])
@together("value", ["x", "1e9", "", "nan", "inf", "99", "-99", "--1", "3.7", "٣"])
def test_numbers_that_are_none_are_read_as_nothing_or_refused(tag, value):
    text = lead_sheet_xml(Chart.parse("| Dm7 | G7 | C6 |"), reader=reader("B flat"))
    odd = re.sub(rf"(<{tag}(?: [^>]*)?>)[^<]*<", rf"\g<1>{value}<", text)
    assert odd != text
    with suppress(TheoryError):
        assert lead_sheet_of_bytes("odd.musicxml", odd.encode()).chart.bars


def test_odd_names_do_no_harm():
    for name in ("../../x.txt", "a/b.txt", "..", ".txt", "x" * 300 + ".txt", "\x00.txt"):
        try:
            found = lead_sheet_of_bytes(name, b"| C |")
        except TheoryError:
            continue
        assert len(found.chart.bars) == 1


def test_a_packed_file_is_read(tmp_path):
    file = tmp_path / "two.mxl"
    with zipfile.ZipFile(file, "w") as box:
        box.writestr("score.xml", lead_sheet_xml(sheet()))
    assert open_lead_sheet(file) == sheet()


def test_saving_leaves_what_is_there_unless_it_is_told(tmp_path):
    file = save_lead_sheet(sheet(), tmp_path / "two")
    assert file.name == "two.musicxml"
    assert ElementTree.fromstring(file.read_text().split("?>", 1)[1].split(">", 1)[1]) is not None
    with pytest.raises(TheoryError, match="already"):
        save_lead_sheet(sheet(), file)
    save_lead_sheet(sheet(), file, replace=True)
    text = save_lead_sheet(sheet(), tmp_path / "two.txt")
    assert Chart.parse(text.read_text()) == sheet().chart
    with pytest.raises(TheoryError, match="no such kind of file"):
        save_lead_sheet(sheet(), tmp_path / "two.pdf")


def test_a_melody_survives_transposition_of_the_page_for_every_reader():
    pitch = Pitch.parse("F#4")
    over = LeadSheet(Chart.of("B", "C#m7", "F#7"), (TimedNote(pitch, Fraction(4), Fraction(4)),))
    text = lead_sheet_xml(over, reader=reader("B flat"))
    assert lead_sheet_of_bytes("b.musicxml", text.encode()).melody == over.melody


SWUNG = {
    "feel: medium swing\n": ["7", "4", "eighth"],
    "feel: bossa\n": ["straight"],
    "metre: 6/8\nfeel: swing\n": None,  # quarters are not counted
    "": None,  # the chart says nothing of it
}


@pytest.mark.parametrize("words", SWUNG)
def test_a_feel_is_said_as_swing_and_comes_back_as_words(words):
    chart = Chart.parse(f"title: Wet Gloves\nkey: F\ntempo: 132\n{words}\n| Gm7 | C7 | F6 | % |\n")
    text = lead_sheet_xml(chart)
    assert complaints(text) == []
    swing = ElementTree.fromstring(text).find(".//sound/swing")
    assert (swing and [one.text or one.tag for one in swing]) == SWUNG[words]
    found = lead_sheet_of_bytes("sheet.musicxml", text.encode())
    assert (found.chart, found.report) == (chart, ())


def test_a_swing_that_no_words_say_is_told():
    swing = "<direction><direction-type>{}</direction-type><sound>{}</sound></direction>".format(
        "<words>{}</words>", "<swing><first>2</first><second>1</second></swing>"
    )
    told = read(measure(START + swing.format("sweetly") + chord("C") + note(), 1)).report
    assert "These marks are left out: 1 settings of swing." in told
    told = read(measure(START + swing.format("Medium swing") + chord("C") + note(), 1)).report
    assert not [words for words in told if "swing" in words]
    told = read(measure(START + swing.format("Bossa, straight eighths") + chord("C"), 1)).report
    assert "These marks are left out: 1 settings of swing." in told


EVEN = "<sound><swing><straight/></swing></sound>"
SWINGS = "<sound><swing><first>{}</first><second>1</second></swing></sound>"


@pytest.mark.parametrize(
    ("words", "tempo", "settings", "left"),
    [
        ("Medium swing", 132, (SWINGS.format(2), EVEN), 1),
        ("Medium swing", 132, (SWINGS.format(2), EVEN, SWINGS.format(2)), 2),
        ("Medium swing", 132, (EVEN,), 1),
        ("Medium swing", 132, (SWINGS.format(1),), 1),
        ("Fast swing", 300, (EVEN,), 0),  # at such a tempo eighths are even
        ("Bossa", 132, (EVEN,), 0),
        ("Bossa", 132, (SWINGS.format(2),), 1),
        ("Bossa", 132, (EVEN, SWINGS.format(2)), 1),
    ],
)
def test_a_change_of_swing_is_told_and_a_first_one_that_the_words_contradict(
    words, tempo, settings, left
):
    over = f"<direction><direction-type><words>{words}</words></direction-type>"
    over += f'<sound tempo="{tempo}"/></direction>'
    bars = [measure(START + over + settings[0] + chord("C") + note(), 1)]
    bars += [measure(one + chord("C") + note(), n) for n, one in enumerate(settings[1:], 2)]
    sheet = read("".join(bars))
    told = [said for said in sheet.report if "settings of swing" in said]
    assert sheet.chart.feel == words
    assert told == [f"These marks are left out: {left} settings of swing."] * bool(left)


@pytest.mark.parametrize("tempo", [60, 132, 300])
@pytest.mark.parametrize("feel", ["swing", "bossa", "sweetly"])
def test_our_own_swing_comes_back_without_a_word(feel, tempo):
    chart = Chart.parse(f"title: Kerb\nkey: Bb\ntempo: {tempo}\nfeel: {feel}\n\n| Cm7 F7 | Bb6 |\n")
    found = lead_sheet_of_bytes("sheet.musicxml", lead_sheet_xml(chart).encode())
    assert (found.chart, found.report) == (chart, ())
