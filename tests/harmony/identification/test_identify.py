"""Naming any notes over any chord: sensible answers, and words that agree with the facts."""

import re

import pytest
import spoken
from hypothesis import given, strategies as st
from music21.chord import Chord as Music21Chord
from plain import names

from theorykit import COLOURS, SCALES, Chord, Degree, Note, Scale, TheoryError, identify
from theorykit.harmony.identification.brought_notes import read_sounds

EVERY_NOTE = "C Db D Eb E F F# G Ab A Bb B"


@pytest.mark.parametrize(
    ("brought", "name", "notes"),
    [
        ("E G# B", "E G# B", "E G# B"),
        (" E,G#,  B ", "E G# B", "E G# B"),
        ("E♭ G♭", "Eb Gb", "Eb Gb"),
        ("E", "E", "E"),
        ("Emaj", "E", "E G# B"),
        ("B B# C Cb", "B B#", "B B#"),
        ("C/Bb", "C/Bb", "C E G Bb"),
        ("Ab melodic minor", "Ab melodic minor", "Ab Bb Cb Db Eb F G"),
        (["E", Note("G", 1), "B"], "E G# B", "E G# B"),
        (Chord.parse("Bmaj7"), "Bmaj7", "B D# F# A#"),
        (Scale.parse("G altered"), "G altered", "G Ab Bb Cb Db Eb F"),
    ],
)
def test_notes_chords_and_scales_are_read(brought, name: str, notes: str):
    found = read_sounds(brought)
    assert (found.name, names(found.notes)) == (name, notes)


@pytest.mark.parametrize(
    ("brought", "said"),
    [
        ("", r"no notes \(want notes such as"),
        (" , ", "no notes"),
        ([], "no notes"),
        ("N.C.", r"no notes in N\.C\."),
        ("E7 A7", "neither notes nor a chord: 'E7 A7'"),
        ("H", "not a chord: 'H'"),
        ("C " * 500, "neither notes nor a chord"),
        (7, "neither notes nor a chord: 7"),
        ([7], "not a note name: 7"),
    ],
)
def test_what_cannot_be_read_is_refused_with_what_is_wanted(brought, said: str):
    with pytest.raises(TheoryError, match=said):
        identify(brought, "G7")


@pytest.mark.parametrize("row", COLOURS, ids=str)
@pytest.mark.parametrize("dominant", ["G7", "Db7", "F#7"])
def test_the_notes_of_a_colour_are_that_colour(row, dominant: str):
    found = identify(row.notes(Chord.parse(dominant)), dominant)
    assert row in [match.colour for match in found.exact]
    assert set(names(found.degrees).split()) == set(names(row.degrees).split())


@pytest.mark.parametrize("target", ["C", "Cm6"])
def test_the_case_that_puzzles_students_is_found_from_its_notes_alone(target: str):
    for brought in ("Bmaj7", "B D# F# A#", "Cb Eb Gb Bb"):
        found = identify(brought, "G7", target)
        assert names(found.degrees) == "3 b13 7 #9"
        assert found.exact[0].colour.name == "its related ii"
        assert [str(one.chord) for one in found.suggestions] == ["Bmaj7", "Abm7"]
        assert "They are A♭m7 with its 9 and without its root: the related ii of the tritone " in (
            " ".join(found.words)
        )
        assert "The natural 7 of G7, F♯, is the 11 of D♭7" in " ".join(found.words)


def test_a_lone_note_is_a_degree_a_tension_and_a_count():
    found = identify("Ab", "G7")
    assert found.words[:2] == (
        "Over G7, A♭ is the ♭9.",
        "This is the tension of the colour ♭9.",
    )
    assert not found.suggestions
    assert found.counts.count == 852  # as the evidence has it
    assert "♭9 falls a half step to the 5th of I." in found.words


def test_one_note_is_told_in_the_singular_and_several_in_the_plural():
    assert "This is a tone of G7 itself: no colour." in identify("B", "G7").words
    assert "These are tones of G7 itself: no colour." in identify("B D", "G7").words
    lone = " ".join(identify("E", "G7").words)
    assert "It is in ♭9 13 (adds ♭9)" in lone
    assert "; it is held by Em" in lone
    assert "Scales of G7 that hold it: " in lone
    several = " ".join(identify("E Ab", "G7").words)
    assert "They are also in ♭9 ♯11 13 (adds ♯11)" in several
    assert "; they are held by E (adds 3)" in several
    assert "Scales of G7 that hold them: " in several


def test_two_notes_are_told_apart_by_their_interval():
    assert "The two lie a tritone apart." in identify("B F", "G7").words
    assert "The two lie a whole step apart." in identify("Bb Ab", "Eb7").words
    assert not identify("B F", "G7").suggestions


def test_all_twelve_are_the_chromatic_scale_and_no_colour():
    found = identify(EVERY_NOTE, "G7")
    assert found.words[0].startswith("All twelve notes: the chromatic scale.")
    assert [heading for heading, _ in found.sections] == ["over G7", "what rubs"]
    assert [str(degree) for _, degree, _ in found.clashes] == ["11", "7"]


@pytest.mark.parametrize("chord", ["G7", "Db13", "F#7b9", "Bb7sus4", "Cmaj7", "Am7b5"])
def test_the_chords_own_tones_are_no_colour(chord: str):
    found = identify(Chord.parse(chord).notes, chord)
    assert not found.outside
    assert f"These are tones of {Chord.parse(chord).pretty} itself: no colour." in found.words
    assert not found.suggestions


def test_where_no_colour_holds_it_all_the_nearest_is_named_with_what_it_leaves_out():
    found = identify("A Bb B C", "G7")
    assert not found.holding
    text = next(t for t in found.words if t.startswith("The nearest"))
    assert text == "The nearest is suspended, which leaves out ♯9 and 3."


def test_notes_that_are_no_colour_are_not_called_one():
    """What they add is told of the notes; that the least motion of each is right is shown above."""
    text = " ".join(identify("Ab7", "G7", "C").words)
    assert "No colour of the table holds all of them." in text
    assert "Together these notes add two half-step pulls." in text
    assert "this colour" not in text.lower()
    taking = " ".join(identify("F A C", "G7", "C").words)
    assert "Together these notes take away one half-step pull." in taking


def test_the_eleven_of_a_suspended_colour_stands_for_the_third_and_a_lone_one_rubs():
    suspended = "The 11, C, stands for the 3rd, B, and would rub against it."
    assert suspended in identify("F A C", "G7", "C").words
    assert suspended in identify("Dm7b5", "G7", "Cm").words
    for brought in ("C", "C E G", "B C"):
        assert "The 11, C, rubs against the 3rd, B." in identify(brought, "G7", "C").words


def test_a_bebop_scale_is_named_for_the_chord_on_its_own_root_alone():
    """Its passing note lies between the b7 and the root (common practice)."""
    assert [scale.shape for scale in identify("F#", "G7").scales] == ["G bebop dominant"]
    assert "C bebop" not in " ".join(identify("F A C", "G7").words)


def test_the_order_of_colours_is_exact_then_holding_then_near():
    matches = identify("E G# B", "G7").colours
    kinds = [0 if match.is_exact else 1 if match.holds else 2 for match in matches]
    assert kinds == sorted(kinds)
    assert len(matches) == len(COLOURS)


@pytest.mark.parametrize(
    ("notes", "chord"),
    [("E G# B", "Cmaj7"), ("Bb D F", "Am7b5"), ("F# A C E", "D/F#"), ("C", "Fm6"), ("B", "Cdim7")],
)
def test_any_chord_will_do(notes: str, chord: str):
    found = identify(notes, chord)
    assert "Colours belong to dominant chords here" in " ".join(found.words) or not found.outside
    assert found.resolution is None
    assert identify(notes, chord, "Eb").resolution is not None


def test_a_shape_is_named_from_the_note_that_was_given_first():
    """C6 and Am7 are one set of notes; so are the four names of a diminished seventh chord."""
    assert identify("C E G A", "D7").shapes[0].shape == "C6"
    assert identify("A C E G", "D7").shapes[0].shape == "Am7"
    diminished = identify("Fdim7", "G7").shapes
    assert diminished[0].shape == "Fdim7"
    assert len(diminished) == 4


def test_of_the_modes_of_a_scale_those_are_named_that_help():
    """The one whose first note was given, the scale that players practise, the one on the chord."""
    assert [one.shape for one in identify("F G A B C D E", "G7").shapes] == [
        "F lydian",
        "C major",
        "G mixolydian",
    ]
    assert [one.shape for one in identify("C whole tone", "C7").shapes] == ["C whole tone"]


def test_a_scale_is_named_on_its_own_root_and_on_that_of_the_chord():
    text = " ".join(identify("Ab melodic minor", "G7").words)
    assert "A♭ melodic minor (on G: altered)" in text


@given(
    st.sets(st.integers(0, 11), min_size=1, max_size=7),
    st.sampled_from("G7 Db7 F#7 B7alt C13 Ab7sus4 E7b9 Bbm7 Dmaj7".split()),
)
def test_scales_hold_every_note_and_the_frame_of_the_chord_where_they_can(places, chord: str):
    notes = [EVERY_NOTE.split()[place] for place in places]
    found = identify(notes, chord)
    root = found.over.root.semitone
    for scale in found.scales:
        sounds = {(root + place) % 12 for place in scale.semitones}
        assert places <= sounds
        row = next(row for row in SCALES if row.name == scale.row.suffix.strip())
        own = [d.semitone for d in row.degrees]
        base = (root + scale.place) % 12
        assert sounds == {(base + place) % 12 for place in own}


@given(
    st.sets(st.integers(0, 11), min_size=1, max_size=12),
    st.sampled_from("G7 Db7 F#7 B7alt C13 Ab7sus4 E7b9".split()),
    st.sampled_from([None, "major", "minor"]),
)
def test_no_answer_contradicts_its_own_numbers(places, chord: str, target):
    notes = [EVERY_NOTE.split()[place] for place in places]
    found = identify(notes, chord, target)
    called = {"I": found.target, "i": found.target, found.target.pretty: found.target}
    for heading, texts in found.sections:
        for text in texts:
            _check(heading, text, found, called)


def _check(heading: str, text: str, found, called) -> None:
    """Check one sentence of an answer."""
    root = found.over.root.semitone
    if heading.startswith("over "):
        told = re.findall(
            rf"({spoken.NOTE}) is the (?:natural )?(root|{spoken.DEGREE}|[♭♯]*\d+)", text
        )
        for name, place in told:
            assert (spoken.note(name) - root) % 12 == spoken.degree(place).semitone, text
    if heading == "what rubs":
        list(spoken.claimed_moves(text, called))
    if heading == "where it goes":
        move = re.match(
            r"([♭♯]*\d+) (?:(falls|rises) (a [a-z ]+?) to|stays: it is) the (\S+) of [Ii]\b", text
        )
        if move:
            size = spoken.STEPS.get(move[3], 0) * (-1 if move[2] == "falls" else 1)
            goal = spoken.tone(found.target, spoken.degree(move[4]))
            assert (root + spoken.degree(move[1]).semitone + size - goal) % 12 == 0, text


def test_suggested_chords_hold_the_notes():
    """Against music21: the notes are a subset of the chord, with its 9 where that is said."""
    for notes in ("E G# B", "F A C", "Db F Ab", "D F# A C", "Bb D F", "Ab C Eb", "Gb Bb Db"):
        found = identify(notes, "G7")
        given_classes = set(Music21Chord([n.replace("b", "-") for n in notes.split()]).pitchClasses)
        assert found.suggestions
        for one in found.suggestions:
            ninth = {(one.chord.root.semitone + 2) % 12} if one.ninth else set()
            assert given_classes <= {note.semitone for note in one.chord.notes} | ninth


def test_a_chord_under_two_names_is_suggested_once():
    """In F sharp minor the dominant a minor third below and the first of the chain are one."""
    found = identify("Bb D F", "C#7", "F#m")
    assert [str(one.chord) for one in found.suggestions] == ["Bb7"]


def test_degrees_are_named_as_the_chord_names_them():
    assert identify("C", "Am7b5").degrees == (Degree(3, -1),)
    assert identify("Eb", "Am7b5").degrees == (Degree(5, -1),)
    assert identify("Eb", "A7").degrees == (Degree(11, 1),)
