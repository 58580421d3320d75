"""MIDI numbers and frequencies against the standards and against music21.

Sources: MIDI 1.0 Detailed Specification, key numbers 0 to 127, middle C being 60; ISO 16:1975,
A above middle C at 440 Hz; frequencies of equal temperament to two decimals as tables of common
practice print them; music21 (BSD), `pitch`, version 10.
"""

import pytest
from music21 import pitch as pitch21
from outside import as_music21
from together import together

from theorykit import Note, Pitch

NUMBERS = {"C-1": 0, "C0": 12, "A0": 21, "C4": 60, "A4": 69, "C8": 108, "G9": 127}
FREQUENCIES = {
    "A4": 440.00, "A0": 27.50, "A3": 220.00, "A5": 880.00, "C4": 261.63, "C#4": 277.18,
    "D4": 293.66, "Eb4": 311.13, "E4": 329.63, "F4": 349.23, "F#4": 369.99, "G4": 392.00,
    "Ab4": 415.30, "Bb4": 466.16, "B4": 493.88, "C8": 4186.01, "C-1": 8.18, "G9": 12543.85,
}  # fmt: skip


@pytest.mark.parametrize("name", NUMBERS)
def test_a_pitch_has_the_number_of_the_midi_standard(name: str):
    assert Pitch.parse(name).midi == NUMBERS[name]


@together("name", FREQUENCIES)
def test_a_pitch_has_the_frequency_of_equal_temperament_on_a_440(name: str):
    assert round(Pitch.parse(name).frequency, 2) == FREQUENCIES[name]


def test_every_name_in_every_octave_has_the_number_and_the_frequency_of_music21():
    for letter in "CDEFGAB":
        for alteration in range(-2, 3):
            note = Note(letter, alteration)
            for octave in range(10):
                ours, theirs = Pitch(note, octave), pitch21.Pitch(as_music21(str(note)))
                theirs.octave = octave
                assert ours.midi == theirs.ps
                assert ours.frequency == pytest.approx(theirs.frequency, rel=1e-9)
