"""Pitches: notes in octaves. Numbers and frequencies of the standards are in tests/reference."""

import pytest
from together import together

from theorykit import Note, Pitch, TheoryError


@pytest.mark.parametrize("text", ["C4", "Eb5", "F#3", "Cb4", "B#3", "C-1", "Abb2", "F##6", "C-2"])
def test_reading_what_is_printed_gives_the_same_pitch(text: str):
    assert str(Pitch.parse(text)) == text


def test_the_octave_belongs_to_the_letter():
    assert Pitch.parse("Cb4").midi == Pitch.parse("B3").midi
    assert Pitch.parse("B#3").midi == Pitch.parse("C4").midi
    assert Pitch.parse("Cb4").pretty == "C♭4"


def test_the_lowest_pitch_of_a_name_above_a_number():
    assert str(Pitch.at_or_above(Note.parse("C"), 60)) == "C4"
    assert str(Pitch.at_or_above(Note.parse("C"), 61)) == "C5"
    assert str(Pitch.at_or_above(Note.parse("B#"), 60)) == "B#3"


@together("name", ["C", "B#", "Cb", "F##", "Ebb", "G#"])
@together("midi", [48, 60, 71])
def test_a_pitch_is_found_by_name_and_number(name: str, midi: int):
    note = Note.parse(name)
    sounding = midi + (note.semitone - midi) % 12
    pitch = Pitch.numbered(note, sounding)
    assert (pitch.note, pitch.midi) == (note, sounding)


def test_a_name_that_does_not_sound_the_number_is_refused():
    with pytest.raises(TheoryError, match="C does not sound MIDI 61"):
        Pitch.numbered(Note.parse("C"), 61)


@pytest.mark.parametrize(
    "wrong", ["", "C", "4", "H4", "C4.5", "C--1", "C٤", "C" * 10_000, None, 60]
)
def test_what_is_no_pitch_is_refused(wrong: object):
    with pytest.raises(TheoryError, match="not a pitch"):
        Pitch.parse(wrong)  # type: ignore[arg-type]


@pytest.mark.parametrize("wrong", ["C11", "C-3", "Bb999"])
def test_an_octave_that_nobody_hears_is_named_in_the_refusal(wrong: str):
    with pytest.raises(TheoryError, match="not an octave"):
        Pitch.parse(wrong)


def test_a_pitch_is_not_built_from_wrong_parts():
    with pytest.raises(TheoryError, match="not a note"):
        Pitch("C", 4)  # type: ignore[arg-type]
