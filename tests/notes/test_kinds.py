"""The table of chord kinds: what it says, and that it says each thing once."""

from itertools import product

import pytest
from plain import names
from together import together
from written_kinds import DOMINANTS, ROOTS, WRITTEN

from theorykit import Chord, Note, TheoryError
from theorykit.notes.degree import degrees
from theorykit.notes.kinds import CHORD_KINDS, SPELLINGS, ChordKind, KindRow, expanded

ALL_ROOTS = [Note(letter, alteration) for letter in "CDEFGAB" for alteration in (-1, 0, 1)]
each_row = together("row", CHORD_KINDS, ids=lambda row: row.symbol or "major")


@together(("kind", "place"), [*product(WRITTEN, range(len(ROOTS)))])
def test_a_kind_is_spelled_as_written_by_hand(kind: str, place: int):
    chord = Chord.parse(ROOTS[place] + kind)
    assert names(chord.notes) == WRITTEN[kind][place]
    assert str(chord) == ROOTS[place] + kind


@together("symbol", DOMINANTS)
def test_the_dominants_of_four_keys_are_spelled_as_written_by_hand(symbol: str):
    assert names(Chord.parse(symbol).notes) == DOMINANTS[symbol]


def test_every_row_is_among_the_kinds_written_by_hand():
    assert {row.symbol for row in CHORD_KINDS} <= set(WRITTEN)


@each_row
def test_a_formula_climbs_from_the_root(row: KindRow):
    steps = [degree.semitones for degree in row.degrees]
    assert steps == sorted(set(steps))
    assert steps[0] == 0


@each_row
def test_every_spelling_of_a_row_is_read_as_its_kind(row: KindRow):
    kind = ChordKind.of(row.formula)
    found = [spelling for spelling, named in SPELLINGS.items() if named == kind]
    assert row.symbol in found
    for spelling in found:
        chord = Chord.parse("A" + spelling)
        assert (chord.kind, str(chord)) == (kind, "A" + row.symbol)


def test_no_spelling_names_two_kinds():
    """Written out from the rows again, so that one that overwrites another is seen."""
    every = [
        (spelling, row.symbol)
        for row in CHORD_KINDS
        for written in (row.symbol, *row.spellings)
        for spelling in set(expanded(written))
    ]
    meanings: dict[str, set[str]] = {}
    for spelling, symbol in every:
        meanings.setdefault(spelling, set()).add(symbol)
    assert {s: kinds for s, kinds in meanings.items() if len(kinds) > 1} == {}


def test_no_two_rows_have_the_same_degrees_or_name():
    assert len({frozenset(row.degrees) for row in CHORD_KINDS}) == len(CHORD_KINDS)
    assert len({row.name for row in CHORD_KINDS}) == len(CHORD_KINDS)


@together("root", ALL_ROOTS, ids=str)
def test_reading_what_is_printed_gives_the_same_chord_on_every_root(root: Note):
    for row in CHORD_KINDS:
        chord = Chord(root, ChordKind.of(row.formula))
        assert Chord.parse(str(chord)) == chord
        assert Chord.parse(chord.pretty) == chord
        assert [note.semitone for note in chord.notes] == [
            (root.semitone + degree.semitone) % 12 for degree in chord.degrees
        ]


@pytest.mark.parametrize(
    ("formula", "symbol", "name"),
    [
        ("1 3 5 b7 b9 13", "13b9", "dominant thirteenth, flat 9"),
        ("1 3 #5 b7 #9", "7#5#9", "dominant seventh, sharp 5, sharp 9"),
        ("1 3 5 b7 11", "7add11", "dominant seventh, added 11"),
        ("1 3 b7", "7no5", "dominant seventh, without 5"),
        ("1 3 b5", "(b5)", "major triad, flat 5"),
        ("1 b3 5 11", "madd11", "minor triad, added 11"),
        ("1 4 5 7 9", "maj9sus4", "major ninth, suspended"),
        ("1 4 5 b7 b13", "7sus4b13", "suspended dominant, flat 13"),
        ("1 3 5 6 9 #11", "6/9#11", "six-nine, sharp 11"),
        ("", "N.C.", "no chord"),
    ],
)
def test_degrees_without_a_row_take_the_fewest_marks(formula: str, symbol: str, name: str):
    kind = ChordKind.of(formula)
    assert (kind.symbol, kind.name) == (symbol, name)


@pytest.mark.parametrize("formula", ["1 3 b5 5 b7", "1 b3 3 5", "1 3 5 b7 7 9", "1 2 3 5"])
def test_degrees_that_no_lead_sheet_writes_have_no_symbol(formula: str):
    kind = ChordKind.of(formula)
    with pytest.raises(TheoryError, match="no symbol for the degrees"):
        _ = kind.symbol


def test_the_order_and_repetition_of_degrees_do_not_matter():
    assert ChordKind.of("9 b7 5 3 1 1") == ChordKind.of(degrees("1 3 5 b7 9"))


def test_a_dominant_is_told_by_its_third_and_seventh():
    dominant = {row.symbol for row in CHORD_KINDS if ChordKind.of(row.formula).is_dominant}
    assert dominant == {
        *("7", "9", "11", "13", "7#5", "9#5", "7alt"),
        *("7sus4", "9sus4", "13sus4", "7sus2", "7sus4b9"),
    }
