"""What is shown of notes that a reader brings: one, two, twelve, chords, scales, keys."""

from __future__ import annotations

import pytest
from sweeps import keys

from theorykit.errors import TheoryError
from theorykit.notes.chord import Chord
from theorykit.notes.kinds import CHORD_KINDS
from theorykit.tunes.progression import cadence_chords
from theorykit.views.identification_view import (
    FIRST_KEY,
    LAST_KEY,
    identification,
    identification_of_keys,
    key_note,
)

TWELVE = "C Db D Eb E F Gb G Ab A Bb B"


def test_notes_climb_within_an_octave_from_the_first_and_land_where_the_last_one_goes():
    view = identification("B E Ab", "G7", "C")
    assert view.midis == (71, 76, 80)
    assert view.heard.line.text == "quarter B4 E5 Ab5 rest | whole G5"
    assert [n.labels for n in view.staff.notes] == [("3",), ("13",), ("♭9",), ("5",)]
    assert [n.mark for n in view.staff.notes] == ["", "colour", "colour", "landing"]


def test_a_lone_note_two_notes_and_all_twelve_are_shown():
    for text in ("C", "Ab A", TWELVE):
        view = identification(text, "G7", "C")
        names = {lit.name for lit in view.keyboard.lit if lit.ringed}
        assert len(names) == len(text.split())
        assert len(view.staff.notes) == len(text.split()) + 1
        assert view.heard.performance().beats == 4 * (4 if text == TWELVE else 3)
    assert identification(TWELVE, "G7", "C").motion is None
    assert identification("C", "G7", "C").motion is not None


def test_a_chord_and_a_scale_are_named_with_their_notes():
    assert identification("Bmaj7", "G7", "C").sentence == (
        "Bmaj7 (B D♯ F♯ A♯) over G7, going to C: 3 ♭13 7 ♯9."
    )
    assert identification("Ab melodic minor", "G7").sentence.startswith(
        "A♭ melodic minor (A♭ B♭ C♭"
    )


def test_without_a_target_a_dominant_goes_home_and_another_chord_nowhere():
    assert str(identification("E", "G7", " ").found.target) == "C"
    view = identification("B", "Cmaj7")
    assert view.found.target is None
    assert view.motion is None
    assert [str(placed.chord) for placed in view.heard.chords.chords] == ["Cmaj7", "Cmaj7"]
    assert len(view.staff.notes) == 1
    assert view.player == "these notes over Cmaj7"


def test_a_note_that_rubs_is_marked_on_the_keyboard():
    roles = {lit.name: lit.role for lit in identification("Bmaj7", "G7", "C").keyboard.lit}
    assert roles["F♯"] == "outside"
    assert (roles["D♯"], roles["B"]) == ("colour", "chord")


@pytest.mark.parametrize(
    ("notes", "over", "target", "offered"),
    [
        ("e g# b", "G7", "C", "'E G# B'"),
        ("e,g#,bb", "G7", "C", "'E,G#,Bb'"),
        ("bmaj7", "G7", "C", "'Bmaj7'"),
        ("E", "g7", "C", "'G7'"),
        ("E", "G7", "c minor", "'C minor'"),
    ],
)
def test_names_in_small_letters_are_refused_and_the_capital_ones_offered(
    notes, over, target, offered
):
    with pytest.raises(TheoryError, match=rf"did you mean {offered}, with capital letters\?$"):
        identification(notes, over, target)


@pytest.mark.parametrize("text", ["nonsense", "do re mi", "H7", "", "a" * 500])
def test_nothing_is_offered_where_capital_letters_would_not_help(text):
    with pytest.raises(TheoryError) as refused:
        identification(text, "G7", "C")
    assert "did you mean" not in str(refused.value)


def test_the_staff_carries_the_signature_of_the_target():
    assert str(identification("E", "F7", "Bbm6").staff.key) == "Bb minor"
    assert str(identification("E", "Cmaj7").staff.key) == "C major"
    assert str(identification("E", "D#7", "G#").staff.key) == "C major"  # no signature has G# major


@pytest.mark.parametrize("key", keys(), ids=str)
def test_every_key_of_the_piano_is_named_and_heard_over_the_dominant_of_every_key(key):
    _, v, one = cadence_chords(key)
    for midi in range(FIRST_KEY, LAST_KEY + 1):
        view = identification_of_keys([midi], str(v), str(one))
        (note,) = view.found.notes
        assert note.semitone == midi % 12
        assert abs(note.alteration) <= 1
        assert view.midis == (midi,)
        assert view.heard.line.notes[0].pitch.midi == midi


def test_tapped_keys_stay_where_they_are_and_doubled_ones_are_read_once():
    view = identification_of_keys((76, 64, 71, 78), "G7", "C")
    assert view.midis == (64, 71, 76, 78)
    assert [str(note) for note in view.found.notes] == ["E", "B", "F#"]
    assert [str(note.pitch) for note in view.heard.line.notes[:4]] == ["E4", "B4", "E5", "F#5"]


def test_keys_are_named_by_what_they_are_over_the_chord():
    names = {"G7": "Ab", "E7": "G#", "Db7": "Ab", "C#7": "G#", "Bbm7": "Ab"}
    assert {over: str(key_note(68, Chord.parse(over))) for over in names} == names


@pytest.mark.parametrize("kind", CHORD_KINDS, ids=lambda kind: kind.symbol or "major")
def test_notes_are_answered_and_heard_over_every_kind_of_chord(kind):
    for root in ("C", "Db", "F#", "Bb"):
        view = identification("E G# B", f"{root}{kind.symbol}")
        assert len(view.found.degrees) == 3
        assert view.found.words
        assert {part.name for part in view.heard.performance().parts} >= {"line", "piano", "bass"}


@pytest.mark.parametrize(
    ("given", "said"),
    [
        (("E G# B", "H7", "C"), "over the chord: not a chord: 'H7'"),
        (("E G# B", "G7", "X"), "going to: "),
        (("E G# H", "G7", "C"), "neither notes nor a chord: 'E G# H'"),
        (("", "G7", "C"), "no notes"),
        (("E", "N.C.", ""), "no degrees over N.C."),
    ],
)
def test_what_cannot_be_read_is_said_with_its_place(given, said):
    with pytest.raises(TheoryError) as error:
        identification(*given)
    assert said in str(error.value)


def test_no_key_at_all_is_refused():
    with pytest.raises(TheoryError, match="no key is down"):
        identification_of_keys((), "G7", "C")
