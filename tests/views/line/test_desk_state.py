"""The line on the desk: it moves with its chords, and comes back from plain data as it was."""

import json
from itertools import product

import pytest
from together import together

from theorykit.harmony.tensions import degrees_over
from theorykit.lines.text import Line
from theorykit.notes.key import KEYS, Key
from theorykit.tunes.progression import FORMS, Bar, Progression, two_five_one
from theorykit.views.line import LineDraft
from theorykit.views.line.line_draft import AS_IT_CAME

LONG = "8th D5 F5 A5 C6 B5 A5 G5 E5 | F5 D5 E5 C5 B4 Ab4 F4 D4 | whole E4"
START = LineDraft(two_five_one("C")).typed(LONG)
BLUES = Progression(Key.parse("F"), (Bar.even("F7"), Bar.even("Bb7"), Bar.even("F7", "D7alt")))


def degrees(line: Line) -> list[str]:
    return [
        str(degrees_over(line.progression.chord_at(note.start).chord, [note.pitch.note])[0])
        for note in line.notes
    ]


@together("key", [key for key in KEYS if not key.is_minor], ids=str)
def test_in_every_key_of_its_mode_each_note_keeps_its_degree(key):
    moved = START.moved(key, "long")
    assert (moved.progression.key, moved.read.is_whole) == (key, True)
    assert degrees(moved.read.line) == degrees(START.read.line)
    assert moved.told == ("" if key == Key.parse("C") else f"moved to {key.pretty}")


def test_going_round_all_keys_and_forms_comes_back_to_the_same_text():
    state = START
    for key, form in product([key for key in KEYS if not key.is_minor], FORMS):
        state = state.moved(key, form)
        assert state.form == form
        assert state.read.is_whole
    assert state.moved("C major", "long").text == LONG


def test_a_form_that_has_no_room_for_the_first_bar_says_so_and_gives_it_back():
    short = START.moved("C major", "short")
    assert short.text == "8th F5 D5 E5 C5 B4 Ab4 F4 D4 | whole E4"
    assert "left out" in short.told
    assert short.moved("C major", "long").text == LONG


def test_a_line_that_is_typed_on_is_what_later_moves_start_from():
    state = START.moved("F major", "short").typed("half Bb4 Bb4 | whole A4")
    assert state.moved("C major", "short").text == "half F4 F4 | whole E4"


@pytest.mark.parametrize("text", ["8th D5 F5", "8th D5 H5 A5", "whole D5 | B4 | E4"])
def test_what_cannot_move_stays_as_it_was_typed_and_says_so(text):
    state = LineDraft(two_five_one("C")).typed(text).moved("C minor", "split")
    assert state.text == text
    assert str(state.progression) == "Dm7b5 | Dm7b5 G7 | Cm6"
    assert state.told.startswith("the notes stayed")


def test_nothing_is_said_of_a_line_that_is_empty():
    assert LineDraft(two_five_one("C")).moved("F minor", "long").told == ""


def test_a_line_over_other_chords_moves_with_them_and_can_be_set_over_a_form():
    line = Line.parse("whole A4 | Ab4 | A4", BLUES)
    state = LineDraft(two_five_one("C")).taken(line, "opened")
    assert (state.form, state.told) == (AS_IT_CAME, "opened")
    moved = state.moved("Bb major", AS_IT_CAME)
    assert str(moved.progression) == "Bb7 | Eb7 | Bb7 G7alt"
    assert moved.text == "whole D5 | Db5 | D5"
    assert moved.moved("Bb major", "long").text == moved.text
    assert str(moved.moved("Bb major", "long").progression) == "Cm7 | F7 | Bbmaj7"
    assert moved.moved("Bb minor", AS_IT_CAME).form == "long"


@together("text", [LONG, "8th D5 F", "half H4", ""])
@together("over", [two_five_one("Db", "split"), two_five_one("Bb minor"), BLUES])
def test_a_draft_comes_back_from_plain_data_as_it_was(over, text):
    state = LineDraft(over).typed(text)
    again = LineDraft.of(json.loads(json.dumps(state.data)))
    assert again == state
    assert json.loads(json.dumps(state.data)) == state.data  # equal to what is read from a file
