"""Why the notes are not left to the library symusic: what it does, measured in the same way.

Should one of these tests fail, the library has been mended, and may take the place of our voices.
"""

from __future__ import annotations

import numpy as np
import pytest
from listening import cents, frequency, loudness

from theorykit.show.sound.soundfont import open_soundfont

RATE = 44100


def played(midi: int, strength: int, *, ring: float = 0.0) -> np.ndarray:
    """Return two seconds of a piano note as symusic plays it, and what rings ``ring`` s longer."""
    symusic = pytest.importorskip("symusic")
    score = symusic.Score(960).to("second")
    piano = symusic.Track(name="piano", program=0, is_drum=False, ttype="second")
    piano.notes.append(symusic.Note(0, 2, midi, strength, ttype="second"))
    if ring:  # a note elsewhere, so that the sound goes on
        piano.notes.append(symusic.Note(2 + ring, 0.5, 30, 1, ttype="second"))
    score.tracks.append(piano)
    synthesizer = symusic.Synthesizer(str(open_soundfont().path), RATE, 0)
    try:
        return synthesizer.render(score, True).mean(axis=0)
    except TypeError:  # symusic 0.6.0, with numpy 2.2 and 2.4
        pytest.skip("this version of symusic renders nothing at all")


def test_it_leaves_the_root_key_of_a_zone_out_of_account():
    # A4 comes out as the A flat almost two octaves higher: the recording's own key is 60, and the
    # zone that says 83 is not heard.
    wave = played(69, 100)[2000:80000]
    near = 440 * 2 ** (23 / 12)
    assert abs(cents(frequency(wave, RATE, near), 440)) > 2000


def test_it_plays_every_note_as_loud():
    assert np.array_equal(played(69, 20), played(69, 120))


def test_its_notes_neither_die_away_nor_ring_out():
    wave = played(60, 100, ring=1.0)
    late, later = loudness(wave[RATE : RATE + 4410]), loudness(wave[2 * RATE - 4410 : 2 * RATE])
    assert late - later < 1
    assert loudness(wave[2 * RATE + 441 : 2 * RATE + 4410]) < -100
