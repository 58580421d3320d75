"""What a note is over a chord, where it rubs, and what a dominant leads to."""

import pytest
from hypothesis import given, strategies as st
from plain import names

from theorykit import Chord, Degree, Key, Note, TheoryError, degrees_over
from theorykit.harmony.tensions import as_target, degree_names, why_it_rubs
from theorykit.notes.degree import above
from theorykit.notes.kinds import CHORD_KINDS


@pytest.mark.parametrize(
    ("chord", "notes", "degrees"),
    [
        ("G7", "E G# B", "13 b9 3"),
        ("G7", "G Ab A Bb B C C# D Eb E F F#", "1 b9 9 #9 3 11 #11 5 b13 13 b7 7"),
        ("Cm7", "Eb F# D# A", "b3 #11 b3 13"),
        ("Cm7b5", "Gb F# Ab", "b5 b5 b13"),
        ("Cdim7", "A Bbb B", "bb7 bb7 7"),
        ("Cmaj7", "Eb D# Ab", "b3 b3 b13"),  # a blue third, as the counts over I name it
        ("C", "Eb", "#9"),  # the triad may be a V
        ("C6/9", "A D", "6 9"),
        ("Db7", "Ebb D E", "b9 b9 #9"),
        ("G7#5", "Eb D#", "#5 #5"),
        ("G7sus4", "C B", "4 3"),
        ("F/G", "F G", "1 9"),  # over the chord, not over its bass
    ],
)
def test_a_note_keeps_the_chords_own_name_and_is_a_tension_else(
    chord: str, notes: str, degrees: str
):
    assert names(degrees_over(chord, notes)) == degrees
    assert names(degrees_over(Chord.parse(chord), map(Note.parse, notes.split()))) == degrees


@given(st.sampled_from(CHORD_KINDS), st.sampled_from("C Db F# Bb G# Cb E#".split()))
def test_a_chords_own_notes_are_its_own_degrees(row, root: str):
    chord = Chord.parse(root + row.symbol)
    assert degrees_over(chord, chord.notes) == chord.degrees


@given(st.sampled_from(CHORD_KINDS), st.integers(0, 11))
def test_each_of_the_twelve_sounds_has_one_name_that_sounds_it(row, semitone: int):
    chord = Chord.parse("A" + row.symbol)
    found = degree_names(chord)
    assert [degree.semitone for degree in found] == list(range(12))
    assert above(chord.root, found[semitone]).semitone == (9 + semitone) % 12


@pytest.mark.parametrize("wrong", ["N.C.", "H7", "", None])
def test_there_are_no_degrees_over_what_is_no_chord(wrong: object):
    with pytest.raises(TheoryError):
        degrees_over(wrong, "C E")  # type: ignore[arg-type]


@pytest.mark.parametrize("wrong", ["C X", ["C", None], [3]])
def test_what_is_no_note_is_refused(wrong: object):
    with pytest.raises(TheoryError, match="not a note name"):
        degrees_over("G7", wrong)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("chord", "rubbing"),
    # The 11 and the major 7 over a dominant: Wikipedia contributors, Upper structure, undated, and
    # the notes on the mixolydian scale in Sabatella, Primer. What is written binds: common
    # practice. The rest are sounds that Terefenko, Jazz Theory (2014), ch. 5, names neither as a
    # tone nor as a tension of the family, and the b13 over a minor seventh, an avoid note to
    # Nettles and Graf (from memory).
    [
        ("G7", "11 7"),
        ("G7alt", "9 11 5 13 7"),
        ("G7b9", "9 11 7"),
        ("G13", "b9 #9 11 b13 7"),
        ("G7#5", "11 5 13 7"),
        ("G11", "b9 #9 #11 7"),
        ("G7sus4", "3 #11 7"),
        ("G7sus4b9", "9 3 #11 7"),
        ("Gmaj7", "b9 b3 11 b13 b7"),
        ("G6", "b9 b3 11 b13 b7"),
        ("Gmaj7#5", "b9 b3 11 5 13 b7"),
        ("G", "b9 #9 11 b13"),
        ("Gm7", "b9 3 b13 7"),
        ("Gm11", "b9 3 #11 b13 7"),
        ("Gm6", "b9 3 b13 b7"),
        ("Gm(maj7)", "b9 3 b13 b7"),
        ("Gm7b5", "b9 3 5 13 7"),
        ("Gdim7", "b9 3 5 b7"),
        ("Gsus4", "b9 3 #11 b13"),
    ],
)
def test_the_notes_that_rub_over_a_chord(chord: str, rubbing: str):
    over = Chord.parse(chord)
    assert names(degree_names(over)[s] for s in range(12) if why_it_rubs(over, s)) == rubbing


def test_the_reason_names_both_notes():
    g7 = Chord.parse("G7")
    assert why_it_rubs(g7, 5) == "the 11, C, rubs against the 3rd, B"
    assert why_it_rubs(g7, 11) == "the natural 7, F♯, rubs against the ♭7, F"
    assert why_it_rubs(Chord.parse("Gsus4"), 4) == "the 3rd, B, undoes the suspended 4th"
    assert why_it_rubs(Chord.parse("Cmaj7"), 1) == "the ♭9, D♭, rubs against the root, C"
    assert why_it_rubs(Chord.parse("Cm7"), 4) == "the major 3rd, E, contradicts the ♭3, E♭"
    assert why_it_rubs(Chord.parse("Cmaj7"), 10) == "the ♭7, B♭, contradicts the 7, B"
    assert (
        why_it_rubs(Chord.parse("Gb7b9"), 2) == "the natural 9, A♭, contradicts the written ♭9, A♭♭"
    )


def test_the_natural_13_rubs_where_i_is_minor():
    g7 = Chord.parse("G7")
    assert (
        why_it_rubs(g7, 9, Chord.parse("Cm6")) == "E is the major 3rd of C, and the tonic is minor"
    )
    assert why_it_rubs(g7, 9, Chord.parse("C6")) == ""


def test_a_tone_of_the_chord_itself_is_no_clash_with_what_follows():
    assert why_it_rubs(Chord.parse("D7"), 4, Chord.parse("Dm7")) == ""
    assert why_it_rubs(Chord.parse("G13"), 9, Chord.parse("Cm")) != ""  # no tone of the plain V


@pytest.mark.parametrize(
    ("dominant", "target", "chord"),
    [
        ("G7", None, "C"), ("G7", "minor", "Cm"), ("G7", "major", "C"), ("G7", "Am7", "Am7"),
        ("G7", "C minor", "Cm"), ("G7", "Cm", "Cm"), ("G7", Key.parse("Eb"), "Eb"),
        ("G7", Chord.parse("C6/9"), "C6/9"), ("Db7", None, "Gb"), ("C#7", None, "F#"),
        ("Gb7", None, "Cb"), ("Cb7", None, "E"), ("B7", None, "E"), ("E#7", None, "A#"),
    ],
)  # fmt: skip
def test_a_dominant_leads_a_fifth_down_unless_told(dominant: str, target: object, chord: str):
    assert str(as_target(Chord.parse(dominant), target)) == chord  # type: ignore[arg-type]


@pytest.mark.parametrize("wrong", ["H", "nowhere", "", 4, Degree(3), ["C"], "N.C."])
def test_what_is_no_target_is_refused(wrong: object):
    with pytest.raises(TheoryError):
        as_target(Chord.parse("G7"), wrong)  # type: ignore[arg-type]
