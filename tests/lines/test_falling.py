"""The half-whole scale falling through the V bar: facts of the trade, in every key."""

import pytest
from together import together

from theorykit.errors import TheoryError
from theorykit.harmony.tensions import degrees_over
from theorykit.lines.decoration import falling_scale, scales_of_eight
from theorykit.lines.text import Line
from theorykit.notes.chord import Chord
from theorykit.notes.degree import Degree, above
from theorykit.notes.key import KEYS
from theorykit.notes.scales import Scale
from theorykit.tunes.progression import cadence_chords

MAJOR = [key for key in KEYS if not key.is_minor]
each_major_key = together("key", MAJOR, ids=str)


def over_v(line: Line) -> str:
    """What the eight notes and the landing are over the V of the key, whatever is written there."""
    dominant = cadence_chords(line.progression.key)[1]
    return " ".join(map(str, degrees_over(dominant, [n.pitch.note for n in line.notes[-9:-1]])))


# Common practice: 1 b7 13 5 over the half of the bar that is heard as ii, #11 3 #9 b9 over V.
@each_major_key
@together("form", ["long", "short", "split"])
def test_the_half_whole_scale_gives_the_degrees_of_the_trade(key, form):
    line = falling_scale(key, form)
    assert over_v(line) == "1 b7 13 5 #11 3 #9 b9"
    beats = [note.start % 4 for note in line.notes[-9:-1]]
    assert beats == [0, 0.5, 1, 1.5, 2, 2.5, 3, 3.5]


@each_major_key
def test_it_falls_a_half_step_into_the_5th_of_i(key):
    line = falling_scale(key)
    home = cadence_chords(key)[2]
    assert line.notes[-1].pitch.note == above(home.root, Degree(5))
    assert line.notes[-2].pitch.midi - line.notes[-1].pitch.midi == 1
    assert line.notes[-1].start == 8


# Common practice: thinking of the whole-half scale a half step above gives the same notes.
@each_major_key
def test_the_whole_half_scale_a_half_step_above_is_the_same(key):
    root = cadence_chords(key)[1].root
    sounds = {note.pitch.note.semitone for note in falling_scale(key).notes[-9:-1]}
    half_step_above = (root.semitone + 1) % 12
    names = [note for note in Scale.parse("C major").notes]
    names += [Chord.parse(name).root for name in ("Db", "Eb", "F#", "Ab", "Bb")]
    above_v = next(note for note in names if note.semitone == half_step_above)
    thought = Scale.parse(f"{above_v} whole-half diminished")
    assert {note.semitone for note in thought.notes} == sounds


@each_major_key
def test_the_ii_rises_to_the_root_of_v(key):
    first, second, root = falling_scale(key).notes[:3]
    assert first.pitch.midi < second.pitch.midi < root.pitch.midi
    assert [first.beats, second.beats] == [2, 2]


@pytest.mark.parametrize(
    ("key", "text"),
    [
        ("C", "half D5 F5 | 8th G5 F5 E5 D5 C#5 B4 A#4 Ab4 | whole G4"),
        ("Db", "half Eb5 Gb5 | 8th Ab5 Gb5 F5 Eb5 D5 C5 B4 Bbb4 | whole Ab4"),
        ("F#", "half G#4 B4 | 8th C#5 B4 A#4 G#4 F##4 E#4 D##4 D4 | whole C#4"),
        ("Eb", "half F4 Ab4 | 8th Bb4 Ab4 G4 F4 E4 D4 C#4 Cb4 | whole Bb3"),
    ],
)
def test_it_is_spelled_by_degree(key, text):
    assert falling_scale(key).text == text


def test_the_bebop_scale_puts_chord_tones_on_the_beat():
    """Why players add the natural 7 (common practice): 1, b7, 5 and 3 fall on the beats."""
    line = falling_scale("C", scale="bebop dominant")
    assert over_v(line) == "1 7 b7 13 5 11 3 9"
    assert scales_of_eight() == ("half-whole diminished", "bebop dominant")


@pytest.mark.parametrize("scale", ["altered", "mixolydian", "whole-half diminished"])
def test_other_scales_do_not_fill_the_bar(scale):
    with pytest.raises(TheoryError, match="does not fill a bar"):
        falling_scale("C", scale=scale)
