"""Agreement of colours with chord symbols: by hand, in words, and swept over the tables."""

from __future__ import annotations

import pytest
from together import together

from theorykit.harmony.agreement import (
    agreeing_colours,
    agrees,
    contradicts,
    disagreements,
    said_by_ii,
    written_in,
)
from theorykit.harmony.colours import COLOURS
from theorykit.harmony.shortcuts import every_shape, shortcuts
from theorykit.harmony.substitution import substitute
from theorykit.notes.chord import Chord
from theorykit.notes.degree import Degree, degrees
from theorykit.notes.key import KEYS
from theorykit.notes.kinds import CHORD_KINDS, ChordKind
from theorykit.views.explorer_view import explore

TRIADS_AND_SEVENTHS = "b9, b9 13, b9 b13, b9 #11, b9 #11 13, 9 #11 13, #9, #9 b13, #9 #11"

# Which colours a player may lay over a symbol without changing it, by hand (common practice; the
# scales as in Terefenko, Jazz Theory, 2014, ch. 5, and Sabatella's chord and scale chart).
BY_HAND = {
    "C9": "9 #11 13, whole tone, lydian dominant",
    "C13": "9 #11 13, lydian dominant",
    "C13#11": "9 #11 13, lydian dominant",
    "C9#5": "whole tone",
    "C7alt": "b9 b13, b9 #11, #9 b13, #9 #11, altered, tritone substitute, its related ii",
    "C7#5": "b9 b13, b9 #11, #9 b13, #9 #11, altered, whole tone, tritone substitute, "
    "its related ii",
    "C13b9": "b9, b9 13, b9 #11, b9 #11 13, #9, #9 #11, half-whole diminished, tritone substitute",
    "C7b9b13": "b9, b9 b13, b9 #11, #9, #9 b13, #9 #11, altered, minor's own, "
    "tritone substitute, its related ii",
    "C7sus4": "suspended, suspended b9",
    "C9sus4": "suspended",
    "C13sus4": "suspended",
    "C7sus4b9": "suspended b9",
    "C7sus2": "",
    "C11": "suspended",
    "C7": f"{TRIADS_AND_SEVENTHS}, half-whole diminished, altered, whole tone, "
    "lydian dominant, minor's own, tritone substitute, its related ii",
}


@together(("symbol", "names"), BY_HAND.items())
def test_the_colours_that_agree_with_a_symbol_by_hand(symbol, names):
    found = [row.name for row in agreeing_colours(symbol)]
    assert found == [name for name in names.split(", ") if name]


@pytest.mark.parametrize(
    ("name", "symbol", "reasons"),
    [
        ("b9 13", "C7alt", ("C7alt has a ♭13, and this colour has a 13",)),
        ("b9", "C7#5", ("C7♯5 has a ♯5, and this colour has a 5",)),
        (
            "b9",
            "Bb7alt",
            ("B♭7alt has altered notes in the place of its 5th, and this colour has a 5",),
        ),
        ("suspended", "F#7", ("F♯7 has a 3rd, and this colour holds the 4th in its place",)),
        (
            "altered",
            "Db9sus4",
            (
                "D♭9sus4 has a 9, and this colour has a ♭9",
                "D♭9sus4 holds the 4th in the place of the 3rd, and this colour has a ♯9",
                "D♭9sus4 holds the 4th in the place of the 3rd, and this colour has a 3rd",
                "D♭9sus4 holds the 4th in the place of the 3rd, and this colour has a ♯11",
            ),
        ),
        ("9 #11 13", "C11", ("C11 has an 11, and this colour has a ♯11",)),
        ("whole tone", "C13", ("C13 has a 13, and this colour has a ♭13",)),
        (("11",), "C7#11", None),
    ],
)
def test_the_reasons_in_words(name, symbol, reasons):
    found = disagreements(name, symbol)
    if reasons is None:
        assert any("has a ♯11, and this colour has an 11" in reason for reason in found)
    else:
        assert found == reasons


def test_a_half_diminished_ii_says_the_flat_9_of_its_dominant():
    # The b5 of the ii is the b9 of V (common practice).
    assert said_by_ii(Chord.parse("Cm7b5"), Chord.parse("F7")) == (Degree(9, -1),)
    assert not agrees("9 #11 13", "F7", "Cm7b5")
    assert agrees("b9 13", "F7", "Cm7b5")
    assert agrees("9 #11 13", "F7", "Cm7")
    assert agrees("9 #11 13", "F9", "Cm7b5")  # the symbol speaks for itself
    assert agrees("9 #11 13", "B7", "Cm7b5")  # of another V


def test_what_is_written_and_what_is_not():
    assert written_in("C7") == degrees("3")
    assert written_in("C7alt") == degrees("3 b9 #9 #11 b13")
    assert written_in("G9sus4") == degrees("4 9")


DOMINANTS = [row.symbol for row in CHORD_KINDS if ChordKind.of(row.formula).is_dominant] + (
    "7b9 7#9 7b5 7b13 7#11 13b9 13#11 7b9b13 7b9#9 7#5b9 7#5#9 7b9#11 9b13 9#11 7b5b9 13b5".split()
)


@together("symbol", DOMINANTS)
def test_no_agreement_is_a_clash_on_one_letter(symbol):
    """Checked by sound, without the table: one kind of 9, of 13, of 3rd or suspension, of 5th.

    b9 and #9 go together, and so do 5 and b13 (common practice).
    """
    for key in KEYS:
        chord = Chord(key.tonic, Chord.parse(f"C{symbol}").kind)
        own = {degree.semitone for degree in chord.degrees}
        for row in agreeing_colours(chord):
            sounds = {degree.semitone for degree in row.degrees}
            tens = {degree.semitone for degree in written_in(chord)}
            both = tens | sounds
            for one, other in ((2, 1), (2, 3), (9, 8)):
                assert not {one, other} <= both, (str(chord), row.name)
            assert not {4, 5} <= both or {4, 5} <= own, (str(chord), row.name)


def test_one_sound_contradicts_a_kind():
    alt = Chord.parse("C7alt").kind
    found = [str(d) for d in degrees("1 b9 9 #9 3 11 #11 5 b13 13 b7") if contradicts(d, alt)]
    assert found == ["9", "11", "5", "13"]


def test_a_shape_that_contradicts_the_symbol_clashes_and_comes_later():
    (e,) = (one for one in every_shape("G7alt", "triad") if one.shape == "E")
    assert [str(degree) for degree in e.clashes] == ["13"]
    assert e.why_clashes == ("the natural 13, E, contradicts the written ♭13, E♭",)
    assert all(not one.clashes for one in shortcuts("G7alt", "b9 b13")[:5])


@pytest.mark.parametrize(
    ("v", "target", "suspended"),
    # The 9 or the flat 9 that is written stays in the suspension (common practice).
    [
        ("G7", "C", "G9sus4"),
        ("G7b9", "C", "G7sus4b9"),
        ("G7alt", "C", "G7sus4b9"),
        ("C#9", "F#m", "C#9sus4"),
        ("F7", "Bbm", "F7sus4b9"),
    ],
)
def test_the_suspended_version_keeps_the_written_9(v, target, suspended):
    assert [str(c) for c in substitute("suspended version", v, target).chords] == [suspended]


def test_the_explorer_says_that_a_suspension_changes_the_chord():
    assert explore("D♭", "long", "suspended").advice == (
        "A♭7 has a 3rd, and this colour holds the 4th in its place."
    )
    assert explore("D♭", "long", "altered").advice == ""


def test_every_colour_agrees_with_some_symbol():
    kinds = [Chord.parse(f"C{symbol}") for symbol in DOMINANTS]
    for row in COLOURS:
        assert any(agrees(row, chord) for chord in kinds), row
