"""Lines as text: read, printed, refused in words."""

from fractions import Fraction

import pytest
from hypothesis import given, strategies as st
from together import together

from theorykit.errors import TheoryError
from theorykit.lines.text import Line, TimedNote, read_so_far
from theorykit.notes.key import Key
from theorykit.notes.note import LETTERS, Note, Pitch
from theorykit.tunes.progression import Bar, Progression, two_five_one

LONG = two_five_one("C")
WALTZ = Progression(
    Key.parse("F"), tuple(Bar.even(c, beats=3) for c in ("Gm7", "C7", "Fmaj7", "Fmaj7"))
)


def parsed(text, over=LONG):
    return [(str(n.pitch), n.start, n.beats) for n in Line.parse(text, over).notes]


# The lengths are those of any rudiments book: a dot adds half, a triplet is three for two
# (common practice).
@pytest.mark.parametrize(
    ("words", "beats"),
    [
        ("whole", 4),
        ("half", 2),
        ("dotted half", 3),
        ("crotchet", 1),
        ("dotted quaver", Fraction(3, 4)),
        ("semiquaver", Fraction(1, 4)),
        ("triplet 8th", Fraction(1, 3)),
        ("quarter triplets", Fraction(2, 3)),
        ("triplet half", Fraction(4, 3)),
        ("32nd", Fraction(1, 8)),
        ("64ths", Fraction(1, 16)),
    ],
)
def test_a_value_lasts_as_long_as_its_name_says(words, beats):
    beats = Fraction(beats)
    count = next(n for n in range(1, 200) if (n * beats).denominator == 1)
    filled = int(n) if (n := 4 - count * beats) == int(n) else 0
    text = f"{words} {'C5 ' * count}" + "quarter " * bool(filled) + "rest " * filled
    assert parsed(text)[0] == ("C5", 0, beats)
    assert len(parsed(text)) == count


def test_hold_ties_over_bar_lines_and_across_values():
    assert parsed("half D5 8th C5 hold A4 F4 | hold hold E4 D4 half B3") == [
        ("D5", 0, 2),
        ("C5", 2, 1),
        ("A4", 3, Fraction(1, 2)),
        ("F4", Fraction(7, 2), Fraction(3, 2)),
        ("E4", 5, Fraction(1, 2)),
        ("D4", Fraction(11, 2), Fraction(1, 2)),
        ("B3", 6, 2),
    ]


def test_a_pickup_stands_before_the_first_beat():
    notes = parsed("pickup triplet 8th A4 Bb4 B4 | whole C5")
    assert [start for _, start, _ in notes] == [-1, Fraction(-2, 3), Fraction(-1, 3), 0]


def test_a_waltz_has_bars_of_three():
    assert parsed("dotted half Bb4 | quarter A4 G4 E4 | dotted half F4", WALTZ)[-1] == ("F4", 6, 3)


@together(
    ("text", "where", "proposal"),
    [
        ("8th D5 F5 H5 C6 half E5", "bar 1, character 11", "write B5 or Bb5"),
        ("8th D5 F5 a C6 half E5", "bar 1, character 11", "write A5"),
        ("half D5 C5 | 8th bb4 A4 F4 D4 half E4", "bar 2, character 18", "write Bb4"),
        ("half D5 C5 | qarter B4", "bar 2, character 14", "write quarter"),
        ("D5 F5", "bar 1, character 1", 'write "8th D5"'),
        ("8th D5 F5 A5 | whole E5", "bar 1, character 14", 'write "8th rest half rest"'),
        ("quarter D5 F5 A5 C6 B5", "bar 1, character 21", 'write "| B5"'),
        ("dotted half D5 half C5", "bar 1, character 21", 'write "quarter C5 | quarter hold"'),
        ("triplet 8th D5 F5 quarter A5", "bar 1, character 27", "triplet note or rest"),
        ("8th hold", "bar 1, character 5", "write a note or rest"),
        ("8th rest hold", "bar 1, character 10", "write a note or rest"),
        ("dotted D5", "bar 1, character 8", 'write "dotted quarter"'),
        ("quarter half D5", "bar 1, character 14", "write one of them"),
        ("whole D5 | B4 | C5 | E5", "bar 4, character 22", "end the line here"),
        ("whole D5 | pickup 8th C5", "bar 2, character 12", "front"),
        ("pickup whole C5 | whole D5", "the pickup, character 17", "less than 4 beats"),
        ("quarter C99", "bar 1, character 9", "-1 to 9"),
        ("quarter - C5", "bar 1, character 9", "write rest"),
        ("quarter C5 ~ C5", "bar 1, character 12", "write hold"),
    ],
)
def test_a_mistake_is_told_with_bar_place_and_proposal(text, where, proposal):
    with pytest.raises(TheoryError) as caught:
        Line.parse(text, LONG)
    assert str(caught.value).startswith(f"{where}: ")
    assert proposal in str(caught.value)


@pytest.mark.parametrize(
    "text",
    [
        "8th D5 F5 B5 C6 half E5",
        "8th D5 F5 A5 C6 half E5",
        "quarter D5 F5 A5 C6 | 8th B5 rest quarter rest half rest",
        "dotted half D5 quarter C5 | quarter hold dotted half rest",
    ],
)
def test_what_is_proposed_can_be_read(text):
    assert Line.parse(text, LONG).notes


@pytest.mark.parametrize("text", [None, 7, "x" * 100_001])
def test_what_is_no_text_is_refused(text):
    with pytest.raises(TheoryError, match="line"):
        Line.parse(text, LONG)


def test_an_empty_text_is_a_line_without_notes():
    assert Line.parse("", LONG).notes == ()


GRIDS = [Fraction(1, 4), Fraction(1, 3), Fraction(1, 6), Fraction(1, 2)]


@st.composite
def lines(draw):
    """Any line that a page can hold: each beat on one grid, notes tied at will, a pickup."""
    over = draw(st.sampled_from([LONG, WALTZ, two_five_one("Gb", "split")]))
    first = draw(st.sampled_from([Fraction(0), Fraction(-1), Fraction(-2)]))
    places = []
    for beat in range(int(first), int(over.beats)):
        grid = draw(st.sampled_from(GRIDS))
        places += [beat + grid * n for n in range(int(1 / grid))]
    kept = sorted(draw(st.sets(st.sampled_from(places), max_size=12)))
    notes = []
    for start, end in zip(kept, [*kept[1:], over.beats], strict=False):
        pitch = Pitch(
            Note(draw(st.sampled_from(LETTERS)), draw(st.integers(-2, 2))),
            draw(st.integers(2, 6)),
        )
        whole = draw(st.booleans())
        step = Fraction(1, start.denominator) if start.denominator > 1 else Fraction(1, 4)
        notes.append(TimedNote(pitch, start, end - start if whole else min(step, end - start)))
    return Line(over, tuple(notes))


@given(lines())
def test_text_and_line_are_each_other_s_reverse(line):
    again = Line.parse(line.text, line.progression)
    assert again == line
    assert again.text == line.text


@given(st.text(alphabet="8thquareflndopickupA4B5#b|- \n♭", max_size=80))
def test_any_text_is_read_or_refused(text):
    try:
        line = Line.parse(text, LONG)
    except TheoryError:
        return
    assert Line.parse(line.text, LONG) == line


@pytest.mark.parametrize(
    ("text", "notes", "rest"),
    [
        ("", "", ""),
        ("8th D5 F5 a", "D5 F5", "a"),
        ("8th D5 F5 A", "D5 F5 A5", ""),
        ("8th D5 F5 A5 ", "D5 F5 A5", ""),
        ("8th D5 F5 dotted", "D5 F5", ""),
        ("8th D5 H5 A5 C6", "D5", "H5 A5 C6"),
        ("half D5 | whole E5", "D5", "| whole E5"),
        ("pickup 8th C5 C#5", "C5 C#5", ""),
    ],
)
def test_what_can_be_read_of_a_line_that_is_being_written_is_read(text, notes, rest):
    found = read_so_far(text, [bar.beats for bar in LONG.bars])
    assert [str(note.pitch) for note in found.notes] == notes.split()
    assert found.rest == rest
    if found.problem:
        with pytest.raises(TheoryError) as refused:
            Line.parse(text, LONG)
        assert str(refused.value) == found.problem
    else:
        assert Line.parse(text, LONG).notes == found.notes


def test_an_open_pickup_stands_before_the_first_beat():
    found = read_so_far("pickup 8th C5 c", [bar.beats for bar in LONG.bars])
    assert [(str(n.pitch), n.start) for n in found.notes] == [("C5", Fraction(-1, 2))]


def test_what_is_no_text_is_refused_at_once():
    with pytest.raises(TheoryError, match="not a line"):
        read_so_far(7, [Fraction(4)])


# By hand, for a singer's ear: the way with fewer half steps, and of two tritones the fourth.
@pytest.mark.parametrize(
    ("text", "read"),
    [
        ("quarter F Ab C Eb", "F4 Ab4 C5 Eb5"),
        ("quarter C5 B Bb A", "C5 B4 Bb4 A4"),
        ("quarter F5 B F Cb", "F5 B5 F5 Cb5"),
        ("quarter Db3 F# Gb B#", "Db3 F#3 Gb3 B#3"),
        ("quarter B4 rest C G3", "B4 C5 G3"),
        ("quarter Cb4 B# C A#", "Cb4 B#3 C4 A#3"),
    ],
)
def test_a_note_without_its_octave_is_the_nearest_one(text, read):
    line = Line.parse(text, LONG)
    assert " ".join(str(note.pitch) for note in line.notes) == read
    assert Line.parse(line.text, LONG) == line
    assert read_so_far(text, [Fraction(4)]).found_octaves


@together("letter", LETTERS)
@together("alteration", [-2, -1, 0, 1, 2])
def test_no_octave_is_nearer_than_the_one_that_was_found(letter, alteration):
    note = Note(letter, alteration)
    for home in ("C4", "Db4", "F#4", "Bb3", "B4", "E5"):
        before = Pitch.parse(home)
        _, found = Line.parse(f"half {home} {note}", LONG).notes
        others = [Pitch(note, octave) for octave in range(1, 8)]
        least = min(abs(one.midi - before.midi) for one in others)
        assert abs(found.pitch.midi - before.midi) == least <= 6


def test_what_stands_before_a_metre_that_strayed_in_is_read():
    found = read_so_far("8th F Ab C | 4/4 E", [Fraction(4)] * 2)
    assert [str(note.pitch) for note in found.notes] == ["F4", "Ab4", "C5"]
    assert found.rest == "4/4 E"


def test_with_every_octave_written_none_is_found():
    assert not read_so_far("8th F4 Ab4 C5", [Fraction(4)]).found_octaves


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("4/4 8th F4", "bar 1, character 1: '4/4' is a metre and no note (take it out"),
        ("whole F4 | 3/4 G4", "bar 2, character 12: '3/4' is a metre and no note"),
        ("8th F Ab C | 4/4 E", "bar 2, character 14: '4/4' is a metre and no note (take it out"),
        ("pickup 8th D4 E4 F4 | F4 4/4", "bar 1, character 26: '4/4' is a metre and no note"),
        ("8th Dm7 F4", "bar 1, character 5: 'Dm7' is a chord and no note"),
    ],
)
def test_what_is_no_note_is_told_for_what_it_is(text, told):
    with pytest.raises(TheoryError) as error:
        Line.parse(text, LONG)
    assert str(error.value).startswith(told)
