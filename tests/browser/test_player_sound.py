"""The player of a page, by its samples: it agrees with the engine, and a loop has no gap.

The engine's own file is the yardstick (it agrees with a trusted synthesizer on the same SoundFont).
Everything is rendered offline, so that no machine is too slow.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from typing import Any

import numpy as np
import pytest
from offline_player import BEGINS, RATE, played, times
from playwright.sync_api import Browser, Page
from sweeps import swept

from theorykit.lines.band import pace, paced, performance
from theorykit.lines.demonstration import demonstration
from theorykit.lines.parts import Part, Performance, Sounding
from theorykit.show.sound import NoteStock, render
from theorykit.views.explorer_view import explore
from theorykit.views.sounding import Take, heard_take

PARTS = ("line", "piano", "bass", "drums")
COUNT, LONG = 4, 12  # beats of the count-in and of the phrase


@pytest.fixture(scope="module")
def page(browser: Browser) -> Iterator[Page]:
    with browser.new_context() as context:
        yield context.new_page()


def coloured(key: str = "C") -> Take:
    return explore(key, "long", "b9 13").takes(100, 2.0)[1]


def levels(wave: np.ndarray, seconds: float = 0.1, over: int = 4) -> np.ndarray:
    """The level of each moment in decibels, over both channels; a moment has so many stretches.

    A moment is 400 ms (EBU Tech 3341, 2016): a tremolo that a loop has moved by some milliseconds
    swells within it, and is no other level.
    """
    size = round(seconds * RATE)
    count = wave.shape[1] // size
    powers = (wave[:, : count * size].reshape(2, count, size) ** 2).mean(axis=(0, 2))
    return 10 * np.log10(np.convolve(powers, np.full(over, 1 / over), "valid") + 1e-10)


def shift(one: np.ndarray, other: np.ndarray) -> float:
    """By how many milliseconds one sound comes after another, by their correlation."""
    size = 1 << (2 * one.shape[1]).bit_length()
    first, second = (np.fft.rfft(wave.sum(axis=0), size) for wave in (one, other))
    found = np.fft.irfft(first * np.conj(second), size)
    far = RATE // 10
    near = np.concatenate((found[-far:], found[:far]))
    return (int(np.argmax(near)) - far) / RATE * 1000


CASES = [
    *((key, tempo, None) for key in ("C", "Db", "F#", "Bb minor") for tempo in (40, 100, 320)),
    *(("C", 100, name) for name in PARTS),
]


@pytest.mark.parametrize(
    ("key", "tempo", "alone"), swept(CASES, lambda case: case[0] == "Db" and case[1] == 100)
)
def test_the_page_agrees_with_the_file_of_the_engine(page, key, tempo, alone):
    take = coloured(key)
    silent = [name for name in PARTS if alone and name != alone]
    on = tuple(float(name not in silent) for name in PARTS)
    file = render(heard_take(take, tempo, dict(zip(PARTS, on, strict=True)))).wave.T
    heard = played(page, take, tempo=tempo, seconds=file.shape[1] / RATE, levels=on)
    heard = heard[:, : file.shape[1]]
    assert abs(shift(heard, file)) < 5
    whole = [20 * np.log10(np.sqrt((wave**2).mean())) for wave in (heard, file)]
    assert abs(whole[0] - whole[1]) < 0.5
    ours, theirs = levels(heard), levels(file)
    loud = theirs > theirs.max() - 25
    near = np.abs(ours - theirs)[loud] < 1
    assert near.mean() > 0.9
    assert np.abs(heard).max() <= 10 ** (-1 / 20)


def test_at_another_tempo_every_player_is_as_late_as_he_is_there(page):
    line = demonstration("Eb")
    take = Take("x", performance(line, line.progression, tempo=100), as_players_do=True)
    told = NoteStock().told(take, "flute")
    for tempo in (40, 93, 100, 187, 320):
        wanted = paced(take.performance, tempo, as_players_do=True)
        begins = sorted(wanted.begins(note) for part in wanted.parts for note in part.notes)
        got = [note[0] for note in times(page, told, tempo=tempo, seconds=100)]
        assert got == pytest.approx(begins, abs=0.0005)
        assert pace(take.performance, tempo, as_players_do=True).late >= 0


# === Rounds: a click on the first beat of four, counted in by four softer ones ===

CLICK = Sounding(Fraction(4), Fraction(1, 4), 37, 120)


def ticking(beats: int = 4) -> Take:
    clicks = [Sounding(Fraction(n), Fraction(1, 4), 37, 60, counts_in=True) for n in range(4)]
    part = Part("drums", (*clicks, CLICK))
    return Take("tick", Performance((part,), Fraction(4 + beats), tempo=120))


def onsets(wave: np.ndarray) -> list[int]:
    """The frame of the loudest moment of each click."""
    heights = np.abs(wave).max(axis=0)
    found, at = [], 0
    while at < len(heights):
        some = heights[at : at + RATE // 5]
        if some.max() < 0.2:
            at += len(some)
            continue
        top = at + int(np.argmax(heights[at : at + RATE // 10]))
        first = at + int(np.flatnonzero(some >= 0.2)[0])
        top = first + int(np.argmax(heights[first : first + RATE // 50]))
        found.append(top)
        at = first + RATE // 5
    return found


def test_a_loop_has_no_gap_and_is_counted_in_once(page):
    tempo = 97  # a round is no whole number of frames
    beat = 60 / tempo * RATE
    wave = played(page, ticking(), tempo=tempo, seconds=30, loops=True)
    found = onsets(wave)
    strong = [at for at in found if np.abs(wave[:, at - 5 : at + 5]).max() > 0.5]
    first, length = strong[0], 4 * beat
    off = [at - first - round(length * n) for n, at in enumerate(strong)]
    assert max(map(abs, off)) <= 1  # a round number of frames is one off at most
    assert len(strong) == 12  # thirty seconds of 97 beats a minute are 12 bars and a little
    weak = [at for at in found if at not in strong]
    assert len(weak) == 4
    assert max(weak) < first


def test_what_rings_over_the_end_of_a_round_goes_on(page):
    a4 = Part("line", (Sounding(Fraction(0), Fraction(8), 69, 90),))
    take = Take("held", Performance((a4,), Fraction(4), tempo=120))
    wave = played(page, take, tempo=120, seconds=9, loops=True, melody="flute")
    assert levels(wave, 0.02, over=1)[20:].min() > -40  # 20 ms without sound would be -100


def told(take: Take) -> dict[str, Any]:
    return NoteStock().told(take, "flute")


def struck(notes: list[tuple[float, ...]]) -> list[float]:
    """When what is no click of the count-in begins."""
    return [round(note[0], 6) for note in notes if not note[3]]


def test_ten_minutes_have_no_drift(page):
    found = struck(times(page, told(ticking()), tempo=133, seconds=600, loops=True))
    assert len(found) == 332
    assert found == pytest.approx([(4 + 4 * n) * 60 / 133 for n in range(332)], abs=1e-6)


def test_a_tempo_that_changes_on_a_beat_changes_there_and_nothing_is_lost_or_doubled(page):
    changed = 8 * 60 / 120  # the second round begins
    steps = [[changed, {"tempo": 240}], [changed + 4, {"tempo": 60}]]
    found = struck(times(page, told(ticking()), tempo=120, seconds=20, loops=True, steps=steps))
    assert found == pytest.approx([2, 4, 5, 6, 7, 8, 12, 16], abs=1e-6)


@pytest.mark.parametrize("at", [3.9, 3.99, 4.0, 4.01, 4.2, 5.0])
def test_a_change_among_the_notes_of_a_band_loses_none_and_doubles_none(page, at):
    take = coloured()
    plain = times(page, told(take), tempo=100, seconds=30)
    steps = [[at, {"tempo": 100}]]
    assert times(page, told(take), tempo=100, seconds=30, steps=steps) == [
        pytest.approx(note) for note in plain
    ]


def test_some_bars_go_round_and_the_line_rests_every_other_round(page):
    take = told(coloured())
    some = times(page, take, tempo=120, seconds=20, loops=True, **{"from": 4, "to": 8})
    line = [note for note in some if note[2] == 0]
    rounds = {note[4]: sum(other[4] == note[4] for other in line) for note in line}
    assert set(rounds) == set(range(9))
    assert len({rounds[number] for number in range(8)}) == 1
    answered = times(page, take, tempo=120, seconds=20, loops=True, rests=True)
    assert {note[4] for note in answered if note[2] == 0} <= {0, 2, 4}
    assert {note[4] for note in answered if note[2] == 1} >= {0, 1, 2}


def test_it_goes_through_all_keys_and_begins_again(page):
    cycle = [told(take) for take in explore("Db").travels(1, "fifths", 100, 2.0)]
    assert [take["key"] for take in cycle][:3] == ["D♭ major", "G♭ major", "B major"]
    seconds = (4 + 12 * 13) * 60 / 200
    found = times(page, *cycle, tempo=200, seconds=seconds, loops=True)
    assert {note[4] for note in found} >= set(range(13))  # of the next the first is early
    first = [note[0] for note in found if note[4] == 0 and not note[3]]
    again = [note[0] - 12 * 12 * 60 / 200 for note in found if note[4] == 12]
    assert again == pytest.approx(first, abs=1e-6)


def test_a_part_that_is_off_is_silent_and_a_soft_one_is_a_quarter(page):
    take = Take("one click", Performance((Part("drums", (CLICK,)),), Fraction(8), tempo=120))
    loud, soft, off = (
        np.abs(played(page, take, tempo=120, seconds=4, levels=(1, 1, 1, level))).max()
        for level in (0.5, 0.125, 0)
    )
    assert off == 0
    assert loud / soft == pytest.approx(4, rel=0.05)


def test_the_first_beat_lies_where_the_clock_says(page):
    wave = played(page, ticking(), tempo=120, seconds=4)
    file = render(ticking().performance).wave.T
    assert BEGINS > 0
    assert onsets(wave)[0] == pytest.approx(onsets(file)[0], abs=2)


def test_the_count_in_stays_where_the_drums_are_off(page):
    """Whoever plays the drums himself has to know when."""
    sound = [played(page, ticking(), tempo=120, seconds=4, levels=(1, 1, 1, on)) for on in (1, 0)]
    with_drums, without = ([round(at / RATE, 2) for at in onsets(wave)] for wave in sound)
    assert with_drums[:4] == without
    assert len(with_drums) == 5
