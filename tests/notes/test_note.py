"""Notes: letters with alterations, read, written and counted."""

import pytest
from together import together

from theorykit import Note, TheoryError
from theorykit.notes.note import ascii_accidentals, pretty_words

EVERY = [Note(letter, alteration) for letter in "CDEFGAB" for alteration in range(-3, 4)]


@together(
    ("text", "plain", "pretty"),
    [
        ("C", "C", "C"),
        ("B♭", "Bb", "B♭"),
        ("Bb", "Bb", "B♭"),
        ("F♯", "F#", "F♯"),
        ("Cx", "C##", "C♯♯"),
        ("C𝄪", "C##", "C♯♯"),
        ("E𝄫", "Ebb", "E♭♭"),
        (" G ", "G", "G"),
        ("A♮", "A", "A"),
        ("E flat", "Eb", "E♭"),
        ("E-flat", "Eb", "E♭"),
        ("Bflat", "Bb", "B♭"),
        ("F sharp", "F#", "F♯"),
        ("C Sharp", "C#", "C♯"),
    ],
)
def test_a_note_is_read_from_every_sign_and_printed_in_one(text: str, plain: str, pretty: str):
    note = Note.parse(text)
    assert (str(note), note.pretty) == (plain, pretty)


@together("note", EVERY, ids=str)
def test_reading_what_is_printed_gives_the_same_note(note: Note):
    assert Note.parse(str(note)) == note
    assert Note.parse(note.pretty) == note


@together("note", EVERY, ids=str)
def test_the_place_on_the_line_of_fifths_says_which_note_it_is(note: Note):
    assert Note.from_fifths(note.fifths) == note
    assert note.fifths * 7 % 12 == note.semitone


def test_pitch_classes_count_from_c_and_cross_the_octave():
    assert [Note.parse(n).semitone for n in "C D E F G A B".split()] == [0, 2, 4, 5, 7, 9, 11]
    assert [Note.parse(n).semitone for n in ("Cb", "B#", "Fb", "E#")] == [11, 0, 4, 5]


@pytest.mark.parametrize(
    ("note", "old", "new", "expected"),
    [
        ("F#", "D", "Eb", "G"),
        ("Bb", "C", "D", "C"),
        ("B", "C", "Db", "C"),
        ("E", "C", "F#", "A#"),
        ("G#", "A", "Bb", "A"),
    ],
)
def test_a_note_moves_by_letters(note: str, old: str, new: str, expected: str):
    assert str(Note.parse(note).moved(Note.parse(old), Note.parse(new))) == expected


@together(
    "wrong", ["", "H", "c", "b", "Cbbbb", "C#b", "C4", "Do", "C" * 10_000, "🎵", "C\x00", None, 3]
)
def test_what_is_no_note_is_refused(wrong: object):
    with pytest.raises(TheoryError, match="not a note name"):
        Note.parse(wrong)  # type: ignore[arg-type]


@pytest.mark.parametrize("parts", [("H", 0), ("CD", 0), ("C", 4), ("C", 0.5), ("", 0), (None, 0)])
def test_a_note_is_not_built_from_wrong_parts(parts: tuple[str, int]):
    with pytest.raises(TheoryError):
        Note(*parts)


def test_signs_for_the_eye_leave_plain_words_alone():
    assert pretty_words("half-whole diminished") == "half-whole diminished"
    assert pretty_words("b9 #11 13") == "♭9 ♯11 13"
    assert pretty_words("Bb blues") == "B♭ blues"
    assert ascii_accidentals("♭9 ♯11") == "b9 #11"
