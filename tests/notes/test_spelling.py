"""Spelling by degree, and the readable spelling, in every key and with every colour."""

from itertools import combinations

import pytest
from plain import names
from together import together

from theorykit import COLOURS, KEYS, Chord, Colour, Degree, Key, Note, two_five_one
from theorykit.notes.degree import AWKWARD, above, enharmonics, plain_root, readable, spell_near


@together(
    ("root", "degree", "note"),
    # by the interval: letters counted first, then the accidental (common practice)
    [
        ("Db", "b9", "Ebb"), ("E", "#9", "F##"), ("Ab", "b5", "Ebb"), ("Ab", "bb7", "Gbb"),
        ("B", "#11", "E#"), ("C#", "3", "E#"), ("Gb", "11", "Cb"), ("F#", "7", "E#"),
        ("Gb", "b7", "Fb"), ("G#", "#9", "A##"), ("Cb", "b13", "Abb"), ("F", "b9", "Gb"),
        ("A#", "#5", "E##"), ("B#", "#9", "C###"),
    ],
)  # fmt: skip
def test_a_note_is_spelled_by_its_degree(root: str, degree: str, note: str):
    assert str(above(Note.parse(root), Degree.parse(degree))) == note


@together(
    ("root", "held", "plain"),
    [
        ("Ebb", "", "D"), ("Fb", "", "E"), ("Cb", "", "B"), ("Cb", "Cb", "Cb"), ("E#", "", "F"),
        ("E#", "E#", "E#"), ("C##", "", "D"), ("Bbb", "", "A"), ("F#", "", "F#"), ("Gb", "", "Gb"),
        ("F###", "", "G#"), ("Dbbb", "", "B"),
    ],
)  # fmt: skip
def test_a_root_never_carries_a_double_accidental_or_an_awkward_name(
    root: str, held: str, plain: str
):
    assert str(plain_root(Note.parse(root), map(Note.parse, held.split()))) == plain


def test_the_tritone_substitute_of_a_flat_is_d():
    ab = Chord.parse("Ab7")
    assert str(above(ab.root, Degree.parse("b5"))) == "Ebb"
    assert str(ab.on(plain_root(above(ab.root, Degree.parse("b5"))))) == "D7"


def test_a_note_is_respelled_towards_the_side_it_leans_to():
    assert str(spell_near(10, Note.parse("Cbb"))) == "Bb"
    assert str(spell_near(10, Note.parse("G###"))) == "A#"
    assert str(spell_near(4, Note.parse("Fb"))) == "E"


@together("semitone", range(12))
def test_every_sound_has_its_names_plainest_first(semitone: int):
    found = enharmonics(semitone, most=2)
    assert all(note.semitone == semitone for note in found)
    assert len(found) == (2 if semitone == 8 else 3)  # only G# has no third name (common practice)
    assert [abs(n.alteration) for n in found] == sorted(abs(n.alteration) for n in found)


@pytest.mark.parametrize(
    ("given", "held", "seen"),
    [
        ("E G# B D F##", "", "E G# B D G"),  # E7#9
        ("C E G Bb Db D#", "", "C E G Bb Db D#"),
        ("Db F Ab Cb Ebb", "", "Db F Ab B D"),  # Db7b9
        ("Db F Ab Cb Ebb", "Gb Ab Bb Cb Db Eb F", "Db F Ab Cb D"),  # in G flat, which holds C flat
        ("C# E# G# B", "", "C# F G# B"),
        ("C# E# G# B", "F# G# A# B C# D# E#", "C# E# G# B"),  # in F sharp, which holds E sharp
        ("F A C E", "", "F A C E"),
        ("F A E##", "", "F A Gb"),  # F sharp would take the letter of F,
        ("F# A E##", "", "F# A F#"),  # but not of another F sharp
        ("B D Cbb", "", "B D A#"),
    ],
)
def test_the_readable_spelling_of_known_chords(given: str, held: str, seen: str):
    got = readable(map(Note.parse, given.split()), map(Note.parse, held.split()))
    assert names(got) == seen


def over_v(key: Key, colour: Colour) -> tuple[Note, ...]:
    """The notes of a colour over the V of a key, spelled by degree."""
    return colour.notes(two_five_one(key).chords[1].chord)


@together("key", KEYS, ids=str)
def test_readable_notes_carry_no_double_accidental_and_no_name_foreign_to_the_key(key: Key):
    for colour in COLOURS:
        given = over_v(key, colour)
        seen = readable(given, key.notes)
        assert [note.semitone for note in seen] == [note.semitone for note in given]
        for note in seen:
            assert abs(note.alteration) <= 1
            assert note not in AWKWARD or note in key.notes


@together("key", KEYS, ids=str)
def test_readable_notes_keep_every_name_that_is_readable_as_it_is(key: Key):
    for colour in COLOURS:
        given = over_v(key, colour)
        for before, after in zip(given, readable(given, key.notes), strict=True):
            fine = abs(before.alteration) <= 1 and (before not in AWKWARD or before in key.notes)
            assert after == before or not fine


@together("key", KEYS, ids=str)
def test_a_letter_is_shared_only_where_no_other_name_is_left(key: Key):
    for colour in COLOURS:
        given = over_v(key, colour)
        seen = readable(given, key.notes)
        for one, two in combinations(range(len(seen)), 2):
            if seen[one].letter == seen[two].letter:
                assert not could_part(given, seen, one, two, key)


def could_part(
    given: tuple[Note, ...], seen: tuple[Note, ...], one: int, two: int, key: Key
) -> bool:
    """Tell whether a note that was respelled had a free letter to go to."""
    taken = {note.letter for note in seen}
    return any(
        name.letter not in taken and (name not in AWKWARD or name in key.notes)
        for place in (one, two)
        if seen[place] != given[place]
        for name in enharmonics(seen[place].semitone)
    )
