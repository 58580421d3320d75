"""Played notes on the grid of a page."""

from fractions import Fraction
from random import Random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from theorykit.lines.taking import Played, quantised

HALF, THIRD, QUARTER = Fraction(1, 2), Fraction(1, 3), Fraction(1, 4)
# What one beat may be, as every rudiments book has it: eighths, a triplet, sixteenths.
BEATS = {
    "a quarter": [Fraction(1)],
    "two eighths": [HALF, HALF],
    "a triplet": [THIRD] * 3,
    "four sixteenths": [QUARTER] * 4,
    "an eighth and two sixteenths": [HALF, QUARTER, QUARTER],
    "a dotted eighth and a sixteenth": [3 * QUARTER, QUARTER],
    "a long and a short of a triplet": [2 * THIRD, THIRD],
}


def played(lengths, rng, early=0.0, late=0.0):
    """Notes one after the other, each a little off by chance."""
    notes, at = [], Fraction(0)
    for number, length in enumerate(lengths):
        start = float(at) + rng.uniform(-early, late)
        end = float(at + length) - 0.03
        notes.append(Played(start, end, 60 + number % 12))
        at += length
    return notes


@pytest.mark.parametrize("seed", range(20))
def test_beats_played_a_little_unevenly_are_read_as_they_were_meant(seed):
    rng = Random(seed)
    beats = [BEATS[name] for name in rng.choices(list(BEATS), k=16)]
    beats += [BEATS["two eighths"]] * 4
    lengths = [length for beat in beats for length in beat]
    found = quantised(played(lengths, rng, early=0.025, late=0.025))
    assert [note.beats for note in found.notes] == lengths
    assert not found.swung
    assert all(abs(note.moved) <= 0.026 for note in found.notes)


@pytest.mark.parametrize("ratio", [1.6, 2.0, 2.8])
def test_swung_eighths_are_eighths_and_triplets_stay_triplets(ratio):
    second = ratio / (ratio + 1)
    notes = []
    for beat in range(6):
        notes += [Played(beat, beat + second, 60), Played(beat + second, beat + 1, 62)]
    notes += [Played(6 + n / 3, 6 + (n + 1) / 3, 64 + n) for n in range(3)]
    found = quantised(notes)
    assert found.swung
    assert [note.beats for note in found.notes] == [HALF] * 12 + [THIRD] * 3


def test_few_late_notes_are_no_swing():
    """A triplet's long and short once in a while is that, not swing."""
    lengths = [*BEATS["a long and a short of a triplet"], *BEATS["two eighths"] * 4]
    found = quantised(played(lengths, Random(1)))
    assert not found.swung
    assert [note.beats for note in found.notes] == lengths


def test_a_short_gap_is_no_rest_and_a_long_one_is():
    found = quantised([Played(0, 0.8, 60), Played(1, 1.45, 62), Played(3, 4, 64)])
    assert [note.beats for note in found.notes] == [1, HALF, 1]


def test_of_notes_that_start_together_the_highest_stays():
    found = quantised([Played(0, 1, 60), Played(0.01, 1, 67), Played(1, 2, 62)])
    assert [note.midi for note in found.notes] == [67, 62]
    assert found.dropped == 1


def test_what_was_moved_is_told_with_how_far():
    found = quantised([Played(0.05, 0.5, 60), Played(0.5, 1, 62)])
    assert [(note.midi, round(note.moved, 2)) for note in found.moved] == [(60, -0.05)]


@given(
    st.lists(
        st.tuples(st.floats(-4, 60), st.floats(0, 5), st.integers(0, 127)), min_size=1, max_size=30
    )
)
def test_anything_played_becomes_one_line(drawn):
    found = quantised([Played(start, start + length, midi) for start, length, midi in drawn])
    assert len(found.notes) + found.dropped == len(drawn)
    for before, after in zip(found.notes, found.notes[1:], strict=False):
        assert before.beats > 0
        assert before.start + before.beats <= after.start
    for note in found.notes:
        assert (note.start * 12).denominator == 1
        assert abs(note.moved) < 0.35
