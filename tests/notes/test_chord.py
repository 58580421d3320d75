"""Chords as values: notes, bass, transposition, silence."""

import pytest
from plain import names
from together import together

from theorykit import KEYS, Chord, Key, Note, TheoryError
from theorykit.notes.chord import NO_CHORD
from theorykit.notes.kinds import ChordKind


def test_a_chord_tells_its_notes_its_degrees_and_its_bass():
    chord = Chord.parse("Bb7b9/Ab")
    assert names(chord.notes) == "Bb D F Ab Cb"
    assert names(chord.degrees) == "1 3 5 b7 b9"
    assert (str(chord.lowest), chord.pretty) == ("Ab", "B♭7♭9/A♭")


def test_a_root_in_the_bass_is_no_slash_chord():
    assert Chord.parse("G7/G") == Chord.parse("G7")
    assert str(Chord.parse("G7").lowest) == "G"
    assert str(Chord.parse("F#/Gb")) == "F#/Gb"  # another name is another wish


def test_a_foreign_bass_is_not_among_the_notes():
    assert names(Chord.parse("F/G").notes) == "F A C"


def test_no_chord_is_silent_everywhere():
    for text in ("N.C.", "NC", "n.c."):
        chord = Chord.parse(text)
        assert chord is NO_CHORD
        assert (chord.notes, chord.is_silent, str(chord), chord.pretty) == (
            (),
            True,
            "N.C.",
            "N.C.",
        )
    c, g = Note.parse("C"), Note.parse("G")
    assert NO_CHORD.transposed(c, g) is NO_CHORD


def test_the_same_kind_stands_on_another_root_without_the_bass():
    assert str(Chord.parse("G7b9/F").on(Note.parse("Db"))) == "Db7b9"


@pytest.mark.parametrize(
    ("chord", "old", "new", "expected"),
    [
        ("Dm7", "C", "Eb", "Fm7"),
        ("G7/B", "C", "Gb", "Db7/F"),
        ("Db7", "C", "Gb", "G7"),  # E double flat 7 is written D7, and so on
        ("Ab7", "G", "Db", "D7"),
        ("B7", "C", "F#", "F7"),  # E sharp 7, unless the signature is told
        ("Am7/G", "G", "Ab", "Bbm7/Ab"),
    ],
)
def test_a_chord_moves_from_key_to_key(chord: str, old: str, new: str, expected: str):
    assert str(Chord.parse(chord).transposed(Note.parse(old), Note.parse(new))) == expected


def test_an_awkward_root_stays_where_the_new_signature_holds_it():
    c, gb, held = Note.parse("C"), Note.parse("Gb"), [Note.parse("Cb")]
    assert str(Chord.parse("F").transposed(c, gb)) == "B"
    assert str(Chord.parse("F").transposed(c, gb, held)) == "Cb"


@together(
    ("chord", "key", "expected"),
    # From C or C minor; by hand. The IV of G flat is written Cb, its iv B, and so on.
    [
        ("Fmaj7", "Gb", "Cbmaj7"),
        ("Fm7", "Gb", "Bm7"),
        ("F7", "Gb", "Cb7"),  # the IV of a blues in G flat: one B double flat, on top
        ("C7", "Cb", "Cb7"),
        ("Fdim7", "Gb", "Bdim7"),
        ("Em7", "F#", "A#m7"),
        ("Bm7b5", "F#", "E#m7b5"),
        ("B7", "F#", "F7"),
        ("B7/D#", "F#", "F7/A"),
        ("F7/Eb", "Gb", "B7/A"),
        ("Abmaj7", "Eb minor", "Cbmaj7"),
        ("G7", "A# minor", "E#7"),
        ("D7", "A# minor", "C7"),
    ],
)
def test_an_awkward_root_gives_way_where_its_chord_would_be_hard_to_read(chord, key, expected):
    new = Key.parse(key)
    moved = Chord.parse(chord).transposed(Note("C"), new.tonic, new.chord_notes)
    assert str(moved) == expected


@together("key", [key for key in KEYS if not key.is_minor], ids=str)
def test_every_root_that_is_moved_sounds_as_far_away_as_its_key(key):
    for symbol in ("Db7", "F#m7b5", "Abmaj7/C", "B7#9", "Ebdim7", "G/F#"):
        chord = Chord.parse(symbol)
        moved = chord.transposed(Note("C"), key.tonic, key.notes)
        way = key.tonic.semitone
        assert moved.root.semitone == (chord.root.semitone + way) % 12
        assert moved.lowest.semitone == (chord.lowest.semitone + way) % 12
        assert abs(moved.root.alteration) <= 1
        assert moved.kind == chord.kind


@pytest.mark.parametrize("root", ["Ebb", "F##", "Cbbb"])
def test_a_root_with_two_accidentals_is_refused(root: str):
    with pytest.raises(TheoryError, match="at most one accidental"):
        Chord(Note.parse(root), ChordKind.of("1 3 5"))


@pytest.mark.parametrize(
    "parts", [("C", ChordKind.of("1 3 5")), (Note("C"), "m7"), (Note("C"), ChordKind.of("1"), "E")]
)
def test_a_chord_is_not_built_from_texts(parts: tuple):
    with pytest.raises(TheoryError):
        Chord(*parts)


def test_equal_chords_are_one_in_a_set():
    assert len({Chord.parse(s) for s in ("C-7", "Cm7", "Cmin7", "Cmi7")}) == 1


def test_no_chord_is_moved_to_the_double_sharp_of_a_minor_key():
    """The leading note of D sharp minor is C double sharp; a chord there is written on D."""
    c, d_sharp = Note.parse("C"), Note.parse("D#")
    held = [Note.parse(name) for name in "D# E# F# G# A# B C##".split()]
    assert str(Chord.parse("Bm7b5").transposed(c, d_sharp, held)) == "Dm7b5"
    assert str(Chord.parse("Cm6/B").transposed(c, d_sharp, held)) == "D#m6/D"


STRANGE = "Abm11b5/E# A#maj7/Cb Fbm7/E# B#7b5/Fb Cbdim7/B# E#m7b5/Fb Dbmaj7#5/A# Gm7/Fb".split()


@together("mode", ["major", "minor"])
def test_no_chord_is_too_strange_to_be_moved(mode):
    """Whatever is typed in one key is read in all, with its sounds and with plain roots."""
    keys = [key for key in KEYS if key.mode == mode]
    for chord in map(Chord.parse, STRANGE):
        for old in keys:
            for new in keys:
                moved = chord.transposed(old.tonic, new.tonic, new.chord_notes)
                way = new.tonic.semitone - old.tonic.semitone
                assert moved.root.semitone == (chord.root.semitone + way) % 12
                assert moved.lowest.semitone == (chord.lowest.semitone + way) % 12
                assert abs(moved.root.alteration) <= 1
                assert abs(moved.lowest.alteration) <= 1
