"""Played notes on the grid of a page: lateness, swing and grid are found together."""

from fractions import Fraction
from random import Random

import pytest
from hypothesis import example, given, strategies as st

from theorykit.lines.taking import Played, quantised

HALF, THIRD, QUARTER = Fraction(1, 2), Fraction(1, 3), Fraction(1, 4)
FARTHEST = 0.3  # beats that a note is moved to its place, less what the whole take is late
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
@example(
    [
        (0, 0, 0),
        (1, 0, 0),
        (1.25, 0, 0),
        (2.3125, 0, 0),
        (3.21875, 0, 0),
        (4.3125, 0, 0),
        (0.140625, 0, 0),
    ]
)
def test_anything_played_becomes_one_line(drawn):
    found = quantised([Played(start, start + length, midi) for start, length, midi in drawn])
    assert len(found.notes) + found.dropped == len(drawn)
    for before, after in zip(found.notes, found.notes[1:], strict=False):
        assert before.beats > 0
        assert before.start + before.beats <= after.start
    for note in found.notes:
        assert (note.start * 12).denominator == 1
        error = -note.moved - found.late  # what is left of it when the whole take is late
        assert abs(error) <= FARTHEST + 1e-3


# === Takes with human timing ===

SIGMA = 0.020  # seconds: the spread of a player's errors
LINE = "two eighths, two eighths, a triplet, two eighths, a quarter, two eighths, two eighths, rest"


def take(rng, *, tempo, swing, late, bars=12):
    """A take of eighths, quarters, triplets and rests: where its notes belong, and as played."""
    second = swing / (swing + 1)
    places, notes = [], []
    for beat in range(4 * bars):
        name = rng.choice(LINE.split(", "))
        lengths = [] if name == "rest" else BEATS[name]
        at = Fraction(0)
        for length in lengths:
            sounds = second if at == HALF else float(at)
            error = (late + rng.gauss(0, SIGMA)) * tempo / 60
            notes.append(Played(beat + sounds + error, beat + sounds + error + 0.3, 60))
            places.append(beat + at)
            at += length
    return places, notes


def right(found, places):
    """How many notes stand on their place."""
    starts = {note.start for note in found.notes}
    return sum(place in starts for place in places)


TAKES = [
    (tempo, swing, late)
    for tempo in (60, 100, 140, 180, 240)
    for swing in (1.0, 1.5, 2.0, 2.7)
    for late in (0.0, 0.03)
]


def share_of_right_notes(cases, seeds):
    """The part of all notes of many takes that stand on their place."""
    good = whole = 0
    for number, (tempo, swing, late) in enumerate(cases):
        for seed in range(seeds):
            rng = Random(100 * number + seed)
            places, notes = take(rng, tempo=tempo, swing=swing, late=late)
            good += right(quantised(notes, tempo=tempo), places)
            whole += len(places)
    return good / whole


def test_takes_with_human_timing_stand_on_the_right_places():
    """97 % with errors of 20 ms: what one wishes of a take from a keyboard."""
    assert share_of_right_notes(TAKES[1::7], 1) >= 0.97


@pytest.mark.sweep
def test_takes_of_all_tempos_and_swings_stand_on_the_right_places():
    assert share_of_right_notes(TAKES, 1) >= 0.97


def test_lateness_and_swing_are_told():
    places, notes = take(Random(3), tempo=120, swing=1.8, late=0.03)
    found = quantised(notes, tempo=120)
    assert right(found, places) == len(places)
    assert found.swung
    assert found.late == pytest.approx(0.06, abs=0.02)  # 30 ms at 120 are 0.06 of a beat
    assert found.second / (1 - found.second) == pytest.approx(1.8, abs=0.2)


def test_one_late_note_alone_is_no_swing():
    found = quantised([Played(-1 / 3, 0, 71), Played(0, 4, 72), Played(4, 8, 71)])
    assert [note.start for note in found.notes] == [-THIRD, 0, 4]


def test_at_a_fast_tempo_three_notes_are_sooner_a_triplet():
    """0, 0.42, 0.7: at 60 an eighth and two sixteenths may be meant, at 280 nobody plays them."""
    beats = [Played(b + at, b + at + 0.2, 60) for b in range(3) for at in (0, 0.42, 0.71)]
    assert {note.start % 1 for note in quantised(beats, tempo=280).notes} == {0, THIRD, 2 * THIRD}


def test_three_quarters_in_the_time_of_two_are_found_among_swung_eighths():
    """Without the beat after it, 0 and 2/3 would be two swung eighths."""
    swung = [at + beat for beat in range(4) for at in (0, 0.66)]
    starts = [*swung, 4.01, 4.68, 5.31, 6, 6.67, 7]
    found = quantised([Played(at, at + 0.3, 60) for at in starts])
    assert found.swung
    assert [note.start for note in found.notes[8:]] == [
        *(4, Fraction(14, 3), Fraction(16, 3), 6, Fraction(13, 2), 7)
    ]


def test_a_note_that_is_let_go_a_little_early_by_a_person_is_no_sixteenth_short():
    """A machine's end counts as it is; a person's end before a rest lies on an eighth."""
    starts = [0.02, 0.51, 1.03, 1.49, 2.01]
    by_hand = [Played(at, at + 0.4, 60) for at in starts[:-1]] + [Played(2.01, 3.8, 60)]
    by_machine = [Played(n / 2, n / 2 + 0.5, 60) for n in range(4)] + [Played(2, 3.75, 60)]
    assert quantised(by_hand).notes[-1].beats == 2
    assert quantised(by_machine).notes[-1].beats == Fraction(7, 4)
