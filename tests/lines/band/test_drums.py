"""Drums: the numbers of General MIDI, and what is struck when."""

from __future__ import annotations

from fractions import Fraction

import pytest

from theorykit.lines.band import SIDE_STICK
from theorykit.lines.band.rhythm import PEDAL_HI_HAT, RIDE_CYMBAL_1, count, time_keeping
from theorykit.notes.key import Key
from theorykit.tunes.progression import Bar, Progression, two_five_one


def vamp(beats: int | Fraction) -> Progression:
    return Progression(Key.parse("C"), (Bar.even("C6", beats=beats), Bar.even("C6", beats=beats)))


def test_the_numbers_of_general_midi():
    # A general-purpose library that carries the percussion map of General MIDI Level 1.
    pretty_midi = pytest.importorskip("pretty_midi")
    names = {SIDE_STICK: "Side Stick", PEDAL_HI_HAT: "Pedal Hi Hat", RIDE_CYMBAL_1: "Ride Cymbal 1"}
    for number, name in names.items():
        assert pretty_midi.note_number_to_drum_name(number) == name


def test_the_hi_hat_closes_on_two_and_four():
    notes = time_keeping(two_five_one("C"))
    hat = [note.start % 4 for note in notes if note.midi == PEDAL_HI_HAT]
    assert hat == [1, 3] * 3


def test_the_ride_pattern():
    # "Ding, ding-a, ding, ding-a": common practice.
    ride = [n.start for n in time_keeping(two_five_one("C")) if n.midi == RIDE_CYMBAL_1]
    assert ride[:6] == [0, 1, Fraction(3, 2), 2, 3, Fraction(7, 2)]
    assert len(ride) == 18


@pytest.mark.parametrize("beats", [1, 2, 3, 4, 5, 6, 7, Fraction(7, 2), Fraction(5, 2), 12])
def test_every_beat_of_any_bar_is_kept(beats):
    over = vamp(beats)
    notes = time_keeping(over)
    ride = {note.start for note in notes if note.midi == RIDE_CYMBAL_1}
    for start in over.bar_starts[:-1]:
        assert {start + beat for beat in range(-(-beats // 1))} <= ride
    assert all(note.start < over.beats for note in notes)
    starts = [note.start for note in notes]
    assert starts == sorted(starts)


def test_counting_in():
    assert [n.start for n in count(Fraction(4), 1)] == [0, 1, 2, 3]
    assert [n.start for n in count(Fraction(4), 2)] == [0, 2, 4, 5, 6, 7]
    assert [n.start for n in count(Fraction(3), 2)] == [0, 1, 2, 3, 4, 5]
    assert count(Fraction(4), 0) == ()
    assert {n.midi for n in count(Fraction(4), 2)} == {SIDE_STICK}
