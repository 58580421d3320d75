"""Drums: the numbers of General MIDI, what is struck when in each feel, and the form."""

from __future__ import annotations

from collections import Counter
from fractions import Fraction

import pytest
from together import together

from theorykit.errors import TheoryError
from theorykit.lines.band import FEELS, SIDE_STICK
from theorykit.lines.band.drums import count, time_keeping
from theorykit.lines.band.feels import (
    BRUSHES,
    CLOSED_HI_HAT,
    CRASH,
    DRUMS,
    KICK,
    PEDAL_HI_HAT,
    RIDE,
    SNARE,
    SWIRL,
    strokes,
)
from theorykit.lines.parts import Sounding
from theorykit.notes.key import Key
from theorykit.tunes.progression import Bar, Progression, two_five_one

HALF = Fraction(1, 2)
SWUNG = ("four", "two", "waltz")


def vamp(beats: int | Fraction = 4, bars: int = 2) -> Progression:
    return Progression(Key.parse("C"), tuple(Bar.even("C6", beats=beats) for _ in range(bars)))


def places(notes: tuple[Sounding, ...], midi: int, bar: int = 0, beats: int = 4) -> list[Fraction]:
    """Where a drum is struck in a bar, in beats counted from 1."""
    found = (note.start - bar * beats + 1 for note in notes if note.midi == midi)
    return [beat for beat in found if 1 <= beat < 1 + beats]


def alike(notes: tuple[Sounding, ...], bars: int, beats: int = 4) -> int:
    """How many different bars there are."""
    return len(
        {
            tuple((n.start - bar * beats, n.midi) for n in notes if n.start // beats == bar)
            for bar in range(bars)
        }
    )


def test_the_numbers_of_general_midi():
    # A general-purpose library that carries the percussion map of General MIDI Level 1.
    pretty_midi = pytest.importorskip("pretty_midi")
    names = {
        "kick": "Bass Drum 1",
        "stick": "Side Stick",
        "snare": "Acoustic Snare",
        "floor": "High Floor Tom",
        "low": "Low Tom",
        "high": "Hi-Mid Tom",
        "closed": "Closed Hi Hat",
        "foot": "Pedal Hi Hat",
        "crash": "Crash Cymbal 1",
        "ride": "Ride Cymbal 1",
    }
    assert set(names) == set(DRUMS) - {"swirl"}  # of the brush set: General MIDI Level 2
    for ours, theirs in names.items():
        assert pretty_midi.note_number_to_drum_name(DRUMS[ours]) == theirs


@pytest.mark.parametrize("name", FEELS)
def test_every_row_of_a_feel_can_be_read_and_fits_its_bar(name):
    for groove in FEELS[name].grooves:
        rows = [row for layer in groove.layers for row in layer]
        for row in (*rows, *groove.fills, *groove.cycle):
            struck = strokes(row)
            assert all(0 <= one.beat < groove.beats for one in struck)
            assert all(20 <= one.loudness <= 100 for one in struck)
            assert len({(one.beat, one.midi) for one in struck}) == len(struck), row


@pytest.mark.parametrize("feel", ["four", "two"])
@pytest.mark.parametrize("seed", range(5))
def test_the_hi_hat_closes_on_two_and_four(feel, seed):
    notes = time_keeping(vamp(bars=8), feel=feel, seed=seed)
    assert all(places(notes, PEDAL_HI_HAT, bar) == [2, 4] for bar in range(8))


@pytest.mark.parametrize("seed", range(5))
def test_the_ride_of_swing(seed):
    # "Ding, ding-a, ding, ding-a", accents on 2 and 4: common practice.
    notes = time_keeping(vamp(bars=8), seed=seed)
    rides = [places(notes, RIDE, bar) for bar in range(8)]
    assert [1, 2, Fraction(5, 2), 3, 4, Fraction(9, 2)] in rides
    assert all({1, 2, 3, 4} <= set(ride) for ride in rides)
    by_beat = {
        beat: [n.loudness for n in notes if n.midi == RIDE and n.start % 4 == beat]
        for beat in range(4)
    }
    assert min(by_beat[1] + by_beat[3]) > max(by_beat[0] + by_beat[2])


def test_the_bass_drum_is_feathered_in_four_and_plays_one_and_three_in_two():
    # "Felt more than heard": common practice; Riley, The Art of Bop Drumming, 1994 (from memory).
    four = [n for n in time_keeping(vamp(bars=8), seed=2) if n.midi == KICK]
    beats = {n.start % 4 for n in four if n.loudness < 40}
    assert {0, 1, 2, 3} <= beats
    two = time_keeping(vamp(bars=4), feel="two", seed=2)
    assert all({1, 3} <= set(places(two, KICK, bar)) for bar in range(4))


def test_the_waltz_has_its_hi_hat_on_two_and_its_bass_drum_on_one():
    notes = time_keeping(vamp(3, 8), feel="waltz", seed=1)
    for bar in range(8):
        assert 2 in places(notes, PEDAL_HI_HAT, bar, 3)
        assert 1 in places(notes, KICK, bar, 3)


def test_the_ballad_is_played_with_brushes():
    notes = time_keeping(vamp(bars=8), feel="ballad", seed=1)
    assert FEELS["ballad"].kit == BRUSHES == 40  # General MIDI Level 2, brush set (from memory)
    assert RIDE not in {note.midi for note in notes}
    for bar in range(8):
        assert 1 in places(notes, SWIRL, bar)
        assert {2, 4} <= set(places(notes, SNARE, bar))


def test_the_side_stick_of_a_bossa_goes_over_two_bars():
    # Three strokes, then two: Uribe, The Essence of Brazilian Percussion, 1993 (from memory).
    notes = time_keeping(vamp(bars=5), feel="bossa", seed=4)  # the last bar leads nowhere
    for pair in (0, 2):
        assert places(notes, SIDE_STICK, pair) == [1, Fraction(5, 2), 4]
        assert places(notes, SIDE_STICK, pair + 1) == [2, Fraction(7, 2)]
    for bar in range(4):
        assert places(notes, CLOSED_HI_HAT, bar) == [1 + HALF * n for n in range(8)]
        assert {1, 3, Fraction(9, 2)} <= set(places(notes, KICK, bar))


@pytest.mark.parametrize("feel", FEELS)
def test_bars_differ_and_the_seed_decides(feel):
    beats = 3 if feel == "waltz" else 4
    over = vamp(beats, 32)
    notes = time_keeping(over, feel=feel, seed=6)
    assert alike(notes, 32, beats) >= 8
    assert notes == time_keeping(over, feel=feel, seed=6)
    assert notes != time_keeping(over, feel=feel, seed=7)


@pytest.mark.parametrize("feel", SWUNG)
def test_a_fill_leads_into_every_section(feel):
    beats = 3 if feel == "waltz" else 4
    over = vamp(beats, 16)
    for seed in range(4):
        notes = time_keeping(over, feel=feel, sections=(0, 8), goes_on=True, seed=seed)
        heavy = [
            sum(1 for n in notes if n.start // beats == bar and n.midi in (SNARE, 43, 45, 48))
            for bar in range(16)
        ]
        assert heavy[7] >= 3
        assert heavy[15] >= 3
        assert sum(heavy[:7]) / 7 < 2
        first = [n for n in notes if n.start == 8 * beats and n.midi in (KICK, CRASH, RIDE)]
        assert max(n.loudness for n in first if n.midi == KICK) >= 60


def test_the_last_bar_of_all_is_no_fill_unless_it_goes_on():
    over = vamp(bars=8)
    ending = time_keeping(over, seed=3)
    going_on = time_keeping(over, goes_on=True, seed=3)
    assert [n for n in ending if n.start < 28] == [n for n in going_on if n.start < 28]
    assert ending != going_on


@pytest.mark.parametrize("feel", FEELS)
def test_nothing_leads_on_after_the_last_beat_of_all(feel):
    over = vamp(3 if feel == "waltz" else 4, 3)
    ends = []
    for seed in range(8):
        last, on = (
            time_keeping(over, feel=feel, goes_on=goes_on, seed=seed)[-1].start
            for goes_on in (False, True)
        )
        assert last <= over.beats - 1 <= on
        ends.append(on)
    assert max(ends) > over.beats - 1  # where it goes on, some lead there


# Marc Sabatella, A Jazz Improvisation Primer, undated, on the drums: the ride is "1, 2 and, 3, 4
# and" with the hi-hat on 2 and 4; of a waltz "1, 2, and of 2, 3" with the hi-hat on 2, or on 2 and
# 3; slow songs are for brushes.
@pytest.mark.parametrize(
    ("feel", "beats", "ride", "hats"),
    [
        ("four", 4, (1, 2, Fraction(5, 2), 3, 4, Fraction(9, 2)), {(2, 4)}),
        ("waltz", 3, (1, 2, Fraction(5, 2), 3), {(2,), (2, 3)}),
    ],
)
def test_the_usual_bar_is_the_one_of_a_primer(feel, beats, ride, hats):
    bars = 201
    notes = time_keeping(vamp(beats, bars), feel=feel, sections=(), seed=2)
    rides = Counter(tuple(places(notes, RIDE, bar, beats)) for bar in range(bars - 1))
    assert rides.most_common(1)[0][0] == ride
    assert {tuple(places(notes, PEDAL_HI_HAT, bar, beats)) for bar in range(bars - 1)} <= hats


@together("beats", [1, 2, 3, 4, 5, 6, 7, Fraction(7, 2), Fraction(5, 2), 12])
@together("feel", ["four", "bossa"])
def test_every_beat_of_any_bar_is_kept(beats, feel):
    over = vamp(beats)
    notes = time_keeping(over, feel=feel)
    kept = {note.start for note in notes if note.midi in (RIDE, CLOSED_HI_HAT)}
    for start in over.bar_starts[:-1]:
        assert {start + beat for beat in range(-(-beats // 1))} <= kept
    assert all(note.start < over.beats for note in notes)
    starts = [note.start for note in notes]
    assert starts == sorted(starts)


def test_an_unknown_feel_is_refused():
    with pytest.raises(TheoryError, match="no such feel: 'shuffle'"):
        time_keeping(two_five_one("C"), feel="shuffle")


def test_counting_in():
    assert [n.start for n in count(Fraction(4), 1)] == [0, 1, 2, 3]
    assert [n.start for n in count(Fraction(4), 2)] == [0, 2, 4, 5, 6, 7]
    assert [n.start for n in count(Fraction(3), 2)] == [0, 1, 2, 3, 4, 5]
    assert count(Fraction(4), 0) == ()
    assert {(n.midi, n.counts_in) for n in count(Fraction(4), 2)} == {(SIDE_STICK, True)}
