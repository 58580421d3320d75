"""Takes that FluidSynth plays, taken down: sounds that our own engine did not make.

Notes are judged by ``mir_eval``: Colin Raffel and others, *mir_eval: A transparent implementation
of common MIR metrics*, ISMIR 2014. The player is the FluidSynth project, *FluidSynth*, version 2.3,
2022, with the small SoundFont that comes with the workbook. The ear was trained on it among others,
though not on these takes; ``tests/bench/heard_takes.py`` plays them with one that it never heard.
The takes are of odd seeds: no number of the library was set on them.
"""

from __future__ import annotations

import os
import shutil
from collections import Counter
from fractions import Fraction

import pytest
from judged_takes import Judged, judged, matched, right_bars
from played_takes import BARS, RATE, START, bare, form, take, with_all

from theorykit.lines.taking import compass_of, taken_line
from theorykit.show.listening.heard_notes import heard_notes
from theorykit.show.sound.soundfont import open_soundfont

NAMES = ("tenor saxophone", "trumpet", "clarinet", "piano", "jazz guitar", "vibraphone")
LEAST, LEAST_WITH_ALL = 0.93, 0.9  # F1 of each clean take, and over all with everything
SEED = 1


@pytest.fixture
def _ears():
    if shutil.which("fluidsynth") is None and not os.environ.get("CI"):
        pytest.skip("fluidsynth is not installed (on Debian: apt-get install fluidsynth)")


def taken(name, tempo, played, folder):
    """A take of an instrument, taken down and judged."""
    one = take(name, tempo, SEED)
    wave = played(one, str(open_soundfont().path), folder)
    found = heard_notes(wave, RATE, compass_of(name), tempo)
    written = taken_line(found.notes, form(), tempo=tempo, start=START).line
    rows = [(n.start, n.end, n.midi) for n in found.notes]
    return judged(one.notes, rows, one.places, [n.start for n in written], BARS)


@pytest.mark.sweep
@pytest.mark.usefixtures("_ears")
@pytest.mark.parametrize("name", NAMES)
def test_a_clean_take_is_heard(name, tmp_path):
    found = [taken(name, tempo, bare, tmp_path) for tempo in (100, 180)]
    assert sum(found[1:], found[0]).measure >= LEAST


@pytest.mark.sweep
@pytest.mark.usefixtures("_ears")
def test_takes_with_room_noise_and_band_are_heard(tmp_path):
    found = [taken(name, 140, with_all, tmp_path) for name in NAMES]
    assert sum(found[1:], found[0]).measure >= LEAST_WITH_ALL


# === The judge ===

PLAYED = [(0.0, 0.2, 60), (0.5, 0.7, 62), (1.0, 1.2, 62), (1.5, 1.7, 64), (2.0, 2.2, 65)]


def test_notes_match_within_fifty_milliseconds_and_the_same_pitch():
    heard = [(0.049, 0.2, 60), (0.56, 0.7, 62), (1.0, 1.2, 63)]
    assert matched(PLAYED, heard) == [(0, 0)]
    assert matched(PLAYED, []) == []


def test_faults_are_told_by_their_kind():
    heard = [(0.0, 0.2, 72), (0.6, 0.7, 62), (1.5, 1.7, 66), (3.0, 3.2, 50)]
    found = judged(PLAYED, heard)
    assert found.faults == Counter(
        {
            "octave": 1,
            "late or early": 1,
            "missed repeat": 1,
            "pitch": 1,
            "missed": 1,
            "too much": 1,
        }
    )
    assert found.right == 0


def test_a_sum_of_judgements_counts_notes_not_takes():
    one = Judged(10, 10, 10, Counter(), (1, 1)) + Judged(30, 10, 10, Counter(), (0, 1))
    assert (one.precision, one.recall, one.measure) == (1.0, 0.5, pytest.approx(2 / 3))
    assert one.bars == (1, 2)


def test_a_bar_is_right_that_has_all_its_notes_and_no_others():
    places = [Fraction(0), Fraction(1, 2), Fraction(4), Fraction(8)]
    written = [Fraction(0), Fraction(1, 2), Fraction(4), Fraction(5)]
    assert right_bars(places, written, 3) == (True, False, False)
