"""The table of colours: what it holds, spelled by hand, and how it is asked."""

from functools import partial

import pytest
from plain import names
from together import together
from written_colours import BY_FUNCTION, DOMINANTS

from theorykit import COLOURS, Chord, Colour, Degree, Scale, TheoryError, colour, resolve, shortcuts
from theorykit.harmony.colours import as_degrees, as_degrees_over, takes_colour
from theorykit.tunes.treatments.choice import coloured

each_colour = together("row", COLOURS, ids=str)

# The least that the table must hold, in the order in which the trade names the degrees.
DEGREES = {
    "b9": "3 5 b7 b9",
    "b9 13": "13 b9 3",
    "b9 b13": "b9 3 b13",
    "b9 #11": "#11 b7 b9",
    "b9 #11 13": "#11 13 b9",
    "9 #11 13": "9 #11 13",
    "#9": "#9 5 b7",
    "#9 b13": "b13 1 #9",
    "#9 #11": "#9 #11 b7",
    "half-whole diminished": "1 b9 #9 3 #11 5 13 b7",
    "altered": "1 b9 #9 3 #11 b13 b7",
    "whole tone": "1 9 3 #11 b13 b7",
    "lydian dominant": "1 9 3 #11 5 13 b7",
    "minor's own": "1 b9 3 5 b13 b7",
    "suspended": "b7 9 11",
    "suspended b9": "5 b7 b9 11",
    "tritone substitute": "#11 b7 b9 3",
    "its related ii": "3 b13 7 #9",
}


MAY_BE_V = "G7 Db7 F#7alt Bb9sus4 E7sus4 A13b9 C7#5 Ab7b5 G G/B G(#5) Gadd9 G7/F"
NO_V = "Gm7 Gmaj7 G6 Gm Gdim7 Gm7b5 Gm(maj7) G5 Dm7/G F/G N.C."


@together("symbol", MAY_BE_V.split())
@each_colour
def test_a_colour_is_laid_over_what_may_be_a_v(symbol: str, row: Colour):
    """A suspended chord and a bare major triad may be a V (common practice)."""
    chord = Chord.parse(symbol)
    assert takes_colour(chord)
    assert len(row.notes(chord)) == len(row.degrees)
    assert shortcuts(chord, row)[0].wanted == row.degrees
    assert resolve(chord, row).colour == row.degrees
    assert coloured(chord, row).root == chord.root


@together("symbol", NO_V.split())
@each_colour
def test_a_colour_over_what_is_no_v_is_refused(symbol: str, row: Colour):
    chord = Chord.parse(symbol)
    assert not takes_colour(chord)
    for ask in (row.notes, partial(shortcuts, degrees_or_colour=row), partial(resolve, colour=row)):
        with pytest.raises(TheoryError, match=r"no dominant: .* want a chord such as G7"):
            ask(chord)
    with pytest.raises(TheoryError, match="no dominant"):
        coloured(chord, row)


def test_degrees_may_be_asked_for_over_any_chord():
    assert shortcuts("Cmaj7", "9 #11 13")[0].shape == "D"  # common practice
    assert names(resolve("Dm7", "9", "G7").colour) == "9"
    assert names(as_degrees_over(Chord.parse("Dm7"), "b9 13")) == "b9 13"
    assert names(as_degrees_over(Chord.parse("G7"), "b9 13")) == "13 b9 3"


def test_a_slash_chord_that_may_be_meant_as_a_v_is_told_how_it_is_written():
    for name in ("b9 13", "altered", "suspended"):
        with pytest.raises(TheoryError, match="write Dm7/G, heard as a V, as G9sus4"):
            shortcuts("Dm7/G", name)


def test_a_name_that_no_colour_has_is_refused_as_such_over_any_chord():
    for chord in ("G7", "Dm7"):
        with pytest.raises(TheoryError, match="not degrees: 'blue'"):
            resolve(chord, "blue")


@together("name", DEGREES)
def test_a_colour_holds_the_degrees_of_its_row(name: str):
    assert names(colour(name).degrees) == DEGREES[name]


@each_colour
def test_a_colour_is_spelled_by_function_as_written_by_hand(row: Colour):
    written = BY_FUNCTION[row.name]
    assert tuple(names(row.notes(v)) for v in DOMINANTS) == written
    assert tuple(names(row.notes(Chord.parse(v))) for v in DOMINANTS) == written


@each_colour
def test_a_colour_that_is_a_scale_holds_the_sounds_of_that_scale(row: Colour):
    if row.scale:
        own = {degree.semitone for degree in (*row.degrees, *row.passing)}
        scale = Scale.parse(f"G {row.scale}")
        assert own == {degree.semitone for degree in scale.degrees}
    else:
        assert len(row.degrees) <= 4


@each_colour
def test_a_colour_names_its_source_and_the_targets_that_it_suits(row: Colour):
    assert row.source
    assert row.targets
    assert set(row.targets) <= {"major", "minor"}
    assert [row.suits(mode) for mode in ("major", "minor")] == [
        mode in row.targets for mode in ("major", "minor")
    ]


@each_colour
def test_a_colour_with_the_major_third_of_i_is_not_offered_to_minor(row: Colour):
    """The natural 13 of V is the major third of I (common practice)."""
    assert Degree(13) not in row.degrees or not row.suits("minor")


def test_the_colours_of_minor_stand_in_its_signature_or_are_borrowed_from_no_key():
    minor = {row.name for row in COLOURS if row.suits("minor")}
    assert {"b9", "b9 b13", "altered", "minor's own", "suspended b9"} <= minor
    assert minor.isdisjoint({"b9 13", "9 #11 13", "lydian dominant", "half-whole diminished"})


@each_colour
def test_a_colour_is_found_by_every_name_with_signs_or_letters(row: Colour):
    for name in (row.name, *row.aliases, row.name.upper(), f"  {row.name} "):
        assert colour(name) is row
    assert (
        colour(row.name.replace("b", "♭").replace("#", "♯") if row.name[0] in "b#" else row) is row
    )
    assert str(row) == row.name


def test_no_name_belongs_to_two_colours():
    every = [name.lower() for row in COLOURS for name in (row.name, *row.aliases)]
    assert len(every) == len(set(every))


def test_tensions_are_the_degrees_outside_the_plain_seventh_chord():
    assert names(colour("b9").tensions) == "b9"
    assert names(colour("altered").tensions) == "b9 #9 #11 b13"
    assert names(colour("suspended").tensions) == "9 11"


@pytest.mark.parametrize("wrong", ["", "blue", "b9b13", "9" * 10_000, None, 9, "b9 😀"])
def test_what_is_no_colour_is_refused_with_the_names_that_are(wrong: object):
    with pytest.raises(TheoryError, match="want one of b9, b9 13,"):
        colour(wrong)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("asked", "degrees"),
    [
        ("b9 13", "13 b9 3"),  # the name of a colour comes first,
        ("13 b9", "13 b9"),  # then degrees are read
        ("♭9, ♯11", "b9 #11"),
        (["b9", Degree(3)], "b9 3"),
        (colour("#9"), "#9 5 b7"),
    ],
)
def test_what_was_asked_for_is_read_as_degrees(asked: object, degrees: str):
    assert names(as_degrees(asked)) == degrees


@pytest.mark.parametrize("wrong", ["b9 H", "green", 9, None, [9], [None], "b9 " * 1000 + "x"])
def test_what_is_neither_colour_nor_degrees_is_refused(wrong: object):
    with pytest.raises(TheoryError, match=r"not (a )?degree"):
        as_degrees(wrong)
