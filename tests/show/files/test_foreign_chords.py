"""Chord symbols of other programs: what comes back is the chord, or it is told."""

from __future__ import annotations

import warnings
from xml.etree import ElementTree
from xml.etree.ElementTree import Element, SubElement

import pytest
from harmony_writers import PLAIN, WRITERS, harmony
from music21 import chord as m21chord, harmony as m21harmony
from music21.musicxml.m21ToXml import MeasureExporter
from music21.pitch import AccidentalException
from outside import as_music21
from sweeps import swept

from theorykit.errors import TheoryError
from theorykit.notes.chord import Chord
from theorykit.notes.kinds import CHORD_KINDS
from theorykit.show.files import lead_sheet_of_bytes, lead_sheet_xml, open_line
from theorykit.show.files.harmony_xml import chord_of, symbol_of
from theorykit.tunes.charts import Chart

ROOTS = "C Db D Eb E F F# Gb G Ab A Bb B".split()
TRIED = ("C", "Db", "F#", "Bb")
SYMBOLS = [row.symbol for row in CHORD_KINDS]
CASES = swept([(symbol, root) for symbol in SYMBOLS for root in ROOTS], lambda one: one[1] in TRIED)


def test_the_writers_know_every_kind_of_our_table():
    assert list(PLAIN) == SYMBOLS
    assert all(writer(symbol, "C") is not None for writer in WRITERS.values() for symbol in SYMBOLS)


@pytest.mark.parametrize("writer", WRITERS)
@pytest.mark.parametrize(("symbol", "root"), CASES)
def test_every_kind_of_every_writer_comes_back(writer, symbol, root):
    chord, told = symbol_of(WRITERS[writer](symbol, root))
    assert (str(chord), told) == (f"{root}{symbol}", "")
    assert Chord.parse(str(chord)) == chord


# Figures of music21 9 (``harmony.CHORD_TYPES``) that are not ours; it has none for 7alt, m6/9,
# dim(maj7), 7sus2.
THEIRS = {
    "6/9": "6add9",
    "m(maj7)": "mM7",
    "m(maj9)": "mM9",
    "maj9": "M9",
    "maj11": "M11",
    "maj13": "M13",
    "9sus4": "7sus4add9",
    "13sus4": "7sus4add9add13",
    "dim(maj7)": "",
    "m6/9": "m6add9",
    "7alt": "",
    "7sus2": "",
    "": "M",
}
FIGURES = [
    (ours, theirs, root) for ours in SYMBOLS for root in TRIED if (theirs := THEIRS.get(ours, ours))
]


@pytest.mark.parametrize(("symbol", "figure", "root"), FIGURES)
def test_what_music21_writes_of_our_symbols_comes_back(symbol, figure, root):
    """Where music21 itself hears the notes of our chord, so do we; its 13 has an 11 in it."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        theirs = m21harmony.ChordSymbol(as_music21(root) + figure)
        element = MeasureExporter().chordSymbolToXml(theirs)
    ours = Chord.parse(root + symbol)
    heard = {pitch.pitchClass for pitch in theirs.pitches}
    eleventh = (ours.root.semitone + 5) % 12
    assert {eleventh, *heard} == {eleventh, *(note.semitone for note in ours.notes)}
    assert chord_of(element) == ours


UNFINDABLE = ("sus4", "sus2", "13", "7sus4", "7alt")


@pytest.mark.parametrize(("symbol", "root"), CASES)
def test_what_music21_makes_of_our_notes_comes_back_or_is_told(symbol, root):
    """The symbol that music21 finds for the notes of a chord, on whatever root it hears."""
    notes = [
        as_music21(str(note)) + str(4 + place // 3)
        for place, note in enumerate(Chord.parse(root + symbol).notes)
    ]
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        try:
            theirs = m21harmony.chordSymbolFromChord(m21chord.Chord(notes))
        except AccidentalException:  # music21 cannot read what it has written itself
            assert symbol in UNFINDABLE
            return
        element = MeasureExporter().chordSymbolToXml(theirs)
    if element.findtext("kind") == "none" and element.find("bass") is not None:
        with pytest.raises(TheoryError, match="no such kind"):
            chord_of(element)
        return
    chord = chord_of(element)
    assert Chord.parse(str(chord)) == chord
    # On a root of kind none, and nothing more: no chord, by the standard.
    assert chord.is_silent == (element.findtext("kind") == "none" and len(element) == 2)


# One by one, each with what it means. Where nothing else is named: MusicXML 4.0.
@pytest.mark.parametrize(
    ("element", "symbol"),
    [
        (harmony("G", "suspended-fourth-seventh"), "G7sus4"),  # music21 9
        (
            harmony("Eb", "none", [(3, 0, "add"), (5, 0, "add"), (6, 0, "add"), (9, 0, "add")]),
            "Eb6/9",
        ),
        (harmony("Eb", "none", [], "6/9"), "Eb6/9"),
        (harmony("E", "minor-seventh", [(5, -1, "add")]), "Em7b5"),
        (harmony("E", "minor-seventh", [(5, -1, "alter")], "m7"), "Em7b5"),
        (harmony("E", "half-diminished", [], "ø7"), "Em7b5"),
        (harmony("E", "minor-seventh", [], "m7b5"), "Em7b5"),  # marks that only the text has
        (harmony("G", "dominant", [], "7alt"), "G7alt"),
        (harmony("G", "dominant", [], "7(b9)"), "G7b9"),
        (harmony("G", "major", [(7, -1, "add")]), "G7"),  # counted from the major scale
        (harmony("G", "minor", [(7, -1, "add")]), "Gm7"),
        (harmony("G", "diminished", [(7, -1, "add")]), "Gdim7"),
        (harmony("G", "dominant", [(9, -1, "alter")]), "G7b9"),
        (harmony("G", "dominant-ninth", [(9, -1, "alter")], "9"), "G7b9"),
        (harmony("G", "dominant-13th", [(9, -1, "alter"), (11, 0, "subtract")]), "G13b9"),
        (harmony("G", "other", [(9, -1, "add"), (5, 1, "add")], "7"), "G7#5b9"),
        (harmony("G", "minor-11th", [(13, 0, "add")], "m11add13"), "Gm11add13"),
        (harmony("G", "minor-13th", [], "m11add13"), "Gm11add13"),
        (harmony("E", "other", [], "b5"), "E(b5)"),  # and not E flat 5
        (harmony("C", "major", [], "/E"), "C/E"),
        (harmony("C", "major", [], None, "Bb"), "C/Bb"),
        (harmony("Bb", "none", [], ""), "N.C."),
        (harmony("C", "none", [], "N.C."), "N.C."),
    ],
)
def test_one_by_one(element, symbol):
    assert symbol_of(element) == (Chord.parse(symbol), "")


@pytest.mark.parametrize(
    ("root", "kind", "number", "bass"),
    [
        ("C", "major", 0, "C"),
        ("C", "major", 1, "E"),
        ("Db", "dominant", 3, "Cb"),
        ("F#", "minor", 1, "A"),
        ("Bb", "half-diminished", 2, "Fb"),
    ],
)
def test_an_inversion_is_a_bass(root, kind, number, bass):
    element = harmony(root, kind)
    SubElement(element, "inversion").text = str(number)
    assert str(chord_of(element).lowest) == bass
    SubElement(SubElement(element, "bass"), "bass-step").text = "D"
    assert str(chord_of(element).lowest) == "D"  # what is named counts before what is numbered


def function(name: str) -> Element:
    """Write a chord by its function, as MusicXML 4.0 has it in place of a root."""
    element = Element("harmony")
    SubElement(element, "function").text = name
    SubElement(element, "kind").text = "dominant"
    return element


TWO = harmony("C", "major")
TWO.extend(harmony("D", "minor"))


@pytest.mark.parametrize(
    ("element", "words"),
    [
        (function("V"), "without a root"),
        (harmony("G", "pretty"), "no such kind of chord: 'pretty'"),
        (harmony("G", "pretty", [], "pretty"), "no such kind of chord"),
        (harmony("G", "other", [], ""), "no such kind of chord: 'other'"),
        (harmony("G", "Tristan"), "no such kind of chord: 'Tristan'"),
        (harmony("G", "pedal"), "no such kind of chord"),
        (harmony("G", "major", [(3, -1, "add")]), "no symbol"),
        (harmony("G", "dominant", [(9, 0.5, "add")]), "not a number of half steps"),
        (TWO, "2 chords in one symbol"),
    ],
)
def test_what_cannot_be_read_is_told(element, words):
    with pytest.raises(TheoryError, match=words):
        chord_of(element)


def test_an_inversion_that_the_chord_has_not_is_told():
    element = harmony("C", "major")
    SubElement(element, "inversion").text = "3"
    with pytest.raises(TheoryError, match="no inversion 3 of C"):
        chord_of(element)


def test_text_that_contradicts_the_kind_is_told():
    chord, told = symbol_of(harmony("G", "minor-seventh", [], "maj7"))
    assert str(chord) == "Gm7"
    assert told == "Gmaj7 is printed, but the file means Gm7, which is read"


def test_a_figure_that_music21_knows_as_a_root_with_degrees_is_read_and_told():
    element = MeasureExporter().chordSymbolToXml(m21harmony.ChordSymbol("E-69"))
    assert element.findtext("kind") == "none"
    chord, told = symbol_of(element)
    assert str(chord) == "Eb6/9"
    assert told == "Eb6/9 is read for a symbol without a kind or a triad"


# In a file: nothing is read in silence as something else.

HEAD = (
    "<attributes><divisions>1</divisions>{key}<time><beats>4</beats><beat-type>4</beat-type></time>"
    "</attributes>"
)
REST = "<note><rest/><duration>{beats}</duration></note>"


def read(*elements: Element | str, key: str = "<key><fifths>0</fifths><mode>major</mode></key>"):
    """Read one bar with these elements, as many beats long as there are chords up to four."""
    inner = "".join(
        one if isinstance(one, str) else ElementTree.tostring(one, encoding="unicode")
        for one in elements
    )
    text = (
        '<score-partwise version="4.0"><part-list><score-part id="P1"><part-name>Melody</part-name>'
        f'</score-part></part-list><part id="P1"><measure number="1">{HEAD.format(key=key)}{inner}'
        f"{REST.format(beats=4)}</measure></part></score-partwise>"
    )
    return lead_sheet_of_bytes("sheet.musicxml", text.encode())


def test_two_chords_at_one_place_and_alternatives_are_told():
    other = harmony("F", "major")
    other.set("type", "alternate")
    found = read(harmony("C", "major"), harmony("A", "minor"), other)
    assert [str(chord) for bar in found.chart.bars for chord in bar.chords] == ["C"]
    assert [line for line in found.report if "another chord" in line] == [
        "Bar 1: Am is left out, another chord than the one played there.",
        "Bar 1: F is left out, another chord than the one played there.",
    ]
    assert read(harmony("C", "major"), harmony("C", "major")).report == ()


def steps(*signs: tuple[str, float]) -> str:
    """Write a signature that names its signs."""
    each = (f"<key-step>{s}</key-step><key-alter>{a:g}</key-alter>" for s, a in signs)
    return f"<key>{''.join(each)}</key>"


@pytest.mark.parametrize(
    ("key", "expected", "told"),
    [
        (steps(("B", -1), ("E", -1)), "Bb major", "does not say major or minor"),
        (steps(("F", 1)), "G major", "does not say major or minor"),
        (steps(("B", -1), ("F", 1)), "Bb major", "no major or minor key has (B -1, F 1)"),
        (steps(("B", -0.5)), "Bb major", "no major or minor key has (B -0.5)"),
        ("<key><mode>major</mode></key>", "Bb major", "does not say how many signs"),
        ("<key><fifths>x</fifths></key>", "Bb major", "does not say how many signs"),
        ("<key><fifths>9</fifths></key>", "Bb major", "more than 7 signs"),
        ("", "Bb major", "has no key signature"),
    ],
)
def test_signatures_of_every_sort_are_read_or_told(key, expected, told):
    tonic = "G" if expected == "G major" else "Bb"
    found = read(harmony(tonic, "major"), key=key)
    assert str(found.chart.key) == expected
    assert any(told in line for line in found.report), found.report


NOTE = (
    "<note><pitch><step>{step}</step><alter>{alter}</alter><octave>4</octave></pitch>"
    "<duration>2</duration></note>"
)


def test_quarter_tones_are_moved_and_told():
    """MusicXML 4.0, ``alter``: 0.5 is a quarter tone up."""
    notes = NOTE.format(step="F", alter="0.5") + NOTE.format(step="B", alter="-1.5")
    found = read(harmony("Bb", "dominant"), notes, "<backup><duration>4</duration></backup>")
    assert [str(note.pitch) for note in found.melody] == ["F4", "Bb4"]
    assert "2 quarter tones are moved to the half step beside them." in found.report


def test_a_line_has_the_key_of_a_signature_by_steps_as_it_sounds(tmp_path):
    """A part for B flat, written with one sharp that is named: it sounds in F."""
    head = HEAD.format(key=steps(("F", 1))).replace(
        "</attributes>",
        "<transpose><diatonic>-1</diatonic><chromatic>-2</chromatic></transpose></attributes>",
    )
    text = (
        '<score-partwise version="4.0"><part-list><score-part id="P1"><part-name>Melody</part-name>'
        f'</score-part></part-list><part id="P1"><measure number="1">{head}'
        f"{NOTE.format(step='G', alter='0') * 2}</measure></part></score-partwise>"
    )
    file = tmp_path / "horn.xml"
    file.write_text(text)
    found = open_line(file)
    assert (str(found.line.progression.key), str(found.line.notes[0].pitch)) == ("F major", "F4")


METRONOME = (
    "<direction><direction-type><metronome><beat-unit>{unit}</beat-unit>{dot}"
    "<per-minute>{text}</per-minute></metronome></direction-type>{sound}</direction>"
)


@pytest.mark.parametrize(
    ("unit", "dot", "text", "sound", "tempo"),
    [
        ("quarter", "", "144", "", 144),
        ("half", "", "c. 92", "", 184),
        ("eighth", "<beat-unit-dot/>", "100", "", 75),
        ("quarter", "", "144", '<sound tempo="150"/>', 150),
        ("quarter", "", "fast", "", None),
        ("quarter", "", "490", "", None),
    ],
)
def test_a_tempo_is_read_where_it_is_only_printed(unit, dot, text, sound, tempo):
    found = read(
        METRONOME.format(unit=unit, dot=dot, text=text, sound=sound), harmony("C", "major")
    )
    assert found.chart.tempo == tempo
    assert any("tempo is left out" in line for line in found.report) == (text == "490")


def test_a_tempo_that_changes_is_told():
    first = METRONOME.format(unit="quarter", dot="", text="120", sound="")
    found = read(first, harmony("C", "major"), first.replace("120", "90"))
    assert "The tempo changes, which is left out, in bar: 1." in found.report


def test_chord_symbols_over_another_part_that_differ_are_told():
    part = '<part id="{id}"><measure number="1">{head}{chord}{note}</measure></part>'
    names = "".join(f'<score-part id="{n}"><part-name>{n}</part-name></score-part>' for n in "AB")
    head = HEAD.format(key="<key><fifths>0</fifths><mode>major</mode></key>")
    for other, told in (("F", True), ("C", False)):
        parts = "".join(
            part.format(
                id=name,
                head=head,
                chord=ElementTree.tostring(harmony(root, "major"), encoding="unicode"),
                note=NOTE.format(step="C", alter="0") * 2,
            )
            for name, root in (("A", "C"), ("B", other))
        )
        text = f"<score-partwise><part-list>{names}</part-list>{parts}</score-partwise>"
        report = lead_sheet_of_bytes("two.xml", text.encode()).report
        assert any("chord symbols over 'B' are left out" in line for line in report) == told


@pytest.mark.parametrize("root", ["C", "Db", "F#"])
def test_a_sixth_over_a_seventh_stays_as_it_was_printed(root):
    """The degree 6 over a 7 sounds as a 13; the text says which of the two was meant."""
    chart = Chart.parse(f"| {root}maj7add6 |")
    assert lead_sheet_of_bytes("six.xml", lead_sheet_xml(chart).encode()).chart.bars == chart.bars
