"""Tuning: recordings that are off pitch are put right, and what has no pitch is left alone."""

from __future__ import annotations

import pytest
from listening import cents, frequency
from small_soundfont import CYCLE, RATE, sine_soundfont

from theorykit.lines.parts import MELODY_SOUNDS
from theorykit.show.sound.soundfont import DRUM_BANK, open_soundfont
from theorykit.show.sound.voice import correction, voice

SHARP = cents(RATE / CYCLE, 440)  # the written sine is a little sharp of A4


@pytest.mark.parametrize("off", [-40, -13, 0, 17, 40])
def test_a_recording_off_pitch_is_measured(tmp_path, off):
    path = sine_soundfont(tmp_path / "sine.sf2", cents=off)
    (region,) = open_soundfont(path).regions(0, 0, 69, 100)
    assert correction(region) == pytest.approx(-(off + SHARP), abs=0.3)
    wave = voice(region, 69, RATE, RATE, tune=correction(region))
    assert abs(cents(frequency(wave, RATE, 440), 440)) < 0.3


def test_what_is_far_off_is_left_alone(tmp_path):
    path = sine_soundfont(tmp_path / "sine.sf2", generators=[(51, 5)])
    (region,) = open_soundfont(path).regions(0, 0, 69, 100)
    assert correction(region) == 0


@pytest.mark.parametrize("name", ["flute", "trumpet", "violin", "clarinet"])
def test_every_key_of_a_melody_sound_is_within_a_tenth_of_a_half_step(name):
    font = open_soundfont()
    for key in range(55, 89, 3):
        (region,) = font.regions(0, MELODY_SOUNDS[name], key, 90)
        wave = voice(region, key, 22050, 33000, tune=correction(region))[6000:]
        wanted = 440 * 2 ** ((key - 69) / 12)
        assert abs(cents(frequency(wave, 22050, wanted), wanted)) < 11


def test_corrections_are_small():
    font = open_soundfont()
    for program in MELODY_SOUNDS.values():
        for key in range(48, 85, 6):
            assert all(abs(correction(r)) < 20 for r in font.regions(0, program, key, 90))


def test_a_drum_has_no_pitch_to_be_measured_with_certainty():
    for region in open_soundfont().regions(DRUM_BANK, 0, 42, 90):
        assert abs(correction(region)) <= 60
