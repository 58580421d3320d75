"""A line that is being typed: every beginning of a text shows something or leaves what is there."""

import re

import pytest

from theorykit.lines.text import Line
from theorykit.show.engraving import staff_svg
from theorykit.tunes.progression import two_five_one
from theorykit.views.line.line_draft import typed_line
from theorykit.views.staves import staff_of_line

OVER = two_five_one("F")
TEXTS = (
    "8th D5 F5 A5 C6 B5 Ab5 F5 D5 | whole Eb5",
    "pickup triplet 8th C5 C#5 D5 | dotted quarter Eb5 8th D5 triplet 8th C5 A4 F4 quarter rest",
    "half G4 8th hold A4 16th Bb4 C5 D5 E5 | quarter rest triplet quarter F5 E5 D5 quarter rest",
)


@pytest.mark.parametrize("text", TEXTS)
def test_each_beginning_of_a_good_text_is_no_mistake_and_can_be_engraved(text):
    shown = 0
    for length in range(len(text) + 1):
        found = typed_line(text[:length], OVER)
        if found.line is not None and len(found.line.notes) > shown:
            shown = len(found.line.notes)
            assert "<svg" in staff_svg(staff_of_line(found.line))
        at_a_bar_line = text[:length].rstrip().endswith("|")
        assert found.is_whole or found.is_open or at_a_bar_line or text[length - 1] == " "
    assert shown


def test_a_whole_text_is_the_line():
    found = typed_line(TEXTS[0], OVER)
    assert (found.line, found.problem, found.is_open) == (Line.parse(TEXTS[0], OVER), "", False)


@pytest.mark.parametrize("at", [note.start() for note in re.finditer("[A-G]", TEXTS[0])])
def test_a_mistake_before_other_words_shows_nothing_new_and_says_where(at):
    text = f"{TEXTS[0][:at]}H5 {TEXTS[0][at:]}"
    found = typed_line(text, OVER)
    assert found.line is None
    assert not found.is_open
    assert f"character {at + 1}" in found.problem
    assert "write B5 or Bb5" in found.problem


def test_a_word_that_is_finished_and_wrong_is_a_mistake_and_what_came_before_is_shown():
    found = typed_line("8th D5 H5 ", OVER)
    assert [str(note.pitch) for note in found.line.notes] == ["D5"]
    assert not found.is_open


def test_a_bar_line_too_early_is_a_mistake_and_an_open_bar_is_none():
    assert not typed_line("8th D5 |", OVER).is_open
    assert typed_line("8th D5", OVER).is_open
    assert "3 1/2 beats short" in typed_line("8th D5", OVER).problem
