"""Early and late notes of a take: the sides, the words, and what passes for in time."""

from __future__ import annotations

import pytest

from theorykit import Line, TheoryError, take_down, two_five_one
from theorykit.notes.reader import reader
from theorykit.views.played.timing import _reach, timing_of

TEMPO, BEAT = 120, 0.5
TEXTS = {
    "C": "quarter D5 F5 A5 B5 | half G5 E5",
    "Db": "quarter Eb5 Gb5 Bb5 C5 | half Ab5 F5",
    "F#": "quarter G#5 B5 D#5 E#5 | half C#5 A#5",
    "Bb minor": "quarter C5 Eb5 Gb5 A5 | half F5 Db5",
}


def taken(key: str, late: dict[int, float]):
    """A line that is played on the beat but for some notes, late by so many seconds."""
    line = Line.parse(TEXTS[key], two_five_one(key, "short"))
    rows = [
        (1 + float(n.start) * BEAT + late.get(place, 0.0), 1 + float(n.end) * BEAT, n.pitch.midi)
        for place, n in enumerate(line.notes)
    ]
    return take_down(rows, progression=line.progression, tempo=TEMPO, start=1)


@pytest.mark.parametrize("key", TEXTS)
def test_what_was_early_and_late_is_told_by_name_and_place(key):
    view = timing_of(taken(key, {1: 0.07, 4: -0.06}))
    sides = [note.side for note in view.notes]
    assert sides == ["in time", "late", "in time", "in time", "early", "in time"]
    assert [abs(view.notes[at].late - ms) < 15 for at, ms in ((1, 70), (4, -60))] == [True, True]
    assert "4 of 6 notes are in time" in view.words
    assert "bar 1, beat 2" in view.words
    assert "bar 2, beat 1" in view.words
    assert [note.bar for note in view.notes] == [1, 1, 1, 1, 2, 2]
    assert view.alt.startswith("Early and late notes.")


def test_what_passes_for_in_time_can_be_chosen_within_reason():
    late = taken("C", {1: 0.07})
    assert {note.side for note in timing_of(late, within=90).notes} == {"in time"}
    assert "within 90 milliseconds." in timing_of(late, within=90).words
    for bound in (0, 4, 201, 50.0, True, "50"):
        with pytest.raises(TheoryError, match="no bound"):
            timing_of(late, within=bound)


def test_a_take_that_is_late_throughout_is_in_time_with_itself():
    late = taken("C", dict.fromkeys(range(6), 0.04))
    assert {note.side for note in timing_of(late, within=25).notes} == {"in time"}
    assert any("late throughout" in words for words in late.report)


def test_notes_are_named_as_the_reader_has_them():
    view = timing_of(taken("Db", {}), reader=reader("trumpet"))
    assert [note.name for note in view.notes][:3] == ["F5", "A♭5", "C6"]


def test_the_picture_reaches_to_the_farthest_note_and_not_beyond_reason():
    assert timing_of(taken("C", {})).reach == 100
    assert [_reach([0, late]) for late in (-100, 101, -220, 2000)] == [100, 150, 250, 300]
