"""Bytes and players: what other readers find in them."""

from __future__ import annotations

import base64
import io
import re
import wave
from html.parser import HTMLParser

import numpy as np
import pytest
import soundfile

from theorykit.errors import TheoryError
from theorykit.show.sound import FORMATS, Samples, mp3_bytes, ogg_bytes, wav_bytes
from theorykit.show.sound.players import audio_html
from theorykit.show.sound.synthesizer import flac_bytes

RATE = 22050
# RFC 9639 (FLAC), 2024; RFC 5334 (Ogg), 2008; RFC 3003 (MP3), 2000; common practice (WAV).
MIME = {"flac": "audio/flac", "wav": "audio/wav", "ogg": "audio/ogg", "mp3": "audio/mpeg"}


def tone(seconds: float, rate: int = RATE) -> Samples:
    time = np.arange(round(seconds * rate)) / rate
    return Samples((0.3 * np.sin(2 * np.pi * 440 * time)).astype(np.float32), rate)


def test_wav_as_the_standard_library_reads_it():
    with wave.open(io.BytesIO(wav_bytes(tone(1.5)))) as file:
        assert (file.getnchannels(), file.getsampwidth(), file.getframerate()) == (1, 2, RATE)
        assert file.getnframes() == round(1.5 * RATE)
        read = np.frombuffer(file.readframes(RATE), "<i2") / 32768
    assert np.abs(read - tone(1.5).wave[:RATE]).max() < 1e-4


def test_flac_keeps_every_frame_to_seventy_decibels_and_is_smaller():
    left, right = tone(3, 44100).wave, np.roll(tone(3, 44100).wave, 40)
    given = Samples(np.stack((left, right), axis=1), 44100)
    data = flac_bytes(given)
    read, rate = soundfile.read(io.BytesIO(data))
    assert (rate, read.shape) == (44100, given.wave.shape)
    assert np.abs(read - given.wave).max() <= 0.5 / 2**11 + 1e-9
    assert len(data) < len(wav_bytes(given)) / 2


@pytest.mark.parametrize("rate", [22050, 44100])
@pytest.mark.parametrize(("encode", "late"), [(ogg_bytes, 0.0), (mp3_bytes, 0.1)])
def test_compressed_sound_is_smaller_and_says_the_same(encode, late, rate):
    given = tone(3, rate)
    data = encode(given)
    read, read_rate = soundfile.read(io.BytesIO(data), dtype="float32")
    assert read_rate == rate
    assert 0 <= len(read) / rate - 3 <= late
    assert len(data) < len(wav_bytes(given)) / 4
    middle = read[rate : 2 * rate]
    spectrum = np.abs(np.fft.rfft(middle * np.hanning(len(middle))))
    assert np.argmax(spectrum) * rate / len(middle) == pytest.approx(440, abs=1)
    assert np.abs(middle).max() == pytest.approx(0.3, abs=0.03)


@pytest.mark.parametrize("minutes", [2, pytest.param(10, marks=pytest.mark.proof)])
def test_minutes_can_be_encoded(minutes):
    # The Vorbis encoder of libsndfile 1.2.2 crashes when it is given a minute at once.
    seconds = 60 * minutes
    long = Samples(np.tile(tone(1).wave, seconds), RATE)
    assert soundfile.info(io.BytesIO(ogg_bytes(long))).duration == pytest.approx(seconds, abs=0.01)


class Element(HTMLParser):
    """The first audio element of a text, and all tags."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.audio: dict[str, str | None] = {}
        self.tags: list[str] = []
        self.texts: list[str] = []
        self.feed(text)

    def handle_starttag(self, tag, attrs):
        self.tags.append(tag)
        if tag == "audio":
            self.audio = dict(attrs)

    def handle_data(self, data):
        self.texts.append(data)


@pytest.mark.parametrize("form", FORMATS)
def test_a_player_holds_its_sound(form):
    text = audio_html(tone(0.5), label="Plain V", form=form)
    found = Element(text).audio
    kind, data = re.fullmatch(r"data:([\w/]+);base64,(.*)", found["src"] or "").groups()
    assert kind == MIME[form]
    read, rate = soundfile.read(io.BytesIO(base64.b64decode(data)))
    assert len(read) / rate == pytest.approx(0.5, abs=0.1)


def test_a_player_has_the_browsers_controls_and_waits_to_be_asked():
    found = Element(audio_html(tone(0.1), label="Plain V")).audio
    assert "controls" in found
    assert "autoplay" not in found
    assert "loop" not in found
    assert found["preload"] == "metadata"
    assert found["aria-label"] == "Plain V"
    assert "loop" in Element(audio_html(tone(0.1), label="Vamp", loops=True)).audio


def test_label_and_caution_cannot_break_out():
    bad = '"><script>alert(1)</script>'
    found = Element(audio_html(tone(0.1), label=bad, caution=bad))
    assert found.tags == ["audio", "p"]
    assert found.audio["aria-label"] == bad
    assert found.texts[-1] == bad


def test_an_unknown_format_is_refused():
    with pytest.raises(
        TheoryError, match=r"no such audio format: 'aiff' \(want flac, wav, ogg, mp3\)"
    ):
        audio_html(tone(0.1), label="x", form="aiff")
