"""A phrase through all keys: which follow which, and what is played in each."""

from __future__ import annotations

from fractions import Fraction

import pytest
from together import together

from theorykit.errors import TheoryError
from theorykit.lines.band import SIDE_STICK, STEPS, keys_by, through_keys
from theorykit.lines.demonstration import demonstration
from theorykit.lines.text import Line, TimedNote
from theorykit.notes.key import Key
from theorykit.notes.note import Pitch
from theorykit.tunes.progression import Bar, Progression, two_five_one


def test_the_cycle_of_falling_fifths():
    # Written out by hand; six signs are written as flats: common practice.
    assert " ".join(str(k.tonic) for k in keys_by("C")) == "C F Bb Eb Ab Db Gb B E A D G"
    minor = keys_by("A minor")
    assert " ".join(str(k.tonic) for k in minor) == "A D G C F Bb Eb G# C# F# B E"


def test_half_steps_rise():
    assert " ".join(str(k.tonic) for k in keys_by("F", "half steps", 4)) == "F Gb G Ab"


def test_whole_steps_meet_all_twelve_in_two_rows():
    tonics = [key.tonic.semitone for key in keys_by("C", "whole steps")]
    assert tonics == [0, 10, 8, 6, 4, 2, 1, 11, 9, 7, 5, 3]


@together("step", STEPS)
@together("start", ["C", "F#", "Db", "C# minor", "Bb minor"])
def test_every_order_meets_every_key_once(start, step):
    keys = keys_by(start, step)
    assert keys[0] == Key.parse(start)
    assert {key.tonic.semitone for key in keys} == set(range(12))
    assert {key.mode for key in keys} == {Key.parse(start).mode}


def test_the_phrase_sounds_in_each_key():
    line = demonstration("C", "short")
    played = through_keys(line, line.progression, keys=4, tempo=150)
    assert played.beats == 4 + 4 * 8
    sung = next(one for one in played.parts if one.name == "line").notes
    first = [n.midi for n in sung if n.start < 12]
    for turn, key in enumerate(keys_by("C", count=4)):
        begin = 4 + 8 * turn
        notes = [n.midi for n in sung if begin <= n.start < begin + 8]
        distance = {(a - b) % 12 for a, b in zip(notes, first, strict=True)}
        assert distance == {key.tonic.semitone}


def test_a_pickup_sounds_in_the_last_bar_of_the_key_before():
    over = Progression(Key.parse("C"), (Bar.even("C6"),))
    pickup = TimedNote(Pitch.parse("E4"), Fraction(-1), Fraction(1))
    line = Line(over, (pickup, TimedNote(Pitch.parse("F4"), Fraction(0), Fraction(2))))
    played = through_keys(line, over, keys=3, count_in=1)
    assert played.beats == 4 + 3 * 4
    sung = next(one for one in played.parts if one.name == "line").notes
    assert [note.start for note in sung] == [3, 4, 7, 8, 11, 12]
    drums = next(one for one in played.parts if one.name == "drums").notes
    assert [note.start for note in drums if note.midi == SIDE_STICK] == [0, 1, 2, 3]


def test_the_bass_leads_from_key_to_key():
    played = through_keys(None, two_five_one("C"), keys=3, seed=2)
    bass = next(one for one in played.parts if one.name == "bass").notes
    for change in (4 + 12, 4 + 24):
        before = [n for n in bass if n.start < change][-1]
        after = next(n for n in bass if n.start == Fraction(change))
        assert after.midi - before.midi in (1, -1, 2, -2, 5, -7)


@pytest.mark.parametrize(
    ("step", "count", "words"),
    [("thirds", 12, "no such step: 'thirds'"), ("fifths", 13, "no such number of keys: 13")],
)
def test_what_is_no_order_is_refused(step, count, words):
    with pytest.raises(TheoryError, match=words):
        keys_by("C", step, count)
