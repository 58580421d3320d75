"""The staff of a phrase: what stands out."""

import pytest

from theorykit.harmony.colours import colour
from theorykit.lines.reading import read_line
from theorykit.lines.text import Line
from theorykit.tunes.progression import two_five_one
from theorykit.views.staves import phrase_staff, read_staff

OVER = two_five_one("C", "short")


def marks(text):
    return [note.mark for note in phrase_staff(Line.parse(text, OVER)).notes]


def test_moving_notes_that_v_does_not_hold_are_colour_and_what_follows_on_i_is_the_landing():
    assert marks("half F4 8th B4 Ab4 F4 D4 | half E4 G4") == [
        "",
        "",
        "colour",
        "",
        "",
        "landing",
        "",
    ]


def test_a_long_note_over_v_is_no_landing():
    assert marks("half F4 8th B4 Ab4 quarter F4 | whole E4") == ["", "", "colour", "", ""]


def test_what_moves_over_ii_is_neither():
    assert marks("8th F4 E4 D4 C#4 half D4 | whole E4") == [""] * 6


def test_what_the_colour_has_not_is_plain_and_told_in_a_word():
    """A and G over G7 in the colour ♭9: the 9 only passes; the ♭9 is marked though it is held."""
    line = Line.parse("half F4 8th B4 A4 quarter Ab4 | whole G4", OVER)
    view = phrase_staff(line, colour("b9"))
    assert [note.mark for note in view.notes] == ["", "", "", "colour", "landing"]
    assert view.notes[2].labels == ("9", "PT")
    assert view.legend == "PT passing"
    assert view.alt.endswith("A4 (9 PT), A♭4 (♭9), G4 (5).")


@pytest.mark.parametrize(
    ("key", "text", "labels"),
    [
        ("C", "8th F4 F#4 G4 A4 quarter B4 Ab4 | whole G4", ("3", "PT")),
        ("Db", "8th Gb4 G4 Ab4 Bb4 quarter C5 Bbb4 | whole Ab4", ("3", "PT")),
        ("F#", "8th B4 B#4 C#5 B4 quarter E#4 D4 | whole C#4", ("3", "PT")),
        ("Bb minor", "8th Eb4 E4 F4 Gb4 quarter A4 Gb4 | whole F4", ("3", "PT")),
        ("C", "8th D4 Eb4 E4 F4 quarter B4 Ab4 | whole G4", ("♭9", "PT")),
        ("C", "8th F4 E4 D4 A4 quarter B4 Ab4 | whole G4", ("9",)),  # of the key: no word
        ("C minor", "8th F4 Eb4 D4 Ab4 quarter B4 Ab4 | whole G4", ("♭9",)),
    ],
)
def test_what_passes_over_ii_and_is_of_no_key_is_told_in_a_word(key, text, labels):
    """A major 3rd between the minor 3rd and the 11 is a passing note (common practice)."""
    line = Line.parse(text, two_five_one(key, "short"))
    assert phrase_staff(line, colour("b9")).notes[1].labels == labels


def test_the_label_says_what_the_letter_says():
    """C sharp over G7 is its ♯11, D flat its ♭5 unless the colour is ♯11, and G sharp its ♭9."""
    line = Line.parse("half F4 8th C#4 D4 Db4 G#4 | whole A4", OVER)
    for name, said in (("altered", "♭5"), ("b9 #11", "♯11")):
        labels = [note.labels[:1] for note in phrase_staff(line, colour(name)).notes]
        assert labels[1:5] == [("♯11",), ("5",), (said,), ("♭9",)]


# Over F7 the F sharp and the G flat sound alike, a half step above the root (common practice).
@pytest.mark.parametrize(
    ("key", "raised", "flat", "goes"),
    [
        ("Bb", "F#4", "Gb4", "G4"),
        ("C", "G#4", "Ab4", "A4"),
        ("Db", "A4", "Bbb4", "Bb4"),
        ("F#", "C##5", "D5", "D#5"),
        ("Bb minor", "F#4", "Gb4", "F4"),
    ],
)
def test_a_flat_nine_has_its_degree_in_either_spelling(key, raised, flat, goes):
    for name in (raised, flat):
        line = Line.parse(f"whole C4 | half {name} {goes} | whole C4", two_five_one(key, "long"))
        assert read_staff(read_line(line)).notes[1].labels == ("♭9", "alt")
        assert phrase_staff(line).notes[1].labels == ("♭9",)
