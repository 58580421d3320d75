"""Players of performances: what the page holds, and how three versions of a substitute sound."""

from __future__ import annotations

import base64
import io
import re

import numpy as np
import pytest
import soundfile
from listening import mono

from theorykit.lines.in_place import Version, in_place
from theorykit.notes.note import Pitch
from theorykit.show.sound import Samples, performance_html, render
from theorykit.show.sound.synthesizer import PEAK

SECONDS = 1 + 16 * 60 / 120  # a bar of count-in, three bars at 120 beats a minute, the tail
SECOND_BAR = 8 * 60 / 120  # when V's bar begins, after the count-in


def sound(version: Version, *silent: str) -> Samples:
    """A version as sound at 120 beats a minute, some parts left out."""
    return render(version.performance(tempo=120), silent=silent)


@pytest.mark.parametrize("key", ["C", "Db", "F#", "Bb minor"])
def test_three_versions_are_as_long_and_as_soft_as_they_should_be_and_all_different(key):
    waves = [sound(version).wave for version in in_place(key, "tritone substitute").versions]
    for wave in waves:
        assert len(wave) / 44100 == pytest.approx(SECONDS, abs=0.01)
        assert 0.05 < np.abs(wave).max() <= PEAK + 1e-6
    for one, other in ((0, 1), (1, 2), (0, 2)):
        assert np.abs(waves[one] - waves[other]).max() > 0.02


def partials(samples: Samples, pitch: str) -> float:
    """The level of the first four partials of a pitch in the bar of V, its first beat."""
    start = round((SECOND_BAR + 0.05) * samples.rate)
    wave = mono(samples)[start : start + round(0.4 * samples.rate)]
    spectrum = np.abs(np.fft.rfft(wave * np.hanning(len(wave)), 1 << 17))
    hertz = np.fft.rfftfreq(1 << 17, 1 / samples.rate)
    low = Pitch.parse(pitch).frequency
    near = [np.abs(1200 * np.log2(np.maximum(hertz, 1) / (low * n))) < 30 for n in range(1, 5)]
    return float(sum(spectrum[inside].max() for inside in near))


@pytest.mark.parametrize(
    ("place", "root", "other"),
    [("original", "G2", "Db2"), ("over_bass", "G2", "Db2"), ("own_bass", "Db2", "G2")],
)
def test_under_the_second_bar_the_old_bass_or_the_new_one_is_heard(place, root, other):
    """Measured on the sound itself: the partials of one root stand far above those of the other."""
    version = getattr(in_place("C", "tritone substitute"), place)
    samples = sound(version, "line", "piano", "drums")
    assert partials(samples, root) > 5 * partials(samples, other)


def test_a_player_says_its_label_keeps_its_room_and_holds_the_sound():
    played = in_place("C", "tritone substitute").own_bass.performance(tempo=120)
    html = performance_html(played, label='over <G7> & "its own" bass', room=96)
    assert "<G7>" not in html
    assert html.count("over &lt;G7&gt; &amp; &quot;its own&quot; bass") == 2
    assert "min-height:96px;justify-content:flex-end" in html
    assert "min-height" not in performance_html(played, label="x")
    data = re.search(r"data:audio/flac;base64,([^\"]+)", html)
    assert data is not None
    wave, rate = soundfile.read(io.BytesIO(base64.b64decode(data[1])))
    assert len(wave) / rate == pytest.approx(SECONDS, abs=0.01)
