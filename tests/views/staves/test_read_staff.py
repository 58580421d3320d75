"""Under each note of a line that was read: its degree, and a short word for what it does."""

import pytest

from theorykit.harmony.colours import colour
from theorykit.lines.reading import read_line
from theorykit.lines.reading.roles import ROLES
from theorykit.lines.text import Line
from theorykit.notes.reader import READERS, reader
from theorykit.show.engraving.engraved_staff import LONGEST_CENTRED
from theorykit.tunes.progression import two_five_one
from theorykit.views.staves import legend, read_staff
from theorykit.views.staves.staff import ROLE_WORDS

SHORT = two_five_one("C", "short")
# An enclosure of the 3rd of I, an approach from below, a passing note (common practice).
TEXT = "8th C#4 D4 E4 F4 B4 Ab4 F4 D#4 | whole E4"


def labels(view):
    return [" ".join(note.labels) for note in view.notes]


def test_each_role_has_a_word_of_its_own_that_fits_under_a_note():
    assert set(ROLE_WORDS) == set(ROLES)
    assert len(set(ROLE_WORDS.values())) == len(ROLES)
    assert max(map(len, ROLE_WORDS.values())) <= LONGEST_CENTRED


def test_degree_and_role_stand_under_each_note():
    view = read_staff(read_line(Line.parse(TEXT, SHORT)))
    assert labels(view) == [
        *("7 appr", "1 CT", "9 T", "♭3 CT"),
        *("3 CT", "♭9 alt", "♭7 CT", "♯5 enc", "3 CT"),
    ]


def test_colour_is_marked_over_v_and_the_landing_on_i():
    view = read_staff(read_line(Line.parse(TEXT, SHORT)))
    assert [note.mark for note in view.notes] == [""] * 5 + ["colour", "", "", "landing"]


def test_a_tension_of_the_chosen_colour_is_marked_where_it_only_passes():
    reading = read_line(Line.parse(TEXT, SHORT))
    view = read_staff(reading, colour("b9 b13"))
    assert [note.mark for note in view.notes][4:8] == ["", "colour", "", "colour"]


def test_the_11_of_a_suspended_colour_is_colour_and_elsewhere_it_rubs():
    """Where a colour has no 3rd the 4th stands for it (common practice)."""
    reading = read_line(Line.parse("half D4 8th F4 C5 A4 F4 | whole E4", SHORT))
    for name, mark in (("suspended", "colour"), ("b9", "")):
        assert read_staff(reading, colour(name)).notes[2].mark == mark


def test_a_note_that_misses_the_chord_after_v_is_no_landing():
    view = read_staff(read_line(Line.parse("half D4 8th B4 Ab4 F4 D4 | whole F4", SHORT)))
    assert view.notes[-1].mark == ""


def test_over_no_chord_nothing_stands_under_a_note():
    from theorykit.notes.key import Key
    from theorykit.tunes.progression import Bar, Progression

    over = Progression(Key.parse("C"), (Bar.even("N.C."), Bar.even("C")))
    view = read_staff(read_line(Line.parse("whole D4 | C4", over)))
    assert labels(view) == ["", "1 CT"]


@pytest.mark.parametrize("name", [one.name for one in READERS])
def test_for_every_reader_the_labels_are_the_same_and_the_pitches_their_own(name):
    reading = read_line(Line.parse(TEXT, SHORT))
    view = read_staff(reading, reader=reader(name))
    # The ♯5 of G7, D sharp, is an F on the page of a trumpet, which is the ♭13 of A7.
    concert = [text.replace("♯5", "♭13") for text in labels(read_staff(reading))]
    assert [text.replace("♯5", "♭13") for text in labels(view)] == concert
    sounding = [note.pitch.midi for note in reading.line.notes]
    assert [n.pitch.midi - reader(name).semitones for n in view.notes] == sounding


def test_the_legend_explains_what_is_used_and_no_more():
    assert legend(ROLES).count(" · ") == len(ROLES) - 1
    assert legend(["outside"]) == "out outside"
    assert legend([]) == ""
