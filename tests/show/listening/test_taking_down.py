"""A recording, a MIDI take or played notes, taken down as a line."""

from __future__ import annotations

import sys
from fractions import Fraction
from random import Random

import mido
import numpy as np
import pytest

from theorykit import Line, TheoryError, take_down, two_five_one
from theorykit.lines.parts import Part, Performance, Sounding
from theorykit.show.listening import taken_down
from theorykit.show.listening.attacks import Attacks, dip, risen
from theorykit.show.listening.heard_notes import _joined, _runs
from theorykit.show.listening.pitch_by_partials import pitch_by_partials
from theorykit.show.listening.pitch_search import (
    HOP,
    _agreeing,
    _compass,
    _costs,
    _path,
    _tuning,
    levels,
    resampled,
)
from theorykit.show.listening.spectra import STEP, Spectra
from theorykit.show.sound import render, wav_bytes

OVER = two_five_one("Db", "short")
LINE = Line.parse("8th Eb5 Gb5 Bb5 Db6 C6 A5 Gb5 Eb5 | half F5 half rest", OVER)
RATE, TEMPO, START = 44100, 120, 1.0


def tones(line=LINE, *, tempo=TEMPO, cents=0.0, vibrato=0.0):
    """A line as plain tones of six partials, each with an attack and an end."""
    wave = np.zeros(int((START + 5) * RATE))
    for note in line.notes:
        first = START + float(note.start) * 60 / tempo
        seconds = float(note.beats) * 60 / tempo - 0.02
        time = np.arange(int(seconds * RATE)) / RATE
        bend = cents + vibrato * np.sin(2 * np.pi * 5.5 * time)
        frequency = 440 * 2 ** ((note.pitch.midi - 69 + bend / 100) / 12)
        phase = 2 * np.pi * np.cumsum(frequency) / RATE
        tone = sum(np.sin(k * phase) / k**1.3 for k in range(1, 7))
        edge = np.minimum(1, np.minimum(time / 0.012, (seconds - time) / 0.02))
        wave[int(first * RATE) :][: len(time)] += 0.15 * edge * tone
    return wave


@pytest.fixture
def _ears():
    for package in ("pyworld", "swift_f0"):
        pytest.importorskip(package, reason="python -m pip install 'theorykit[taking]' brings it")


@pytest.mark.usefixtures("_ears")
@pytest.mark.parametrize("cents", [0, 38, -38])
def test_tones_are_taken_down_and_their_tuning_told(cents):
    found = take_down((tones(cents=cents), RATE), OVER, tempo=TEMPO, start=START)
    assert found.line.text == LINE.text
    assert found.tuning == pytest.approx(cents, abs=6)
    assert any("cents" in words for words in found.report) == (cents != 0)


@pytest.mark.usefixtures("_ears")
def test_vibrato_makes_no_notes():
    found = take_down((tones(vibrato=35), RATE), OVER, tempo=TEMPO, start=START)
    assert found.line.text == LINE.text


@pytest.mark.usefixtures("_ears")
def test_a_file_of_our_own_sound_is_taken_down(tmp_path):
    notes = tuple(Sounding(n.start, n.beats, n.pitch.midi, 90) for n in LINE.notes)
    sound = render(Performance((Part("line", notes),), Fraction(8), tempo=TEMPO), melody="trumpet")
    file = tmp_path / "take.wav"
    file.write_bytes(wav_bytes(sound))
    found = take_down(file, OVER, tempo=TEMPO, start=0.0)
    assert [(n.pitch, n.start) for n in found.line] == [(n.pitch, n.start) for n in LINE]


@pytest.mark.usefixtures("_ears")
def test_an_instrument_may_be_named_and_a_name_that_is_none_is_refused():
    found = take_down((tones(), RATE), OVER, tempo=TEMPO, start=START, instrument="flute")
    assert found.line.text == LINE.text
    with pytest.raises(TheoryError, match="want one of tenor saxophone"):
        take_down((tones(), RATE), OVER, tempo=TEMPO, start=START, instrument="bagpipe")


@pytest.mark.parametrize("missing", ["pyworld", "swift_f0"])
def test_a_missing_package_is_told_with_the_command_that_brings_it(missing, monkeypatch):
    for name in {"pyworld", "swift_f0"}:
        monkeypatch.setitem(sys.modules, name, None if name == missing else object())
    if missing == "swift_f0":  # the other ear is heard first
        monkeypatch.setattr(
            "theorykit.show.listening.pitch_search.pitch_by_cycles",
            lambda wave, rate: (np.zeros(10), np.zeros(10)),
        )
    from theorykit.show.listening import pitch_by_model

    pitch_by_model._model.cache_clear()
    with pytest.raises(TheoryError, match=r"pip install 'theorykit\[taking\]'"):
        take_down((tones(), RATE), OVER, tempo=TEMPO, start=START)


def midi_take(path, *, pedal):
    """LINE as a player plays it on a keyboard, without a beat kept too strictly."""
    rng = Random(5)
    events = []
    for note in LINE.notes:
        first = float(note.start) + rng.gauss(0, 0.03)
        events += [(first, "note_on", note.pitch.midi), (first + 0.3, "note_off", note.pitch.midi)]
    track, at = mido.MidiTrack(), 0
    track.append(mido.MetaMessage("set_tempo", tempo=mido.bpm2tempo(TEMPO)))
    if pedal:
        track.append(mido.Message("control_change", control=64, value=127))
        events.append((7.0, "up", 0))
    for beat, kind, midi in sorted(events):
        tick = max(at, round(max(beat, 0) * 480))
        if kind == "up":
            message = mido.Message("control_change", control=64, value=0, time=tick - at)
        else:
            message = mido.Message(kind, note=midi, velocity=80, time=tick - at)
        track.append(message)
        at = tick
    file = mido.MidiFile(ticks_per_beat=480)
    file.tracks.append(track)
    file.save(path)
    return path


def test_a_midi_take_becomes_the_line(tmp_path):
    found = take_down(midi_take(tmp_path / "take.mid", pedal=False), OVER)
    assert [(n.pitch, n.start) for n in found.line] == [(n.pitch, n.start) for n in LINE]
    assert found.tempo == TEMPO


def test_under_the_pedal_notes_last_until_the_next_and_the_last_until_it_comes_up(tmp_path):
    found = take_down(midi_take(tmp_path / "take.mid", pedal=True), OVER)
    assert [(n.start, n.beats) for n in found.line] == [
        *((Fraction(n, 2), Fraction(1, 2)) for n in range(8)),
        (4, 3),
    ]


@pytest.mark.parametrize(
    ("sound", "words"),
    [
        ("no such file.wav", "no such file"),
        ((np.zeros(44100), 44100), "silent"),
        ((np.ones(100), 3), "no rate of sound"),
        ((np.full(100, np.nan), 44100), "no sound"),
        (5, "no take"),
        ([(0, 1)], "no notes that were played"),
    ],
)
def test_what_is_no_take_is_refused(sound, words):
    with pytest.raises(TheoryError, match=words):
        taken_down(sound, OVER, TEMPO, 0)


# === The parts, without the packages ===


def test_a_resampled_tone_keeps_its_pitch_and_level():
    time = np.arange(RATE) / RATE
    found = resampled(np.sin(2 * np.pi * 440 * time), RATE, 16_000)
    spectrum = np.abs(np.fft.rfft(found))
    assert int(np.argmax(spectrum)) == 440
    assert np.abs(found[800:-800]).max() == pytest.approx(1, abs=0.02)


def test_levels_are_decibels_of_full_scale():
    """A sine of full scale has 3.01 dB less than a square of full scale (common practice)."""
    wave = np.sin(2 * np.pi * 1000 * np.arange(RATE) / RATE)
    assert levels(wave, RATE, 100)[20:80] == pytest.approx(-3.01, abs=0.1)


def track(numbers, sure=0.9):
    pitch = np.array([n or 69.0 for n in numbers], float)
    return pitch, np.array([sure if n else 0.0 for n in numbers])


def path_of(*tracks):
    level = np.where(tracks[0][1] > 0, -20.0, -80.0)
    return _path(*_costs(list(tracks), level)).tolist()


def test_the_path_keeps_a_pitch_through_vibrato_and_slips():
    steady = [60 + 0.5 * np.sin(2 * np.pi * 5.5 * HOP * step) for step in range(60)]
    slipping = [72.0 if 20 <= step < 24 else 60.0 for step in range(60)]
    assert set(path_of(track(steady), track(slipping))) == {60}


def test_the_path_follows_notes_and_rests():
    numbers = [60.0] * 20 + [62.0] * 20 + [0] * 20 + [62.0] * 20
    found = path_of(track(numbers), track(numbers))
    assert [end - first for first, end, _ in _runs(np.array(found))] == pytest.approx(
        [20, 20, 20], abs=2
    )


def test_the_tuning_is_the_middle_of_what_is_sure():
    sharp = track([60.3, 62.31, 64.29, 67.3])
    wild = track([61.9, 63.6, 60.1, 62.2], sure=0.1)
    assert _tuning([sharp, wild]) == pytest.approx(30, abs=1)


def attacks(growth, strength):
    """Attacks of spectra that grow by so much, without a sound."""
    spectra = Spectra(np.zeros((len(growth), 4), np.float32), 31.0)
    spectra.__dict__["growth"] = growth
    return Attacks(spectra, usual=0.1, strength=strength)


def test_a_held_tone_is_struck_again_only_with_growth_and_a_dip():
    held, dipped = np.full(200, -20.0), np.full(200, -20.0)
    dipped[92:97] = -23
    assert (dip(held, 100, 25), dip(dipped, 100, 25)) == (0, 3)
    found = attacks(np.full(250, 0.1), strength=1.5)
    assert found._is_struck(1.0, 3)
    assert not found._is_struck(1.0, 0)  # what grows is another instrument
    assert not found._is_struck(0.1, 3)  # a waver


def test_a_slow_attack_after_a_louder_note_is_no_dip():
    """A flute swells: the note before it is louder than its own beginning."""
    level = np.concatenate((np.full(80, -15.0), np.linspace(-30, -20, 40), np.full(80, -20.0)))
    assert dip(level, 102, 82) < 1


def test_a_tone_begins_where_it_rises_not_where_the_tone_before_was_loud():
    """The louder tone before ends at step 30, the new one grows from step 40 on."""
    level = np.concatenate((np.full(30, -20.0), np.full(10, -60.0), np.linspace(-60, -30, 16)))
    place, grown = risen(level, heard=46)
    assert 40 <= place <= 44
    assert grown == pytest.approx(30, abs=1)


def test_a_tone_that_speaks_slowly_begins_near_where_the_one_before_is_let_go():
    """In breath, one tone ends at 0.2 s and the next swells; a struck one is not moved."""
    time = np.arange(RATE // 2) / RATE
    before = partials(60, time) * np.clip((0.21 - time) / 0.01, 0, 1)
    after = partials(67, time) * np.clip((time - 0.2) / 0.1, 0, 1) ** 3
    breath = 0.3 * np.random.default_rng(1).normal(size=len(time))
    spectra = Spectra.of(before + after + breath, RATE)
    slow, struck = (
        Attacks(spectra, usual=1e6, strength=strength).begun(67, 60, 0.27, 0.1, 0.5)
        for strength in (4e6, 1e8)
    )
    assert slow == pytest.approx(0.215, abs=0.015)
    assert struck > slow + 0.02


def partials(midi, time):
    """Six partials of a tone, each softer than the one before."""
    hertz = 440 * 2 ** ((midi - 69) / 12)
    return sum(np.sin(2 * np.pi * hertz * n * time) / n for n in range(1, 7)) / 5


def test_a_short_slip_of_an_octave_is_joined_and_a_struck_octave_is_not():
    struck, quiet = np.full(200, 0.1), np.full(200, 0.1)
    struck[int(20 * HOP / STEP)] = 1.0
    runs = [(2, 20, 52), (20, 60, 64)]
    assert _joined(runs, attacks(quiet, strength=1.0)) == [(2, 60, 64)]
    assert _joined(runs, attacks(struck, strength=1.0)) == runs
    assert _joined([(2, 8, 52), (8, 60, 64)], attacks(struck, strength=1.0)) == [(2, 60, 64)]


@pytest.mark.parametrize("midi", [40, 49, 61, 66, 70, 85])
def test_partials_suit_the_pitch_that_sounds_and_not_its_octaves(midi):
    time = np.arange(16_000) / 16_000
    tone = sum(
        np.sin(2 * np.pi * k * 440 * 2 ** ((midi - 69) / 12) * time) / k for k in range(1, 9)
    )
    numbers = np.arange(28, 101)
    suiting = pitch_by_partials(tone, 16_000, numbers.astype(float))[40:80].mean(axis=0)
    assert numbers[suiting.argmax()] == midi
    assert suiting[midi - 28] > 1.2 * max(
        suiting[midi - 40 if midi >= 40 else 0], suiting[midi - 16]
    )


def test_cycles_are_believed_only_where_another_ear_agrees():
    pitch, sure = np.array([41.0, 60.0]), np.array([0.8, 0.8])
    found = _agreeing((pitch, sure), [np.array([60.0, 60.2]), np.array([60, 72])])
    assert found[1].tolist() == [0.0, 0.8]


def test_the_compass_of_a_melody_leaves_out_a_soft_bass():
    numbers = np.array([60] * 40 + [72] * 40 + [38] * 20)
    level = np.array([-20.0] * 80 + [-40.0] * 20)
    assert _compass(numbers, level) == (60, 72)
    assert _compass(numbers, np.full(100, -20.0)) == (38, 72)  # a low note as loud as the rest


@pytest.mark.usefixtures("_ears")
def test_a_bass_twenty_decibels_below_is_not_of_the_melody():
    low = Line.parse("quarter rest Eb2 rest Bb2 | rest Db2 half rest", OVER)
    held = Line.parse("quarter Eb5 rest Bb5 rest | Gb5 rest half F5", OVER)
    wave = tones(held) + tones(low) / 10
    found = take_down((wave, RATE), OVER, tempo=TEMPO, start=START)
    assert [(n.pitch, n.start) for n in found.line] == [(n.pitch, n.start) for n in held]
    assert any("faint" in words for words in found.report)


@pytest.mark.usefixtures("_ears")
def test_an_offset_and_rumble_change_nothing():
    """A cheap sound card adds an offset, a stand the steps on the floor."""
    time = np.arange(len(tones())) / RATE
    wave = tones() + 0.05 + 0.05 * np.sin(2 * np.pi * 12 * time)
    found = take_down((wave, RATE), OVER, tempo=TEMPO, start=START)
    assert found.line.text == LINE.text
    assert found.left_out == ()
