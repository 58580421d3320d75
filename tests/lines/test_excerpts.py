"""Stretches of progressions and lines."""

from __future__ import annotations

from fractions import Fraction

import pytest

from theorykit.errors import TheoryError
from theorykit.lines.excerpts import between, excerpt
from theorykit.lines.text import Line, TimedNote
from theorykit.notes.key import Key
from theorykit.notes.note import Pitch
from theorykit.tunes.charts import Chart
from theorykit.tunes.progression import two_five_one

LINE = Line.parse(
    "pickup quarter C4 | 8th D4 F4 A4 C5 half B4 | whole B4 | half E4 rest", two_five_one("C")
)


def test_every_stretch_of_a_progression_holds_what_sounds_there():
    over = Chart.of("C", "Dm7 G7", "C6 A7 Dm7", "G7").progression
    for start in range(0, 24):
        for end in range(start + 1, 25):
            cut = between(over, Fraction(start, 2), Fraction(end, 2))
            assert cut.beats == Fraction(end - start, 2)
            for half in range(start, end):
                here = Fraction(half, 2)
                wanted = over.chord_at(here).chord
                assert cut.chord_at(here - Fraction(start, 2)).chord == wanted


def test_a_stretch_can_be_given_another_key():
    assert str(between(two_five_one("C"), Fraction(0), Fraction(4), key=Key.parse("F")).key) == (
        "F major"
    )


def test_the_first_bar_brings_the_pickup_and_no_other_does():
    assert excerpt(LINE, 1, 1).notes[0].start == -1
    assert excerpt(LINE, 2, 2).text == "whole B4"
    assert [note.start for note in excerpt(LINE, 2, 3).notes] == [0, 4]


def test_the_excerpts_of_all_bars_hold_all_that_sounds():
    parts = [excerpt(LINE, bar, bar) for bar in (1, 2, 3)]
    lengths = [note.beats for part in parts for note in part.notes]
    assert sum(lengths) == sum(note.beats for note in LINE.notes)


def test_a_note_over_the_edge_is_cut():
    long = TimedNote(Pitch.parse("C5"), Fraction(2), Fraction(4))
    line = Line(two_five_one("C"), (long,))
    assert [(n.start, n.beats) for n in excerpt(line, 1, 1).notes] == [(2, 2)]
    assert [(n.start, n.beats) for n in excerpt(line, 2, 3).notes] == [(0, 2)]


@pytest.mark.parametrize("bars", [(0, 1), (2, 1), (1, 4), ("1", 2), (1.0, 2)])
def test_bars_that_are_not_there_are_refused(bars):
    with pytest.raises(TheoryError, match="no such bars"):
        excerpt(LINE, *bars)
