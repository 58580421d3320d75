"""The search: every colour over every dominant, the shortest way first, nothing left out."""

import itertools
import re

import pytest
from hypothesis import given, strategies as st
from plain import names
from together import together
from written_colours import AS_SHAPE, DOMINANTS

from theorykit import COLOURS, Chord, Colour, Degree, Note, Shortcut, TheoryError, colour, shortcuts
from theorykit.harmony.colours import MINOR
from theorykit.harmony.shapes import SHAPES
from theorykit.harmony.shortcuts import every_shape
from theorykit.harmony.tensions import TENSION_NAMES, degree_names
from theorykit.harmony.wording import route

TWELVE = "C Db D Eb E F Gb G Ab A Bb B".split()
ROOTS = [*TWELVE, "C#", "D#", "F#", "G#", "A#", "Cb", "Fb", "E#", "B#"]
GUIDES = {4, 10}  # half steps of the 3 and the b7
each_colour = pytest.mark.parametrize("row", COLOURS, ids=str)

# The shortest way to think of each colour: half steps above the root of V, and what stands there
# (the nine triads: Wikipedia contributors, Upper structure, undated; the scales: Sabatella's Primer
# and Wikipedia contributors, Altered scale, undated; the rest common practice).
SHORTEST = {
    "b9": (4, "dim7"),
    "b9 13": (9, ""),
    "b9 b13": (1, "m"),
    "b9 #11": (6, ""),
    "b9 #11 13": (6, "m"),
    "9 #11 13": (2, ""),
    "#9": (3, ""),
    "#9 b13": (8, ""),
    "#9 #11": (3, "m"),
    "half-whole diminished": (1, " whole-half diminished"),
    "altered": (1, " melodic minor"),
    "whole tone": (0, "aug"),  # and another a whole step above
    "lydian dominant": (7, " melodic minor"),
    "minor's own": (5, " harmonic minor"),
    "suspended": (10, ""),
    "suspended b9": (7, "m7b5"),
    "tritone substitute": (6, "7"),
    "its related ii": (4, "maj7"),
}


@pytest.mark.parametrize("root", TWELVE)
@each_colour
def test_the_shortest_way_comes_first_in_every_key(row: Colour, root: str):
    for mode in row.targets:
        best = shortcuts(f"{root}7", row, mode)[0]
        assert (best.place, best.row.suffix) == SHORTEST[row.name]
        assert best.second == (2 if row.name == "whole tone" else None)
        assert (best.root.semitone - best.chord.root.semitone) % 12 == best.place


@pytest.mark.parametrize("place", range(len(DOMINANTS)), ids=lambda place: DOMINANTS[place])
@each_colour
def test_the_shortest_way_is_named_and_spelled_as_a_teacher_writes_it(row: Colour, place: int):
    best = shortcuts(DOMINANTS[place], row, row.targets[0])[0]
    assert (best.shape, names(best.notes)) == AS_SHAPE[row.name][place]
    assert str(best) == best.shape


@each_colour
def test_every_colour_is_reached_over_every_dominant_and_every_target_it_suits(row: Colour):
    for root, kind, mode in itertools.product(
        ROOTS, ("7", "9", "13", "7sus4", "7alt"), row.targets
    ):
        found = shortcuts(root + kind, row, mode)
        assert found
        sounds = {degree.semitone for degree in row.degrees}
        assert all(sounds <= set(one.semitones) for one in found[:20])


@given(
    st.sampled_from(ROOTS),
    st.lists(st.sampled_from(TENSION_NAMES), min_size=1, max_size=4, unique=True),
)
def test_no_shape_that_brings_the_degrees_is_left_out(root: str, wanted: list[Degree]):
    sounds = {degree.semitone for degree in wanted}
    expected = {
        (row.suffix, place)
        for row in SHAPES
        for place in range(12)
        if sounds <= {(place + degree.semitone) % 12 for degree in row.degrees}
    }
    found = shortcuts(f"{root}7", tuple(wanted))
    assert {(one.row.suffix, one.place) for one in found} == expected
    assert len(found) == len(expected)


def weight(one: Shortcut, joining: tuple[Degree, ...] = ()) -> tuple[int, ...]:
    """The order of the docstring, counted anew from what a shortcut says of itself."""
    asked = {degree.semitone for degree in (*one.wanted, *joining)}
    sounds = set(one.semitones)
    unasked = {degree.semitone for degree in one.clashes} - asked
    free = sounds - asked - {degree.semitone for degree in one.chord.degrees}
    plain = one.row.plainness if one.second is None else 17
    return len(unasked), len(free), len(sounds), plain, not sounds & GUIDES


@each_colour
def test_the_order_is_the_one_that_is_promised(row: Colour):
    for mode in row.targets:
        weights = [weight(one, row.passing) for one in shortcuts("Eb7", row, mode)]
        assert weights == sorted(weights)


@given(st.lists(st.sampled_from(TENSION_NAMES), min_size=1, max_size=3, unique=True))
def test_the_order_is_the_one_that_is_promised_for_any_degrees(wanted: list[Degree]):
    weights = [weight(one) for one in shortcuts("Eb7", tuple(wanted))]
    assert weights == sorted(weights)


@together("root", TWELVE)
def test_a_shortcut_says_the_same_of_its_notes_degrees_and_functions(root: str):
    for row in COLOURS:
        for one in shortcuts(f"{root}7", row)[:12]:
            names_of = degree_names(one.chord)
            assert [note.semitone for note in one.notes] == [n.semitone for n in one.function_notes]
            assert one.degrees == tuple(names_of[semitone] for semitone in one.semitones)
            assert [(n.semitone - one.chord.root.semitone) % 12 for n in one.notes] == list(
                one.semitones
            )
            assert set(one.adds).isdisjoint(one.chord.degrees)
            assert {d.semitone for d in one.extra} == {d.semitone for d in one.adds} - {
                d.semitone for d in row.degrees
            }


@together("root", ROOTS)
def test_a_chord_among_the_shortcuts_is_read_as_the_chord_it_is(root: str):
    for row in COLOURS:
        for one in shortcuts(f"{root}7", row):
            if (
                one.second is None
                and one.row.family in ("triad", "seventh")
                and one.row.suffix != "aug"
            ):
                assert Chord.parse(one.shape).notes == one.notes


def test_the_example_of_the_e_triad_over_g():
    best = shortcuts("G7", "♭9 13", "C")[0]
    assert (best.shape, best.pretty) == ("E", "E")
    assert names(best.notes) == "E G# B"
    assert names(best.function_notes) == "E Ab B"
    assert names(best.degrees) == "13 b9 3"
    assert names(best.adds) == "13 b9"
    assert best.clashes == best.extra == ()
    assert best.routes == ("the 6th of V", "the 3rd of I", "the 9th of ii")
    assert best.words == "E major triad on the 6th of V, which is the 3rd of I"


# Where to start, as it is taught (common practice).
ROUTES = {
    "b9": {"the 3rd of V", "the 7th of I", "a half step below I"},
    "b9 13": {"the 6th of V", "the 3rd of I"},
    "b9 b13": {"a half step above V", "the ♭6th of I"},
    "b9 #11": {"the ♯11 of V", "a half step above I"},
    "9 #11 13": {"the 9th of V", "the 6th of I", "the 5th of ii"},
    "#9": {"the ♭3rd of V", "the ♭7th of I"},
    "#9 b13": {"the ♭6th of V", "the ♭3rd of I"},
    "altered": {"a half step above V", "the ♭6th of I"},
    "lydian dominant": {"the 5th of V", "the 2nd of I", "the root of ii"},
    "minor's own": {"the root of i", "the 4th of V"},
    "suspended": {"the ♭7th of V", "the 4th of I", "the ♭3rd of ii"},
    "suspended b9": {"the 5th of V", "the root of ii"},
    "tritone substitute": {"a half step above I", "the ♭2nd of I"},
    "its related ii": {"a half step below I", "the 3rd of V"},
}


@together("root", TWELVE)
@together("name", ROUTES)
def test_the_routes_are_those_that_teachers_name_in_every_key(name: str, root: str):
    best = shortcuts(f"{root}7", name, colour(name).targets[0])[0]
    assert set(best.routes) >= ROUTES[name]
    assert all(route in best.words for route in best.routes if " V" in route)


def test_routes_name_the_chords_where_v_does_not_lead_to_i():
    assert shortcuts("G7", "b9 13", "Am7")[0].routes[:2] == ("the 6th of G7", "the 5th of Am7")
    assert shortcuts("Dm7", "9 5 b7")[0].routes[0].endswith("of Dm7")
    as_substitute = shortcuts("Db7", "9 #11 13", "C")[0]
    assert as_substitute.routes == ("the 9th of Db7".replace("b", "♭"), "the ♭3rd of I")
    assert as_substitute.words == "E♭ major triad on the 9th of D♭7, which is the ♭3rd of I"
    assert "of V" not in shortcuts("E7", "b9 13", "C")[0].words


def test_a_third_or_seventh_that_the_chord_has_not_is_told_apart():
    """In C minor E is the major 3rd of i; over G7 the F sharp is the major 7th."""
    in_minor = shortcuts("G7", "b9 13", MINOR)[0]
    assert in_minor.routes[:2] == ("the 6th of V", "the major 3rd of i")
    assert in_minor.words == "E major triad on the 6th of V, which is the major 3rd of i"
    assert shortcuts("G7", "#9 b13", MINOR)[0].routes[1] == "the ♭3rd of i"
    outside = next(s for s in every_shape("G7", "triad", "C") if s.shape == "F#m")
    assert outside.routes[1:4] == ("the major 7th of V", "the ♯4th of I", "the major 3rd of ii")
    assert route(4, "Am7", Chord.parse("Am7").degrees) == "the major 3rd of Am7"
    assert route(4, "C7", Chord.parse("C7").degrees) == "the 3rd of C7"
    assert route(11, "Fmaj7", Chord.parse("Fmaj7").degrees) == "the 7th of Fmaj7"


@pytest.mark.parametrize(
    ("v", "colour", "told"),
    # The degree that V has there, where the shape's root is its other name; by hand.
    [
        ("F7", "altered", "F♯ melodic minor scale, a half step above V: the ♭9 of V (G♭)"),
        ("C#7", "b9 13", "B♭ major triad on the 6th of V (A♯), which is the 3rd of I"),
        ("C#7", "9 #11 13", "E♭ major triad on the 9th of V (D♯), which is the 6th of I"),
        ("Bb7", "b9 b13", "B minor triad, a half step above V: the ♭9 of V (C♭), the ♭6th of I"),
        ("Eb7", "altered", "E melodic minor scale, a half step above V: the ♭9 of V (F♭)"),
        ("B7", "its related ii", "a half step below I: the 3rd of V (D♯), the 7th of I"),
        ("G7", "b9 #11", "D♭ major triad, a half step above I: the ♯11 of V, the ♭2nd of I"),
        ("Ab7", "b9 b13", "A minor triad, a half step above V: the ♭9 of V, the ♭6th of I"),
        ("Ab7", "#9", "B major triad on the ♭3rd of V, which is the ♭7th of I"),
    ],
)
def test_the_other_name_of_a_root_is_told_where_it_helps(v: str, colour: str, told: str):
    assert told in shortcuts(v, colour)[0].words


@together("root", [*TWELVE, "F#", "C#", "G#"])
def test_the_other_name_sounds_like_the_root_and_is_easy_to_read(root: str):
    for row, mode in itertools.product(COLOURS, ("major", "minor")):
        for one in shortcuts(f"{root}7", row, mode)[:12]:
            for name in re.findall(r"\(([A-G][♭♯]*)\)", one.words):
                asked = Note.parse(name)
                assert asked.semitone == one.root.semitone
                assert asked != one.root
                assert abs(asked.alteration) < 2


def test_a_suspension_that_was_asked_for_stands_for_the_third():
    best = shortcuts("G7", "suspended")[0]
    assert names(best.clashes) == "11"
    said = "the 11, C, stands for the 3rd, B, and would rub against it"
    assert best.why_clashes == (said,)
    assert shortcuts("G7", "minor's own", MINOR)[0].why_clashes == (
        "the 11, C, rubs against the 3rd, B",
    )


def test_a_stack_of_fourths_is_named_by_its_notes():
    """Three notes a fourth apart make two fourths."""
    nouns = {s.row.suffix: (s.row.noun, len(s.notes)) for s in every_shape("G7", "quartal")}
    assert nouns == {
        " quartal": ("three-note stack of fourths", 3),
        " quartal of four": ("four-note stack of fourths", 4),
    }


def test_clashes_are_told_with_their_reason():
    slide = shortcuts("G7", "its related ii")[0]
    assert names(slide.clashes) == "7"
    assert slide.why_clashes == ("the natural 7, F♯, rubs against the ♭7, F",)
    in_minor = shortcuts("G7", "b9 13", "minor")[0]
    assert in_minor.why_clashes == ("E is the major 3rd of C, and the tonic is minor",)


def test_a_note_that_may_pass_is_no_reason_to_come_later():
    assert shortcuts("G7", "minor's own", MINOR)[0].shape == "C harmonic minor"
    assert shortcuts("G7", "suspended")[0].extra == ()


def test_a_pair_of_triads_tells_both_roots():
    best = shortcuts("G7", "whole tone")[0]
    assert best.pretty == "Gaug and Aaug"
    assert best.words == "augmented triads on G and A: the root of V and the 9th of V"
    assert names(best.degrees) == "1 3 b13 9 #11 b7"


def test_all_shapes_of_a_family_are_told_whatever_they_bring():
    triads = every_shape("G7", "triad")
    assert len(triads) == len({(one.row.suffix, one.place) for one in triads}) == 48


@pytest.mark.parametrize("wrong", ["", (), [], "green", "b9 H", None, 9])
def test_an_empty_or_unreadable_wish_is_refused(wrong: object):
    with pytest.raises(TheoryError):
        shortcuts("G7", wrong)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("chord", "target"), [("H7", None), ("N.C.", None), ("G7", "H"), (7, None)]
)
def test_an_unreadable_chord_or_target_is_refused(chord: object, target: object):
    with pytest.raises(TheoryError):
        shortcuts(chord, "b9", target)  # type: ignore[arg-type]
