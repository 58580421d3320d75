"""What is written for a reader: one word with one meaning, on everything that has names."""

import pytest
from together import together

from theorykit import (
    KEYS,
    Chart,
    Chord,
    Key,
    Line,
    Note,
    Pitch,
    TheoryError,
    demonstration,
    shortcuts,
    two_five_one,
)
from theorykit.notes.reader import READERS
from theorykit.tunes.progression import FORMS

# By hand, in C for a tenor saxophone: common practice.
THINGS = [
    (Note.parse("G"), "A"),
    (Pitch.parse("G4"), "A4"),
    (Chord.parse("G7/B"), "A7/C#"),
    (Key.parse("C"), "D major"),
    (two_five_one("C"), "Em7 | A7 | Dmaj7"),
    (Line.parse("whole F4 | Ab4 | G4", two_five_one("C")), "whole G4 | Bb4 | A4"),
    (shortcuts("G7", "b9 13")[0], "F#"),
]


@together(("thing", "written"), THINGS, ids=lambda one: type(one).__name__)
@together("name", ["B flat", "tenor sax", "Bb"])
def test_everything_is_written_for_a_reader_by_any_name(thing, written, name):
    assert str(thing.written_for(name)) == written
    assert thing.written_for("concert") == thing.written_for("piano") == thing


def test_a_chart_and_its_chords_are_written_alike():
    chart = Chart.of("Db", "Ebm7 Ab7", "Dbmaj7", "G7")
    page = chart.written_for("alto saxophone")
    assert str(page.key) == "Bb major"
    assert [str(one.chord) for one in page.played] == ["Cm7", "F7", "Bbmaj7", "E7"]


def test_a_kazoo_is_refused_everywhere():
    for thing, _ in THINGS:
        with pytest.raises(TheoryError, match="no such reader: 'kazoo'"):
            thing.written_for("kazoo")


@together("who", READERS, ids=lambda who: who.name)
@together("key", KEYS, ids=str)
def test_what_is_written_sounds_as_far_away_as_the_instrument(key, who):
    """And the parts of a whole are written as the whole is."""
    for form in FORMS:
        line = demonstration(key, form, "altered")
        page = line.written_for(who)
        assert page.progression == line.progression.written_for(who)
        assert page.progression.key == key.written_for(who)
        for here, there in zip(line.notes, page.notes, strict=True):
            assert there.pitch.midi - here.pitch.midi == who.semitones
            assert here.pitch.written_for(who).midi == there.pitch.midi
            assert here.pitch.note.written_for(who).semitone == there.pitch.note.semitone
        doubled = any(abs(note.pitch.note.alteration) > 1 for note in line.notes)
        assert doubled or all(abs(note.pitch.note.alteration) < 2 for note in page.notes)


# By hand: the keys that players meet. Miller (2005) for D flat; E flat minor for D sharp minor,
# because its V is B flat 7 and not A sharp 7 (common practice).
@together(
    ("who", "sounding", "written"),
    [
        ("trumpet", "F#", "Ab major"),
        ("trumpet", "B", "Db major"),
        ("trumpet", "E", "F# major"),
        ("trumpet", "C# minor", "Eb minor"),
        ("trumpet", "G# minor", "Bb minor"),
        ("alto", "F# minor", "Eb minor"),
        ("alto", "G# minor", "F minor"),
        ("alto", "C# minor", "Bb minor"),
        ("horn in F", "D# minor", "Bb minor"),
        ("horn in F", "G# minor", "Eb minor"),
        ("horn in F", "C# minor", "G# minor"),
        ("flute", "D# minor", "D# minor"),
    ],
)
def test_of_two_keys_that_sound_alike_the_kinder_one_is_written(who, sounding, written):
    assert str(Key.parse(sounding).written_for(who)) == written


# By hand: a chord by itself, without a key to hold it.
@pytest.mark.parametrize(
    ("symbol", "who", "written"),
    [
        ("C#7", "trumpet", "Eb7"),
        ("F#7", "trumpet", "G#7"),
        ("C#m7", "trumpet", "D#m7"),
        ("Ebm7", "trumpet", "Fm7"),
        ("F#7", "alto", "Eb7"),
        ("G#m7b5", "alto", "Fm7b5"),
        ("Db7", "horn", "Ab7"),
        ("N.C.", "horn", "N.C."),
    ],
)
def test_a_chord_alone_is_written_on_the_root_that_reads(symbol, who, written):
    assert str(Chord.parse(symbol).written_for(who)) == written
