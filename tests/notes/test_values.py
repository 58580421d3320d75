"""Values: one line under a hundred characters, a text, widths, and words where nothing is drawn."""

import subprocess
import sys
from fractions import Fraction

import pytest
from house import ROOT
from together import together

import theorykit
from theorykit import (
    COLOURS,
    Chart,
    Chord,
    Colour,
    Degree,
    Key,
    LeadSheet,
    Line,
    Note,
    Pitch,
    Progression,
    Scale,
    TimedNote,
    Treatment,
    Wishes,
    cadences,
    colour,
    demonstration,
    evidence,
    functions,
    identify,
    question,
    read_line,
    resolve,
    shortcuts,
    subsets,
    substitutes,
    two_five_one,
    write_chorus,
)

CHART = Chart.parse("title: Wet Gloves by the Door\nkey: F\n| Gm7 | C7 | Fmaj7 | % |")
LINE = demonstration("Db", "short", "b9")
OWN = Colour("my own", (Degree(9, -1), Degree(11)), ("minor",), "by hand")

# By hand: what a program prints of one value of each kind.
REPRS = [
    (Note("B", -1), "Note('B', -1)"),
    (Pitch.parse("Bb4"), "Pitch(note=Note('B', -1), octave=4)"),
    (Degree.parse("b9"), "Degree(number=9, alteration=-1)"),
    (Key.parse("Db"), "Key(tonic=Note('D', -1), mode='major')"),
    (Chord.parse("B♭7(♭9)/D"), "Chord.parse('Bb7b9/D')"),
    (Scale.parse("F# altered"), "Scale.parse('F# altered')"),
    (colour("♭9 13"), "colour('b9 13')"),
    (OWN, "colour('my own: b9 11 to minor')"),
    (two_five_one("Bb minor"), "<Progression in Bb minor: Cm7b5 | F7 | Bbm6>"),
    (LINE.notes[0], "TimedNote(Pitch.parse('Gb5'), 0, 1)"),
    (LINE, "<Line over Ebm7 Ab7 | Dbmaj7: quarter Gb5 Db5 8th Eb5 C5 Bbb4 Gb4 | whole F4>"),
    (CHART, "<Chart Wet Gloves by the Door: 4 bars in F major>"),
    (Chart.of("C", "G7"), "Chart.parse('key: C major\\nmetre: 4/4\\n\\n| G7 |\\n')"),
    (LeadSheet(CHART), "<LeadSheet Wet Gloves by the Door: 4 bars, 0 notes>"),
    (
        Treatment.plain(Chart.of("C", "G7", "C6")),
        "Treatment.parse('bar 1 of | G7 |, cadence 1: as written\\n')",
    ),
    (Wishes(density="full", lowest="C4"), "Wishes(lowest='C4', density='full')"),
    (shortcuts("F#7", "b9 13")[0], "<Eb over F#7: 13 b9 3>"),
    (substitutes("Ab7", "Db")[0], "<Substitute tritone substitute: D7 for Ab7 to Db>"),
    (resolve("F7", "b9", "Bb minor"), "<Resolution of F7 with 3 5 b7 b9 to Bbm>"),
    (identify("E G# B", "G7"), "<Identification of E G# B over G7: 13 b9 3>"),
    (evidence("b9"), "<Evidence b9 major: 852 of 15387>"),
    (cadences(CHART)[0], "<Cadence long ii-V-I to F major, bars 1 to 3>"),
    (functions(CHART)[1], "<Function C7: the V of Fmaj7>"),
    (subsets("G7")[1], "<Subset b9 over G7: Fdim, Ddim, G#dim, Bdim7, Fdim7, Ddim7, G#dim7>"),
]


@together(("value", "said"), REPRS, ids=lambda one: type(one).__name__)
def test_a_value_is_one_short_line_for_a_program(value, said):
    assert repr(value) == said
    assert len(repr(value)) < 100
    assert "\n" not in repr(value)
    assert repr(value).isascii()


def test_long_values_are_cut():
    chart = Chart.parse("title: " + "Wet Gloves " * 15 + "\n| Dm7 | G7 |")
    for value in (
        chart,
        write_chorus(CHART),
        read_line(LINE),
        question("degree of a note", seed=1),
    ):
        assert len(repr(value)) < 100
        assert "\n" not in repr(value)


@together(("value", "said"), REPRS, ids=lambda one: type(one).__name__)
def test_what_does_not_stand_in_brackets_reads_back(value, said):
    if said.startswith("<"):
        return
    names = {name: getattr(theorykit, name) for name in theorykit.__all__}
    assert eval(repr(value), names | {"Fraction": Fraction}) == value


@together(("value", "said"), REPRS, ids=lambda one: type(one).__name__)
def test_widths_are_obeyed(value, said):
    text = str(value)
    assert f"{value:>400}" == text.rjust(400)
    assert f"{value}" == text


@together("row", COLOURS, ids=str)
def test_every_colour_of_the_table_reads_back(row):
    assert eval(repr(row), {"colour": colour}) is row


def test_a_line_a_progression_and_a_chart_are_iterated_and_indexed():
    assert list(LINE) == list(LINE.notes)
    assert (LINE[0], LINE[-1], LINE[1:3]) == (LINE.notes[0], LINE.notes[-1], LINE.notes[1:3])
    over = two_five_one("F#")
    assert [str(bar) for bar in over] == ["G#m7", "C#7", "F#maj7"]
    assert (len(over), str(over[-1])) == (3, "F#maj7")
    assert [str(bar) for bar in CHART] == ["Gm7", "C7", "Fmaj7", "Fmaj7"]
    assert (len(CHART), str(CHART[1]), len(CHART[1:])) == (4, "C7", 3)
    assert isinstance(over, Progression)
    with pytest.raises(IndexError):
        LINE[100]


def test_a_line_without_notes_is_still_a_line():
    empty = Line(two_five_one("C"), ())
    assert (len(empty), bool(empty)) == (0, True)


def test_a_note_of_a_line_is_written_with_exact_times():
    note = TimedNote(Pitch.parse("Eb5"), Fraction(3, 2), Fraction(1, 3))
    assert repr(note) == "TimedNote(Pitch.parse('Eb5'), Fraction(3, 2), Fraction(1, 3))"


def test_a_notebook_without_pictures_gets_words():
    """In a Python that sees no installed package, as ``pip install theorykit`` leaves it."""
    asks = "from theorykit import Chord; print(Chord.parse('Bb7')._repr_mimebundle_())"
    run = subprocess.run(
        [sys.executable, "-S", "-c", asks], cwd=ROOT, capture_output=True, text=True, check=True
    )
    assert run.stdout.startswith("{'text/plain': 'Bb7")
    assert "theorykit[workbook]" not in run.stdout
