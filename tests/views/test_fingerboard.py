"""Fingerboards: tunings and frets against music21, and what a hand finds in each position."""

import pytest
from music21 import tablature
from sweeps import KEYS_TRIED, SWEPT_KEYS

from theorykit import COLOURS
from theorykit.notes.reader import BASSIST, READERS, has_four_strings, reader
from theorykit.views.explorer_view import explore
from theorykit.views.fingerboard import BASS, GUITAR, fingerboard_of

TUNINGS = pytest.mark.parametrize("tuning", [GUITAR, BASS], ids=lambda one: one.instrument)


def boards(keys, tuning):
    """The fingerboard of the best shape of every colour in some keys, with its keyboard."""
    for key in keys:
        for colour in COLOURS:
            if colour.suits(key.mode):
                keyboard = explore(key, "long", colour).keyboard
                yield keyboard, fingerboard_of(keyboard, tuning)


def test_the_tunings_are_those_of_music21():
    """music21 (BSD), module tablature: the boards of a guitar and of a bass guitar."""
    for board, tuning in (
        (tablature.GuitarFretBoard(4), GUITAR),
        (tablature.BassGuitarFretBoard(4), BASS),
    ):
        theirs = sorted(pitch.midi for pitch in board.tuning)
        assert [pitch.midi for pitch in tuning.strings] == theirs


def test_both_instruments_sound_an_octave_below_what_they_read():
    """Common practice: the open E of a guitar, E2, is written E3; that of a bass, E1, is E2."""
    assert reader("guitar").semitones == 12
    assert [str(GUITAR.strings[0]), str(BASS.strings[0])] == ["E2", "E1"]


def test_frets_are_half_steps():
    """Common practice: the fifth fret is the next string, but the fourth fret on the G string."""
    for string in (6, 5, 4, 2):
        assert GUITAR.midi(string, 5) == GUITAR.midi(string - 1, 0)
    assert GUITAR.midi(3, 4) == GUITAR.midi(2, 0)
    assert all(BASS.midi(string, 5) == BASS.midi(string - 1, 0) for string in (4, 3, 2))


# Written by hand (common practice): the E triad over G7 at the fourth fret, from the lowest string.
def test_a_position_is_what_a_guitarist_finds_there():
    view = fingerboard_of(explore("C", "long", "b9 13").keyboard, GUITAR)
    (fourth,) = [one for one in view.positions if one.first == 4]
    assert [(dot.string, dot.fret, dot.name, dot.degree) for dot in fourth.dots] == [
        (6, 4, "A♭", "♭9"), (6, 7, "B", "3"), (5, 7, "E", "13"), (4, 5, "G", "1"),
        (4, 6, "A♭", "♭9"), (3, 4, "B", "3"), (2, 5, "E", "13"), (1, 4, "A♭", "♭9"),
        (1, 7, "B", "3"),
    ]  # fmt: skip
    assert [dot.ringed for dot in fourth.dots].count(False) == 1  # the root of V


@TUNINGS
@pytest.mark.parametrize("keys", SWEPT_KEYS)
def test_every_position_holds_the_whole_shape_under_one_hand(keys, tuning):
    for keyboard, view in boards(keys, tuning):
        shape = {key.midi % 12 for key in keyboard.lit if key.ringed}
        assert 2 <= len(view.positions) <= 3
        for position in view.positions:
            assert position.last - position.first in (3, 4)
            assert position.first >= 1
            assert position.last <= 12
            ringed = [tuning.midi(d.string, d.fret) for d in position.dots if d.ringed]
            assert ringed == sorted(set(ringed))
            inside = [m for m in range(ringed[0], ringed[-1] + 1) if m % 12 in shape]
            assert ringed == inside


@TUNINGS
def test_names_degrees_and_roles_are_those_of_the_keyboard(tuning):
    for keyboard, view in boards(KEYS_TRIED, tuning):
        lit = {(key.midi % 12, key.name, key.degree, key.role) for key in keyboard.lit}
        for position in view.positions:
            for dot in position.dots:
                midi = tuning.midi(dot.string, dot.fret)
                assert (midi % 12, dot.name, dot.degree, dot.role) in lit
                assert f"{dot.name} ({dot.degree}) at {dot.fret}" in view.alt


def test_what_is_lit_without_a_shape_is_shown_as_it_is():
    from theorykit import Chord
    from theorykit.views.keyboard import plain_keyboard

    view = fingerboard_of(plain_keyboard(Chord.parse("Db7")), GUITAR)
    found = {dot.degree for position in view.positions for dot in position.dots}
    assert found == {"1", "3", "5", "♭7"}
    assert fingerboard_of(plain_keyboard(Chord.parse("N.C.")), GUITAR).positions == ()


def test_a_bass_player_is_told_from_others_who_read_the_bass_clef():
    assert BASSIST not in READERS
    assert BASSIST.semitones == reader("bass").semitones
    assert [has_four_strings(who) for who in ("bass", "Upright Bass", "cello", "tuba")] == [
        True, True, False, False,
    ]  # fmt: skip
