"""Keys: signatures, notes, and chords of the scale, written out by hand."""

import pytest
from plain import names
from together import together

from theorykit import KEYS, Key, TheoryError

MAJOR = {
    "Cb": "Cb Db Eb Fb Gb Ab Bb", "Gb": "Gb Ab Bb Cb Db Eb F", "Db": "Db Eb F Gb Ab Bb C",
    "Ab": "Ab Bb C Db Eb F G", "Eb": "Eb F G Ab Bb C D", "Bb": "Bb C D Eb F G A",
    "F": "F G A Bb C D E", "C": "C D E F G A B", "G": "G A B C D E F#",
    "D": "D E F# G A B C#", "A": "A B C# D E F# G#", "E": "E F# G# A B C# D#",
    "B": "B C# D# E F# G# A#", "F#": "F# G# A# B C# D# E#", "C#": "C# D# E# F# G# A# B#",
}  # fmt: skip
MINOR = {
    "Ab": "Ab Bb Cb Db Eb Fb Gb", "Eb": "Eb F Gb Ab Bb Cb Db", "Bb": "Bb C Db Eb F Gb Ab",
    "F": "F G Ab Bb C Db Eb", "C": "C D Eb F G Ab Bb", "G": "G A Bb C D Eb F",
    "D": "D E F G A Bb C", "A": "A B C D E F G", "E": "E F# G A B C D",
    "B": "B C# D E F# G A", "F#": "F# G# A B C# D E", "C#": "C# D# E F# G# A B",
    "G#": "G# A# B C# D# E F#", "D#": "D# E# F# G# A# B C#", "A#": "A# B# C# D# E# F# G#",
}  # fmt: skip


def test_there_are_fifteen_major_and_fifteen_minor_keys():
    assert [str(key.tonic) for key in KEYS if not key.is_minor] == list(MAJOR)
    assert [str(key.tonic) for key in KEYS if key.is_minor] == list(MINOR)
    assert [key.fifths for key in KEYS] == [*range(-7, 8), *range(-7, 8)]


@together("key", KEYS, ids=str)
def test_the_notes_of_a_key_are_those_written_by_hand(key: Key):
    assert names(key.notes) == (MINOR if key.is_minor else MAJOR)[str(key.tonic)]


@together("key", KEYS, ids=str)
def test_a_key_is_read_in_words(key: Key):
    sign = {-1: " flat", 0: "", 1: " sharp"}[key.tonic.alteration]
    assert Key.parse(f"{key.tonic.letter}{sign} {key.mode}") == key
    assert Key.parse(f"{key.tonic.letter}{sign.replace(' ', '-')} {key.mode}") == key


@together("key", KEYS, ids=str)
def test_reading_what_is_printed_gives_the_same_key(key: Key):
    assert Key.parse(str(key)) == key
    assert Key.parse(key.pretty) == key


@together(
    ("text", "key"),
    [
        ("C", "C major"), ("CM", "C major"), ("C maj", "C major"), ("Cm", "C minor"),
        ("C-", "C minor"), ("B♭", "Bb major"), ("F♯ minor", "F# minor"), (" Ebm ", "Eb minor"),
        ("C min", "C minor"), ("E flat", "Eb major"), ("E-flat major", "Eb major"),
        ("B flat minor", "Bb minor"), ("F sharp minor", "F# minor"), ("F Sharp Minor", "F# minor"),
        ("A-flat minor", "Ab minor"), ("C Major", "C major"), ("G flat major", "Gb major"),
    ],
)  # fmt: skip
def test_a_key_is_read_as_it_is_commonly_written(text: str, key: str):
    assert str(Key.parse(text)) == key


@pytest.mark.parametrize(
    ("key", "chords"),
    # common practice: maj7 m7 m7 maj7 7 m7 m7b5 over a major scale
    [
        ("C", "Cmaj7 Dm7 Em7 Fmaj7 G7 Am7 Bm7b5"),
        ("Db", "Dbmaj7 Ebm7 Fm7 Gbmaj7 Ab7 Bbm7 Cm7b5"),
        ("F#", "F#maj7 G#m7 A#m7 Bmaj7 C#7 D#m7 E#m7b5"),
        ("Gb", "Gbmaj7 Abm7 Bbm7 Cbmaj7 Db7 Ebm7 Fm7b5"),
        ("Bb minor", "Bbm7 Cm7b5 Dbmaj7 Ebm7 Fm7 Gbmaj7 Ab7"),
        ("A minor", "Am7 Bm7b5 Cmaj7 Dm7 Em7 Fmaj7 G7"),
    ],
)
def test_sevenths_of_the_scale(key: str, chords: str):
    assert names(row.chord for row in Key.parse(key).sevenths) == chords


@pytest.mark.parametrize(
    ("key", "chords"),
    [
        ("C", "C Dm Em F G Am Bdim"),
        ("Ab", "Ab Bbm Cm Db Eb Fm Gdim"),
        ("C# minor", "C#m D#dim E F#m G#m A B"),
        ("Bb minor", "Bbm Cdim Db Ebm Fm Gb Ab"),
    ],
)
def test_triads_of_the_scale(key: str, chords: str):
    assert names(row.chord for row in Key.parse(key).triads) == chords


@together("key", KEYS, ids=str)
def test_every_chord_of_a_key_is_made_of_its_notes_alone(key: Key):
    for row in (*key.triads, *key.sevenths):
        assert set(row.chord.notes) <= set(key.notes)
        assert row.chord.root == key.notes[row.degree.step]


def test_degrees_of_a_minor_key_are_those_of_its_signature():
    assert names(Key.parse("C minor").degrees) == "1 2 b3 4 5 b6 b7"
    assert names(row.degree for row in Key.parse("C minor").sevenths) == "1 2 b3 4 5 b6 b7"


@pytest.mark.parametrize(
    "wrong", ["G# major", "Db minor", "Fb", "B# minor", "Cb minor", "A# major"]
)
def test_a_key_that_no_signature_writes_is_refused(wrong: str):
    with pytest.raises(TheoryError, match="no key signature"):
        Key.parse(wrong)


@together(
    "wrong",
    [
        "",
        "H",
        "C dorian",
        "c",
        "Cmaj7",
        "C" * 10_000,
        "C\nm7",
        "flat",
        "C flatmajor",
        "Csharpminor",
        "C flat flat",
        "C natural",
        None,
        0,
    ],
)
def test_what_is_no_key_is_refused(wrong: object):
    with pytest.raises(TheoryError, match="not a key"):
        Key.parse(wrong)  # type: ignore[arg-type]


def test_h_is_told_for_the_b_that_it_is_elsewhere():
    """German usage (common practice): H is B, and B is B flat."""
    for wrong, meant in (("H", "B"), ("h minor", "B minor"), ("Hm", "Bm")):
        with pytest.raises(TheoryError, match=f"; probably {meant} is meant\\)$"):
            Key.parse(wrong)
    with pytest.raises(TheoryError, match=r"'Cm'\)$"):
        Key.parse("House")
