"""Colours of one's own: one text, read wherever the name of a colour is taken, and checked."""

import pytest
from sweeps import swept

from theorykit import (
    COLOURS,
    Chart,
    Colour,
    Degree,
    PhraseBook,
    Scale,
    TheoryError,
    Treatment,
    colour,
    demonstration,
    identify,
    read_line,
    resolve,
    shortcuts,
    two_five_one,
    write_chorus,
    write_lines,
)
from theorykit.handout import Handout
from theorykit.notes.key import KEYS
from theorykit.widgets import explorer, line_desk

TEXT = "hearth: b9 11 13 to minor"
MAJOR = [key for key in KEYS if key.mode == "major"]


@pytest.mark.parametrize("text", [TEXT, "own: 9 #11", "two words: b9 #9 b13 to major"])
def test_a_text_makes_a_colour_that_is_its_text(text):
    mine = colour(text)
    assert str(mine) == text
    assert colour(str(mine)) == mine
    assert eval(repr(mine), {"colour": colour}) == mine


def test_signs_and_spaces_are_read_as_everywhere():
    assert colour(" hearth :  ♭9 11  13 to minor ") == colour(TEXT)


def test_a_colour_of_the_table_is_itself_by_any_text():
    for row in COLOURS:
        assert str(row) == row.name
        degrees = " ".join(map(str, row.degrees))
        assert colour(f"{row.name}: {degrees}") is row


# By hand: the b9, 11 and 13 of each V (common practice).
@pytest.mark.parametrize(
    ("symbol", "notes"),
    [("G7", "Ab C E"), ("Ab7", "Bbb Db F"), ("C#7", "D F# A#"), ("F7", "Gb Bb D")],
)
def test_it_is_spelled_over_its_chord(symbol, notes):
    assert [str(note) for note in colour(TEXT).notes(symbol)] == notes.split()


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("hearth:", "not a colour"),
        (": b9", "not a colour"),
        ("hearth: b99", "not a degree"),
        ("hearth: b9 to blues", "not a degree"),
        ("altered: b9", "there is a colour 'altered' already"),
        ("a: b9 | b", "not a colour"),
        ("x" * 300 + ": b9", "no such colour"),
    ],
)
def test_what_is_no_colour_is_refused(text, words):
    with pytest.raises(TheoryError, match=words):
        colour(text)


def test_a_colour_is_checked_when_it_is_made():
    for wrong in (
        {"targets": ("blues",)}, {"degrees": ("b9",)}, {"passing": (5,)}, {"title": None},
    ):  # fmt: skip
        given = {"degrees": (Degree(9, -1),), "targets": ("minor",)} | wrong
        with pytest.raises(TheoryError):
            Colour("own", source="by hand", **given)


@pytest.mark.parametrize("key", swept(MAJOR, lambda key: str(key) in ("C major", "Db major")))
def test_every_function_that_takes_a_colour_takes_it(key):
    v = two_five_one(key)[1].chords[0]
    best = shortcuts(v, TEXT)[0]
    assert {d.semitone for d in best.degrees} >= {d.semitone for d in colour(TEXT).degrees}
    assert resolve(v, TEXT).colour == colour(TEXT).degrees
    line = demonstration(key, "short", TEXT)
    assert write_lines(two_five_one(key), "whole: 3 b7 b9 11 13", count=1)
    assert read_line(line).line == line
    assert identify(colour(TEXT).notes(v), v).degrees == colour(TEXT).degrees


def test_a_treatment_keeps_it_in_its_text():
    chart = Chart.of("C minor", "Dm7b5", "G7", "Cm6", "%")
    treatment = Treatment.plain(chart).set_bar(2, colour=TEXT)
    assert f"colour {TEXT}" in str(treatment)
    assert Treatment.parse(str(treatment)) == treatment
    chorus = write_chorus(chart, treatment)
    assert [phrase.window.colour for phrase in chorus.phrases] == [TEXT]


def test_a_phrase_book_and_a_handout_keep_it(tmp_path):
    book = PhraseBook(tmp_path / "book.sqlite")
    book.keep("mine", demonstration("C minor", "short", TEXT), colour=TEXT)
    assert colour(book.phrase("mine").colour) == colour(TEXT)
    text = f'title = "Own"\n\n[[block]]\nkind = "colour"\ncolour = "{TEXT}"\n'
    handout = Handout.parse(text)
    assert Handout.parse(str(handout)) == handout
    assert TEXT in str(handout)


@pytest.mark.parametrize("desk", [explorer, line_desk], ids=["explorer", "line desk"])
def test_a_desk_that_is_given_it_has_it_in_its_list(desk, tmp_path):
    box = desk("Db", TEXT, "short", path=tmp_path / "drafts.sqlite")
    assert box.colour.value == TEXT
    assert box.colour.options[-1] == ("hearth", TEXT)
    box.colour.value = "altered"
    box.colour.value = TEXT
    assert not box.problem.value


def test_a_scale_of_ones_own_is_its_text():
    mine = Scale.parse("Db six notes: 1 b2 3 5 6 b7")
    assert str(mine) == "Db six notes: 1 b2 3 5 6 b7"
    assert [str(note) for note in mine.notes] == ["Db", "Ebb", "F", "Ab", "Bb", "Cb"]
    assert Scale.parse(str(mine)) == mine
    assert [str(d) for d in identify(mine, "Db7").degrees] == ["1", "b9", "3", "5", "13", "b7"]
    for formula in ("3 5 1", "1 1 2", "2 3 5", "1 9", ""):
        with pytest.raises(TheoryError):
            Scale.parse(f"C own: {formula}")
