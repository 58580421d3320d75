"""The staff of a phrase: what stands out."""

from theorykit.lines.text import Line
from theorykit.tunes.progression import two_five_one
from theorykit.views.staves import phrase_staff

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
