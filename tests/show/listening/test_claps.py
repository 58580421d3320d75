"""Claps with clicks: the delay of a machine measured from what its microphone heard, and kept."""

from __future__ import annotations

import numpy as np
import pytest

from theorykit import TheoryError
from theorykit.show.listening import clap_delay, keep_delay, own_delay
from theorykit.show.own_reader import own_files_in
from theorykit.show.sound import Samples

RATE, CLICKS = 44100, [1 + 0.6 * n for n in range(8)]


def heard(late: float, *, jitter: float = 0.0, missing: int = 0, hum: float = 0.0) -> Samples:
    """Claps that come late, in a room with noise and hum."""
    chance = np.random.default_rng(7)
    wave = chance.normal(size=7 * RATE) * 0.002
    wave += hum * np.sin(2 * np.pi * 50 * np.arange(len(wave)) / RATE)
    for click in CLICKS[missing:]:
        at = int((click + late + chance.normal() * jitter) * RATE)
        time = np.arange(int(0.08 * RATE)) / RATE
        wave[at:][: len(time)] += 0.4 * chance.normal(size=len(time)) * np.exp(-60 * time)
    return Samples(np.asarray(wave, np.float32), RATE)


@pytest.mark.parametrize("late", [0.0, 0.03, 0.12, 0.3])
@pytest.mark.parametrize("hum", [0.0, 0.1])
def test_the_delay_is_found_to_five_milliseconds(late, hum):
    assert clap_delay(heard(late, hum=hum), CLICKS) == pytest.approx(late, abs=0.005)


def test_hands_are_less_steady_than_clicks_and_some_claps_may_be_missing():
    assert clap_delay(heard(0.1, jitter=0.012), CLICKS) == pytest.approx(0.1, abs=0.012)
    assert clap_delay(heard(0.1, missing=2), CLICKS) == pytest.approx(0.1, abs=0.005)


@pytest.mark.parametrize(
    "sound",
    [
        *(heard(0.1, missing=8), heard(0.1, missing=3), heard(0.1, jitter=0.1)),
        heard(0.1, jitter=0.03),  # as far apart as notes that one calls late
        Samples(np.zeros(9, np.float32), RATE),
    ],
)
def test_claps_that_do_not_agree_are_no_answer(sound):
    with pytest.raises(TheoryError, match="claps agree"):
        clap_delay(sound, CLICKS)


def test_it_is_kept_for_this_machine_and_can_be_forgotten(tmp_path):
    with own_files_in(tmp_path / "own"):
        assert own_delay() is None
        keep_delay(0.0834)
        assert own_delay() == 0.083
        (tmp_path / "own" / "delay.txt").write_text("a while", encoding="utf-8")
        assert own_delay() is None
        keep_delay(None)
        assert not (tmp_path / "own" / "delay.txt").exists()
