"""Readers: what stands on the page for what sounds.

The intervals are those of music21's instruments (BSD, version 10); that the guitar sounds an octave
lower than it is written, which music21 leaves out, is common practice.
"""

import pytest
from music21 import instrument
from together import together

from theorykit import KEYS, Key, Note, Pitch, TheoryError
from theorykit.notes.reader import LOW_SAXOPHONES, READERS, Reader, page_of, reader

each_reader = together("who", READERS, ids=lambda who: who.name)


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
    assert str(Pitch.parse(sounding).written_for(name)) == written


@each_reader
@together("key", KEYS, ids=str)
def test_the_written_key_has_a_signature_and_the_written_notes_are_in_it(key: Key, who: Reader):
    page = who.written_key(key)
    assert page.mode == key.mode
    assert (page.tonic.semitone - key.tonic.semitone - who.semitones) % 12 == 0
    assert tuple(who.written_note(note, key) for note in key.notes) == page.notes
    for note in key.notes:
        pitch = Pitch(note, 4)
        assert pitch.written_for(who).midi == pitch.midi + who.semitones


def test_a_signature_of_seven_signs_and_more_is_written_as_its_enharmonic():
    assert str(reader("B flat").written_key(Key.parse("B"))) == "Db major"
    assert str(reader("E flat").written_key(Key.parse("E"))) == "Db major"
    assert str(reader("F").written_key(Key.parse("F# minor"))) == "C# minor"
    assert str(reader("guitar").written_key(Key.parse("C#"))) == "C# major"  # as it sounds
    assert str(reader("B flat").written_key(Key.parse("C#"))) == "Eb major"
    assert str(reader("E flat").written_key(Key.parse("F#"))) == "Eb major"
    assert str(reader("B flat").written_note(Note.parse("E#"), Key.parse("C#"))) == "G"


@pytest.mark.parametrize("wrong", ["", "kazoo", None, "clarinet in A", "horn in E flat"])
def test_an_unknown_reader_is_refused_with_those_that_are(wrong: object):
    with pytest.raises(TheoryError, match="want concert, B flat, E flat, F, bass clef or guitar"):
        reader(wrong)  # type: ignore[arg-type]


# Names of music21's table of instruments, and the reader whose page they have.
@together(
    "name",
    [
        *("Trumpet", "Clarinet", "Bass clarinet", "Soprano Saxophone", "Tenor Saxophone"),
        *("Alto Saxophone", "Baritone Saxophone", "Horn", "English Horn", "Flute", "Oboe"),
        *("Violin", "Piano", "Vibraphone"),
    ],
)
def test_an_instrument_reads_the_names_that_music21_gives_it(name: str):
    """The octave is left out: a tenor saxophone reads what a trumpet reads."""
    interval = instrument.fromString(name).transposition
    sounding = 0 if interval is None else interval.semitones
    assert (reader(name).semitones + sounding) % 12 == 0


@together(
    ("said", "name"),
    [
        *(("B flat", "B flat"), ("Bb", "B flat"), ("B♭", "B flat"), ("b-flat", "B flat")),
        *(("Bb instruments", "B flat"), ("trumpet in B flat", "B flat"), ("trumpets", "B flat")),
        *(("the Bb clarinet", "B flat"), ("Tenor Sax", "B flat"), ("flugelhorn", "B flat")),
        *(("E flat", "E flat"), ("E♭", "E flat"), ("Eb alto", "E flat"), ("bari sax", "E flat")),
        *(("Eb clarinet", "E flat"), ("alto saxophone", "E flat"), ("altos", "E flat")),
        *(("F", "F"), ("horn in F", "F"), ("French horn", "F"), ("horns", "F")),
        *(("bass clef", "bass clef"), ("double bass", "bass clef"), ("trombone", "bass clef")),
        *(("guitar", "guitar"), ("guitars", "guitar"), ("guitar player", "guitar")),
        *(("concert", "concert"), ("C", "concert"), ("concert pitch", "concert")),
        *(("Piano", "concert"), ("C instruments", "concert"), ("  vibes ", "concert")),
    ],
)
def test_a_reader_is_known_by_the_names_that_players_use(said: str, name: str):
    assert reader(said).name == name


@pytest.mark.parametrize(
    ("name", "told", "other"),
    [
        ("B flat", "tenor saxophone", instrument.TenorSaxophone),
        ("B flat", "soprano saxophone", instrument.SopranoSaxophone),
        ("B flat", "trumpet", instrument.Trumpet),
        ("E flat", "alto saxophone", instrument.AltoSaxophone),
        ("E flat", "baritone saxophone", instrument.BaritoneSaxophone),
        ("bass clef", "trombone", instrument.Trombone),
        ("bass clef", "piano", instrument.Piano),
        ("bass clef", "electric piano", instrument.ElectricPiano),
        ("bass clef", "marimba", instrument.Marimba),
        ("bass clef", "double bass", instrument.Contrabass),
    ],
)
def test_what_was_played_is_read_in_the_octave_of_its_instrument(name, told, other):
    interval = other().transposition
    sounding = 0 if interval is None else interval.semitones
    page = page_of(reader(name), told)
    assert (page.semitones, page.clef) == (-sounding, reader(name).clef)


def test_the_pages_of_low_saxophones_are_found_by_no_name():
    """A list of readers that has no such page would refuse it, a desk that was left on it fail."""
    tenor, baritone = LOW_SAXOPHONES
    assert page_of(reader("B flat"), "tenor saxophone") is tenor
    assert page_of(reader("E flat"), "baritone saxophone") is baritone
    sounding = (instrument.TenorSaxophone(), instrument.BaritoneSaxophone())
    for page, other in zip((tenor, baritone), sounding, strict=True):
        assert page.semitones == -other.transposition.semitones
        with pytest.raises(TheoryError, match="no such reader"):
            reader(page.name)


def test_a_guitar_and_concert_pitch_stay_where_they_are():
    """A guitar sounds an octave lower than written; who reads concert reads what sounds."""
    assert page_of(reader("guitar"), "jazz guitar").semitones == 12
    assert page_of(reader("concert"), "tenor saxophone").semitones == 0


def test_no_name_is_given_twice():
    pages = (*READERS, *LOW_SAXOPHONES)
    names = [name for one in pages for name in (one.name.lower(), *one.names)]
    assert len(set(names)) == len(names)
