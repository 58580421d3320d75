"""Chord symbols as MusicXML: what the element means, read by rules that we did not write."""

from itertools import product

import pytest
from hypothesis import given, strategies as st

from theorykit.notes.chord import Chord
from theorykit.notes.degree import Degree
from theorykit.notes.kinds import CHORD_KINDS
from theorykit.show.engraving import KINDS
from theorykit.show.engraving.mark_xml import described, harmony_element

PILES = (
    "7b9#11 7#9b13 7b9b13 7b9#9 7b5b9 7#5#9 13b9 13#9 13#11 13b9#11 13#11no5 9#11 9b13 7b5 7no3 "
    "7no5 maj7#11 maj9#11 maj13#11 maj7b5 6/9#11 m7b13 m9no5 m11b5add13 7add6 (b5) addb6 "
    "7sus4b9 13sus4b9 7sus2 m(maj7)add13 maj7#5#11 add9no3 dim7add9"
).split()

# MusicXML 4.0, documentation of kind-value: the notes of each kind as half steps above the root.
# The ninth and higher chords hold every third below them.
STANDARD = {
    "major": "0 4 7",
    "minor": "0 3 7",
    "augmented": "0 4 8",
    "diminished": "0 3 6",
    "dominant": "0 4 7 10",
    "major-seventh": "0 4 7 11",
    "minor-seventh": "0 3 7 10",
    "diminished-seventh": "0 3 6 9",
    "augmented-seventh": "0 4 8 10",
    "half-diminished": "0 3 6 10",
    "major-minor": "0 3 7 11",
    "major-sixth": "0 4 7 9",
    "minor-sixth": "0 3 7 9",
    "dominant-ninth": "0 4 7 10 14",
    "major-ninth": "0 4 7 11 14",
    "minor-ninth": "0 3 7 10 14",
    "dominant-11th": "0 4 7 10 14 17",
    "major-11th": "0 4 7 11 14 17",
    "minor-11th": "0 3 7 10 14 17",
    "dominant-13th": "0 4 7 10 14 17 21",
    "major-13th": "0 4 7 11 14 17 21",
    "minor-13th": "0 3 7 10 14 17 21",
    "suspended-second": "0 2 7",
    "suspended-fourth": "0 5 7",
    "power": "0 7",
}
# Half steps of the plain degrees of a dominant chord, from which added degrees are counted.
OVER_DOMINANT = {1: 0, 2: 2, 3: 4, 4: 5, 5: 7, 6: 9, 7: 10, 9: 14, 11: 17, 13: 21}


def sounded(chord: Chord) -> set[int]:
    """Read kind and degrees as the standard says, to pitch classes above the root.

    ``alter`` and ``subtract`` meet the degree that the kind holds; ``add`` counts from a dominant.
    """
    element = harmony_element(chord)
    notes = {
        number: semitone
        for semitone in map(int, STANDARD[element.findtext("kind")].split())
        for number in [_number(semitone)]
    }
    added = set()
    for degree in element.iter("degree"):
        number = int(degree.findtext("degree-value"))
        change = int(degree.findtext("degree-alter"))
        match degree.findtext("degree-type"):
            case "add":
                added.add(OVER_DOMINANT[number] + change)
            case "alter":
                notes[number] += change
            case "subtract":
                del notes[number]
    return {semitone % 12 for semitone in [*notes.values(), *added]}


def _number(semitone: int) -> int:
    """Name the degree of a note of a kind: thirds are 3 and 4 half steps, and so on."""
    names = {0: 1, 2: 2, 3: 3, 4: 3, 5: 4, 6: 5, 7: 5, 8: 5, 10: 7, 11: 7, 14: 9, 17: 11, 21: 13}
    return names.get(semitone, 6)


def test_the_table_of_kinds_is_that_of_the_standard():
    semitones = {
        kind: {Degree.parse(name).semitones for name in formula.split()}
        for kind, formula in KINDS.items()
    }
    assert semitones == {kind: set(map(int, row.split())) for kind, row in STANDARD.items()}


@pytest.mark.parametrize("symbol", [*(row.symbol for row in CHORD_KINDS), *PILES])
def test_kind_and_degrees_mean_what_the_symbol_says(symbol):
    for root in ("C", "Db", "F#"):
        chord = Chord.parse(root + symbol)
        wanted = {(note.semitone - chord.root.semitone) % 12 for note in chord.notes}
        if described(chord)[0] == "diminished-seventh":  # its 7 is 9 half steps, as a 6 would be
            assert not [mark for mark in described(chord)[1] if mark.number in (6, 7)]
        assert sounded(chord) == wanted


@given(
    st.sets(st.sampled_from("b9 9 #9 11 #11 b13 13".split())), st.sampled_from(["7", "maj7", "m7"])
)
def test_any_tensions_over_any_seventh_chord(tensions, base):
    chord = Chord.parse("G" + base + "".join(f"add{tension}" for tension in sorted(tensions)))
    assert sounded(chord) == {(n.semitone - chord.root.semitone) % 12 for n in chord.notes}


@pytest.mark.parametrize(
    ("symbol", "kind"),
    [  # common practice: what a lead sheet program calls these chords
        ("C", "major"), ("Cm7", "minor-seventh"), ("C7", "dominant"), ("C13", "dominant-13th"),
        ("Cmaj7", "major-seventh"), ("Cm7b5", "half-diminished"), ("Cadd9", "major"),
        ("C6/9", "major-sixth"), ("Cm(maj7)", "major-minor"), ("C7b9", "dominant"),
    ],
)  # fmt: skip
def test_plain_chords_have_the_plain_kind(symbol, kind):
    assert described(Chord.parse(symbol))[0] == kind


@pytest.mark.parametrize(("root", "bass"), [*product(["C", "Bb", "F#"], ["E", "Ab", "D#"])])
def test_root_and_bass_are_spelled(root, bass):
    element = harmony_element(Chord.parse(f"{root}m7/{bass}"))
    for role, name in (("root", root), ("bass", bass)):
        alter = {"b": "-1", "#": "1", "": None}[name[1:]]
        assert element.findtext(f"{role}/{role}-step") == name[0]
        assert element.findtext(f"{role}/{role}-alter") == alter


def test_no_chord_is_the_kind_none_and_prints_no_root():
    element = harmony_element(Chord.parse("N.C."))
    assert element.findtext("kind") == "none"
    assert element.find("kind").get("text") == "N.C."
    assert element.find("root/root-step").get("text") == ""


def test_what_the_text_says_is_not_printed_again():
    element = harmony_element(Chord.parse("G7b9#11"))
    assert {degree.get("print-object") for degree in element.iter("degree")} == {"no"}
    assert element.find("kind").get("text") == "7♭9♯11"
