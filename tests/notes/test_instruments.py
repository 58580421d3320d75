"""Readers: what stands on the page for what sounds.

The intervals are those of music21's instruments (BSD, version 10); that the guitar sounds an octave
lower than it is written, which music21 leaves out, is common practice.
"""

import pytest
from music21 import instrument

from theorykit import KEYS, Key, Note, Pitch, TheoryError
from theorykit.notes.key import READERS, Reader, reader

each_reader = pytest.mark.parametrize("who", READERS, ids=lambda who: who.name)


@pytest.mark.parametrize(
    ("name", "other"),
    [
        ("B flat", instrument.Trumpet),
        ("E flat", instrument.AltoSaxophone),
        ("F", instrument.Horn),
        ("concert", instrument.Flute),
    ],
)
def test_a_reader_is_as_far_from_the_sound_as_music21_says(name: str, other: type):
    interval = other().transposition
    sounding = 0 if interval is None else interval.semitones
    assert reader(name).semitones == -sounding


@pytest.mark.parametrize(
    ("name", "sounding", "written"),
    [
        ("concert", "Eb4", "Eb4"),
        ("B flat", "Eb4", "F4"),
        ("E flat", "Eb4", "C5"),
        ("F", "C4", "G4"),
        ("bass clef", "C4", "C3"),
        ("guitar", "E2", "E3"),
    ],
)
def test_a_pitch_is_written_where_the_reader_expects_it(name: str, sounding: str, written: str):
    assert str(reader(name).written(Pitch.parse(sounding))) == written


@each_reader
@pytest.mark.parametrize("key", KEYS, ids=str)
def test_the_written_key_has_a_signature_and_the_written_notes_are_in_it(key: Key, who: Reader):
    page = who.written_key(key)
    assert page.mode == key.mode
    assert (page.tonic.semitone - key.tonic.semitone - who.semitones) % 12 == 0
    assert tuple(who.written_note(note, key) for note in key.notes) == page.notes
    for note in key.notes:
        pitch = Pitch(note, 4)
        assert who.written(pitch, key).midi == pitch.midi + who.semitones


def test_a_signature_of_seven_signs_and_more_is_written_as_its_enharmonic():
    assert str(reader("B flat").written_key(Key.parse("B"))) == "Db major"
    assert str(reader("E flat").written_key(Key.parse("E"))) == "Db major"
    assert str(reader("F").written_key(Key.parse("F# minor"))) == "C# minor"
    assert str(reader("guitar").written_key(Key.parse("C#"))) == "C# major"  # as it sounds
    assert str(reader("B flat").written_key(Key.parse("C#"))) == "Eb major"
    assert str(reader("E flat").written_key(Key.parse("F#"))) == "Eb major"
    assert str(reader("B flat").written_note(Note.parse("E#"), Key.parse("C#"))) == "G"


@pytest.mark.parametrize("wrong", ["", "kazoo", None, "b flat"])
def test_an_unknown_reader_is_refused_with_those_that_are(wrong: object):
    with pytest.raises(TheoryError, match="want concert, B flat, E flat, F, bass clef or guitar"):
        reader(wrong)  # type: ignore[arg-type]
