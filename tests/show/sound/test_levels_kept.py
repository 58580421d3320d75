"""Levels of a line's notes: what is measured together is what is measured alone, and ahead."""

import numpy as np
import pytest

from theorykit.show.sound import NoteStock, levels
from theorykit.show.sound.levels import moments, note_level
from theorykit.show.sound.mixing import gains, heard_power
from theorykit.show.sound.soundfont import open_soundfont
from theorykit.show.sound.voice import side_of, voice_once
from theorykit.views.explorer_view import explore

RATE = 44100
TENOR, PIANO = 66, 0


@pytest.mark.parametrize("program", [TENOR, PIANO])
@pytest.mark.parametrize("key", [49, 61, 73])
def test_every_moment_has_the_level_that_a_voice_of_its_own_length_has(program, key):
    font = open_soundfont()
    for moment in moments():
        frames = round(moment * RATE)
        struck = np.zeros((2, frames))
        for region in font.regions(0, program, key, levels.MEASURED_LOUDNESS):
            wave = voice_once(region, key, RATE, frames)
            struck[:, : len(wave)] += np.outer(gains(side_of(region)), wave)
        alone = sum(heard_power(channel, RATE) for channel in struck) ** -0.5
        found = note_level(font, 0, program, key, RATE, moment)
        assert 20 * np.log10(found / alone) == pytest.approx(0, abs=0.02)


def test_a_key_that_was_thought_of_is_told_without_a_new_measure(monkeypatch):
    """Those are the keys a few half steps around; their work is done in quiet moments."""
    stock = NoteStock()
    for take in explore("C", "long", "altered").takes(100, 2.0):
        stock.told(take, "tenor saxophone")
    assert len([*stock.likely()]) > 20
    measured = []
    monkeypatch.setattr(levels, "voice_once", lambda *_: measured.append(1) or np.zeros(9))
    for key in ("Db", "B", "D"):
        for take in explore(key, "long", "altered").takes(100, 2.0):
            stock.told(take, "tenor saxophone")
    assert measured == []
