"""A recording, a MIDI take or played notes, taken down as a line."""

from __future__ import annotations

import tracemalloc
from concurrent.futures import ThreadPoolExecutor
from fractions import Fraction
from random import Random

import mido
import numpy as np
import pytest
import soundfile
from scipy.signal import correlate

from theorykit import Line, TheoryError, save, take_down, two_five_one
from theorykit.lines.parts import Part, Performance, Sounding
from theorykit.show.listening import ear, prepared, taken_down
from theorykit.show.listening.ear import Hearing, hearing
from theorykit.show.listening.ear_spectra import (
    BANDS,
    BINS,
    COUNT,
    FINER,
    HOP,
    LOWEST,
    ear_spectra,
    spectra_of,
)
from theorykit.show.listening.note_search import _begun, _compass, _cut, notes_in
from theorykit.show.listening.prepared import levels, resampled
from theorykit.show.listening.tuning import cents_sharp
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


@pytest.mark.parametrize("cents", [0, 38, -38])
def test_tones_are_taken_down_and_their_tuning_told(cents):
    found = take_down((tones(cents=cents), RATE), OVER, tempo=TEMPO, start=START)
    assert found.line.text == LINE.text
    assert found.tuning == pytest.approx(cents, abs=6)
    assert any("cents" in words for words in found.report) == (cents != 0)


def test_vibrato_makes_no_notes():
    found = take_down((tones(vibrato=35), RATE), OVER, tempo=TEMPO, start=START)
    assert found.line.text == LINE.text


def test_a_file_of_our_own_sound_is_taken_down(tmp_path):
    notes = tuple(Sounding(n.start, n.beats, n.pitch.midi, 90) for n in LINE.notes)
    sound = render(Performance((Part("line", notes),), Fraction(8), tempo=TEMPO), melody="trumpet")
    file = tmp_path / "take.wav"
    file.write_bytes(wav_bytes(sound))
    found = take_down(file, OVER, tempo=TEMPO, start=0.0)
    assert [(n.pitch, n.start) for n in found.line] == [(n.pitch, n.start) for n in LINE]


@pytest.mark.parametrize("coding", ["FLOAT", "DOUBLE", "PCM_24", "PCM_U8"])
def test_a_file_of_any_coding_is_heard(tmp_path, coding):
    """Recording programs write fractions; as whole numbers these are all silent."""
    file = tmp_path / "take.wav"
    soundfile.write(file, tones(), RATE, subtype=coding)
    assert take_down(file, OVER, tempo=TEMPO, start=START).line.text == LINE.text


def whole(wave, kind, full):
    """Sound as whole numbers."""
    return (wave * full).astype(kind)


@pytest.mark.parametrize(
    "given",
    [
        lambda wave: whole(wave, np.int16, 2**15 - 1),
        lambda wave: whole(wave, np.int32, 2**31 - 128),
        lambda wave: whole(wave, np.int64, 2**15 - 1),
        lambda wave: whole(wave, np.uint8, 127) + np.uint8(128),
        lambda wave: wave * 1e30,  # no such level: its numbers went over all bounds in the ear
        lambda wave: np.stack([wave, 0 * wave], 1),
        lambda wave: np.stack([wave, wave]),  # a row for each channel
        lambda wave: np.stack([wave, -wave], 1),  # one channel turned round
    ],
)
def test_an_array_may_have_any_numbers_and_channels(given):
    found = take_down((given(tones()), RATE), OVER, tempo=TEMPO, start=START)
    assert found.line.text == LINE.text


def test_whole_numbers_are_silent_by_their_full_scale():
    faint = np.random.default_rng(2).integers(-3, 4, RATE).astype(np.int16)
    with pytest.raises(TheoryError, match="silent"):
        take_down((faint, RATE), OVER, tempo=TEMPO, start=START)


@pytest.mark.parametrize("rate", [8_000, 22_050, 48_000, 192_000])
def test_what_a_microphone_may_have_as_its_rate_is_heard(rate):
    """Hands-free sets have 8,000, some sound cards 192,000; the recorder of a page takes both."""
    time = np.arange(6 * rate) / rate
    wave = np.interp(time, np.arange(6 * RATE) / RATE, tones())
    found = take_down((wave, float(rate)), OVER, tempo=TEMPO, start=START)
    assert found.line.text == LINE.text


def test_numbers_of_numpy_are_numbers():
    rows = [(np.float32(n / 4), np.float32(n / 4 + 0.2), np.int64(60 + n)) for n in range(5)]
    found = take_down(rows, OVER, tempo=np.int64(120), start=np.float32(0))
    assert [n.pitch.midi for n in found.line] == [60, 61, 62, 63, 64]
    assert (type(found.tempo), type(found.start)) == (int, float)


def test_an_instrument_may_be_named_and_a_name_that_is_none_is_refused():
    found = take_down((tones(), RATE), OVER, tempo=TEMPO, start=START, instrument="flute")
    assert found.line.text == LINE.text
    with pytest.raises(TheoryError, match="want one of tenor saxophone"):
        take_down((tones(), RATE), OVER, tempo=TEMPO, start=START, instrument="bagpipe")


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


def test_a_midi_file_with_a_pickup_is_taken_down(tmp_path):
    line = Line.parse("pickup 8th C5 Db5 | quarter Eb5 Gb5 Bb5 Ab5 | half F5 rest", OVER)
    file = save(line, tmp_path / "take.mid", tempo=100)
    found = take_down(file, OVER)
    assert [(n.pitch.midi, n.start) for n in found.line] == [(n.pitch.midi, n.start) for n in line]
    assert found.tempo == 100


def test_what_else_a_midi_file_holds_is_told(tmp_path):
    """A note whose end never came, and another part, are not in the line."""
    melody, bass = mido.MidiTrack(), mido.MidiTrack()
    for midi in (75, 78, 82):
        melody.append(mido.Message("note_on", note=midi, velocity=80))
        melody.append(mido.Message("note_off", note=midi, time=240))
    melody.append(mido.Message("note_on", note=85, velocity=80))
    bass.append(mido.Message("note_on", channel=1, note=39, velocity=80))
    bass.append(mido.Message("note_off", channel=1, note=39, time=960))
    file = mido.MidiFile(ticks_per_beat=480)
    file.tracks += [melody, bass]
    file.save(tmp_path / "take.mid")
    found = take_down(tmp_path / "take.mid", OVER)
    assert [n.pitch.midi for n in found.line] == [75, 78, 82]
    told = " ".join(found.report)
    assert "Of 2 parts 'channel 1' was taken" in told
    assert "1 note without an end is left out" in told
    assert found.report[-2:] == found.retaken(found.tempo + 10).report[-2:]  # at any tempo


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
        ((np.full(100, np.nan), 44100), "want finite numbers"),
        ((np.array([0.5, np.inf]), 44100), "want finite numbers"),
        ((np.full(100, 1j), 44100), "array of complex128"),
        ((np.array([None, 0.5]), 44100), "array of object"),
        ((np.zeros((9, 9, 9)), 44100), "in 3 dimensions"),
        ((np.zeros((5, 0)), 44100), "silent"),
        ((np.ones(100), 44100.5), "no rate of sound"),
        ((np.ones(100), True), "no rate of sound"),
        (5, "no take"),
        ([(0, 1)], "no notes that were played"),
    ],
)
def test_what_is_no_take_is_refused(sound, words):
    with pytest.raises(TheoryError, match=words):
        taken_down(sound, OVER, TEMPO, 0)


# === The parts ===


def test_a_resampled_tone_keeps_its_pitch_and_level():
    time = np.arange(RATE) / RATE
    found = resampled(np.sin(2 * np.pi * 440 * time), RATE, 16_000)
    spectrum = np.abs(np.fft.rfft(found))
    assert int(np.argmax(spectrum)) == 440
    assert np.abs(found[800:-800]).max() == pytest.approx(1, abs=0.02)


def test_a_tone_is_resampled_in_pieces_without_a_seam(monkeypatch):
    time = np.arange(5 * RATE + 77) / RATE
    tone = np.sin(2 * np.pi * 440 * time)
    whole = resampled(tone, RATE, 16_000)
    monkeypatch.setattr(prepared, "PIECE", 2)
    pieces = resampled(tone, RATE, 16_000)
    assert len(pieces) == len(whole) == int(len(tone) * 16_000 / RATE)
    wanted = np.sin(2 * np.pi * 440 * np.arange(len(whole)) / 16_000)
    assert np.abs(pieces - wanted)[800:-800].max() < 1e-3
    assert np.abs(pieces - whole)[800:-800].max() < 1e-3


def test_levels_are_decibels_of_full_scale():
    """A sine of full scale has 3.01 dB less than a square of full scale (common practice)."""
    wave = np.sin(2 * np.pi * 1000 * np.arange(RATE) / RATE)
    assert levels(wave, RATE, HOP, 100)[20:80] == pytest.approx(-3.01, abs=0.1)


def said(numbers, begins=(), sure=0.9):
    """What an ear says that is sure of these numbers, step by step, and of these beginnings."""
    odds = np.full((len(numbers), COUNT + 1), np.log((1 - sure) / COUNT), np.float32)
    for step, number in enumerate(numbers):
        odds[step, number - LOWEST + 1 if number else 0] = np.log(sure)
    onsets = np.zeros(len(numbers), np.float32)
    onsets[list(begins)] = 0.9
    return Hearing(odds, onsets)


def found_in(heard):
    """The notes of what an ear says: steps and number."""
    level = np.full(len(heard.begins), -20.0)
    level[np.maximum(np.flatnonzero(heard.begins) - 2, 0)] = -26.0  # a dip before each
    notes = notes_in(heard, level).notes
    return [(round(n.start / HOP), round(n.end / HOP), n.midi) for n in notes]


def test_notes_are_those_of_the_ear_and_its_slips_make_none():
    numbers = [60] * 20 + [62] * 9 + [74] * 2 + [62] * 9 + [0] * 20 + [62] * 20
    assert found_in(said(numbers, (0, 20, 60))) == [(0, 20, 60), (20, 40, 62), (60, 80, 62)]


def test_a_held_tone_is_cut_where_a_beginning_is_clear_and_not_at_once_again():
    assert found_in(said([60] * 60, (1, 30, 34))) == [(1, 30, 60), (30, 60, 60)]


@pytest.mark.parametrize("depth", [2.0, 4.0, 6.0])
@pytest.mark.parametrize("pace", [4.6, 5.2, 6.5])
def test_a_held_tone_that_swells_as_a_vibrato_does_is_one(depth, pace):
    """Horns swell four to eight times a second (common practice); tongues strike sooner than so."""
    period = 1 / (pace * HOP)
    begins, level = np.zeros(300, np.float32), np.full(300, -20.0)
    tops = [round(period * number) for number in range(2, round(250 / period))]
    begins[tops] = 0.92
    swell = depth / 2 * np.cos(2 * np.pi * (np.arange(300) / period - 0.2))
    assert len(_cut(np.full(300, 69), begins, level + swell, 9)) == 1
    for top in tops:
        level[top - 3 : top] -= depth
    assert len(_cut(np.full(300, 69), begins, level, 9)) == len(tops) + 1


def test_at_a_tempo_that_is_given_no_tone_is_struck_again_before_a_sixteenth():
    """A sixteenth lasts 0.25 s at 60 beats a minute, 0.125 s at 120 (common practice)."""
    level = np.full(60, -20.0)
    level[18] = -26.0
    counts = [len(notes_in(said([60] * 60, (1, 20)), level, None, t).notes) for t in (60, 120)]
    assert counts == [1, 2]


def test_a_change_of_pitch_begins_where_the_ear_hears_it_begin():
    numbers = [60] * 24 + [67] * 26
    assert found_in(said(numbers, (1, 20))) == [(1, 20, 60), (20, 50, 67)]
    assert found_in(said(numbers)) == [(0, 24, 60), (24, 50, 67)]


def test_of_two_clear_beginnings_the_nearer_one_is_that_of_the_change():
    begins = np.zeros(50, np.float32)
    begins[[18, 23]] = 0.9
    assert _begun(24, 50, [18, 23], begins) == 23
    begins[18] = 1.0  # so much clearer that it counts from farther away
    begins[23] = 0.85
    assert _begun(24, 50, [18, 23], begins) == 18


def test_a_soft_tone_is_likelier_within_the_compass_of_the_loud_ones():
    heard = said([60] * 40 + [72] * 40 + [0] * 5 + [40] * 20, (1, 40, 85))
    heard.pitches[85:, 64 - LOWEST + 1] = heard.pitches[85:, 40 - LOWEST + 1] - 0.5
    soft = np.array([-20.0] * 80 + [-45.0] * 25)
    assert [n.midi for n in notes_in(heard, soft).notes] == [60, 72, 64]
    assert [n.midi for n in notes_in(heard, np.full(105, -20.0)).notes] == [60, 72, 40]


def test_what_is_shorter_than_any_note_is_none():
    assert found_in(said([0] * 10 + [60] * 4 + [0] * 10)) == []
    assert found_in(said([0] * 10 + [60] * 5 + [0] * 10)) == [(10, 15, 60)]


def test_two_steps_of_another_pitch_break_no_tone_however_sure_the_ear_is():
    slip = said([60] * 20 + [67] * 2 + [60] * 20, sure=1 - 1e-12)
    assert found_in(slip) == [(0, 42, 60)]


def test_two_steps_of_silence_end_a_tone():
    assert found_in(said([60] * 20 + [0] * 2 + [60] * 20)) == [(0, 20, 60), (22, 42, 60)]


def test_a_brief_tone_counts_where_something_begins_near_it():
    numbers = [60] * 20 + [67] * 5 + [60] * 20
    assert 67 not in [m for *_, m in found_in(said(numbers, (1,), sure=0.1))]
    assert 67 in [m for *_, m in found_in(said(numbers, (1, 18, 27), sure=0.1))]


def test_the_cut_leaves_no_note_before_the_one_that_was_heard_first():
    begins = np.zeros(40, np.float32)
    begins[[3, 12]] = 0.9
    path = np.array([60] * 15 + [62] * 25)
    assert _cut(path, begins, np.zeros(40), 9) == [(3, 12, 60), (12, 40, 62)]


def test_a_tone_that_speaks_an_octave_low_is_that_of_its_longer_part():
    slipped = [54] * 14 + [0] + [66] * 30
    assert found_in(said(slipped, (1,))) == [(1, 45, 66)]
    assert [m for *_, m in found_in(said(slipped, (1, 15)))] == [54, 66]  # a leap that is played


def test_what_long_tones_do_in_a_take_its_short_ones_do_too():
    slipping = [54] * 14 + [66] * 30 + [0] * 10
    short = [54] * 14 + [0] * 10
    begins = (1, 55, 109)
    assert [m for *_, m in found_in(said(slipping * 2 + short, begins))] == [66, 66, 66]
    played = said(slipping * 2 + short + [54] * 40, (*begins, 133))  # a long tone is no slip
    assert [m for *_, m in found_in(played)] == [66, 66, 54, 54]


def test_a_tone_that_speaks_an_octave_low_may_speak_longer_than_it_sounds():
    """Reeds begin so (common practice): where it goes on in the higher octave, it is that."""
    assert found_in(said([54] * 16 + [66] * 12, (1,))) == [(1, 28, 66)]
    assert found_in(said([66] * 16 + [54] * 12, (1,))) == [(1, 28, 66)]


def test_short_tones_near_those_that_slip_do_too_where_the_line_says_so():
    slipping = [54] * 14 + [66] * 30 + [0] * 10
    begins = (1, 55, 109, 133)
    near = said(slipping * 2 + [55] * 14 + [0] * 10 + [65] * 40, begins)
    assert [m for *_, m in found_in(near)] == [66, 66, 67, 65]
    far = said(slipping * 2 + [58] * 14 + [0] * 10 + [65] * 40, begins)
    assert [m for *_, m in found_in(far)] == [66, 66, 58, 65]
    low = said([50] * 40 + slipping * 2 + [55] * 14 + [0] * 10 + [50] * 40, (1, 41, 95, 149, 173))
    assert [m for *_, m in found_in(low)] == [50, 66, 66, 55, 50]


def test_a_leap_of_an_octave_that_the_ear_doubts_is_none():
    heard = said([64] * 20 + [54] * 12 + [67] * 20, (1, 20, 32))
    assert [m for *_, m in found_in(heard)] == [64, 54, 67]
    heard.pitches[28:31, 66 - LOWEST + 1] = np.log(0.08)
    assert [m for *_, m in found_in(heard)] == [64, 66, 67]


def test_a_short_note_keeps_its_beginning():
    heard = said([60] * 20 + [62] * 6 + [64] * 30, (1, 20))
    heard.begins[26] = 0.5  # less clear than the beginning before it
    assert found_in(heard) == [(1, 20, 60), (20, 26, 62), (26, 56, 64)]


def test_a_note_that_is_over_before_its_pitch_is_clear_is_written_down():
    heard = said([60] * 20 + [0] * 16 + [64] * 30, (1, 26, 36))
    heard.pitches[26:30, 63 - LOWEST + 1] = np.log(0.1)
    assert found_in(heard) == [(1, 20, 60), (26, 32, 63), (36, 66, 64)]
    soft = np.array([-20.0] * 20 + [-50.0] * 16 + [-20.0] * 30)  # what begins is no note
    assert [n.midi for n in notes_in(heard, soft).notes] == [60, 64]


def test_an_octave_that_was_guessed_is_doubtful():
    slipping = ([54] * 14 + [66] * 30 + [0] * 10) * 2 + [54] * 14 + [0] * 10
    heard = said(slipping, (1, 55, 109))
    long, _, short = notes_in(heard, np.full(len(slipping), -20.0)).notes
    assert (long.midi, short.midi) == (66, 66)
    assert short.confidence < 0.5 < long.confidence


def test_a_waver_or_a_click_without_a_dip_is_no_new_note():
    heard = said([60] * 60, (1, 30))
    steady = np.full(60, -20.0)
    assert len(notes_in(heard, steady).notes) == 1


def test_a_compass_that_is_given_settles_an_octave():
    heard = said([64] * 50)
    heard.pitches[:, 52 - LOWEST + 1] = heard.pitches[:, 64 - LOWEST + 1] - 0.5
    level = np.full(50, -20.0)
    assert [n.midi for n in notes_in(heard, level).notes] == [64]
    assert [n.midi for n in notes_in(heard, level, (40, 55)).notes] == [52]


def test_the_compass_of_a_melody_leaves_out_a_soft_bass():
    numbers = np.array([60] * 40 + [72] * 40 + [38] * 20)
    level = np.array([-20.0] * 80 + [-40.0] * 20)
    assert _compass(numbers, level) == (60, 72)
    assert _compass(numbers, np.full(100, -20.0)) == (38, 72)  # a low note as loud as the rest


def partials(midi, seconds=0.8, rate=16_000):
    """Eight partials of a tone, each softer than the one before."""
    time = np.arange(int(seconds * rate)) / rate
    hertz = 440 * 2 ** ((midi - 69) / 12)
    tone = sum(np.sin(2 * np.pi * hertz * n * time) / n for n in range(1, 9))
    edge = np.minimum(1, np.minimum(time / 0.01, (seconds - time) / 0.02))
    return (0.2 * edge * tone).astype(np.float32)


@pytest.mark.parametrize("midi", [40, 49, 61, 66, 70, 85])
def test_the_ear_hears_a_tone_and_not_its_octaves(midi):
    wave = np.concatenate((np.zeros(4800), partials(midi), np.zeros(4800))).astype(np.float32)
    heard = hearing(wave, 0.0)
    inside = heard.pitches[int(0.45 / HOP) : int(0.95 / HOP)].mean(axis=0)
    assert LOWEST + int(np.argmax(inside[1:])) == midi
    assert heard.pitches[: int(0.2 / HOP)].argmax(axis=1).max() == 0  # silence before
    assert int(np.argmax(heard.begins)) * HOP == pytest.approx(0.3, abs=0.025)


def test_a_long_take_is_heard_as_in_one_piece(monkeypatch):
    wave = np.concatenate([partials(midi, 0.4) for midi in (60, 64, 67, 72, 71, 62)])
    whole = hearing(wave, 0.0)
    monkeypatch.setattr(ear, "BLOCK", 70)
    pieces = hearing(wave, 0.0)
    assert np.abs(np.exp(whole.pitches) - np.exp(pieces.pitches)).max() < 1e-3
    assert np.abs(whole.begins - pieces.begins).max() < 1e-3


@pytest.mark.parametrize("content", [None, b"", b"PK\x03\x04 cut off", b"no archive at all"])
def test_without_its_weights_the_ear_says_so(tmp_path, monkeypatch, content):
    if content is not None:
        (tmp_path / "ear.npz").write_bytes(content)
    monkeypatch.setattr(ear, "WEIGHTS", tmp_path / "ear.npz")
    ear._weights.cache_clear()
    with pytest.raises(TheoryError, match="want theorykit installed anew"):
        take_down((tones(), RATE), OVER, tempo=TEMPO, start=START)


def test_the_spectra_of_a_long_take_need_little_room():
    """A student of a class has 600 MB, and ten minutes must fit: rows, and little else."""
    wave = np.random.default_rng(4).normal(size=120 * 16_000).astype(np.float32)
    rows = ear_spectra(wave, 0.0)
    tracemalloc.start()
    try:
        ear_spectra(wave, 0.0)
        _, most = tracemalloc.get_traced_memory()
    finally:
        tracemalloc.stop()
    assert most < 3.5 * rows.nbytes


def test_takes_at_once_are_heard_as_one_by_one():
    takes = [(tones(cents=cents), RATE) for cents in (-20, 0, 20)]
    alone = [taken_down(one, OVER, TEMPO, START) for one in takes]
    with ThreadPoolExecutor(3) as pool:
        together = list(pool.map(lambda one: taken_down(one, OVER, TEMPO, START), takes))
    assert together == alone


def test_a_layer_over_time_is_that_of_another_library():
    """SciPy correlates the same steps: Virtanen and others, *SciPy 1.0*, 2020."""
    rows = np.random.default_rng(3).normal(size=(50, 96)).astype(np.float32)
    taps, bias = ear._weights()["around 1"], ear._weights()["around 1 +"]
    found = ear._over_time(rows, "around 1", 2)
    spread = np.zeros((5, 96, 96))
    spread[::2] = taps
    for out in (0, 50):
        kernel = spread[:, :, out]
        wanted = correlate(rows, kernel, mode="same", method="direct")[:, 48] + bias[out]
        assert found[:, out] == pytest.approx(np.maximum(wanted, 0), abs=1e-3)


@pytest.mark.parametrize("cents", [0, 25])
def test_half_steps_are_where_the_tuning_of_the_take_has_them(cents):
    time = np.arange(16_000) / 16_000
    tone = np.sin(2 * np.pi * 440 * 2 ** (cents / 1200) * time).astype(np.float32)
    rows = ear_spectra(tone, cents)[20:-20]
    assert set(rows[:, :BINS].argmax(axis=1)) == {(69 - LOWEST) * FINER + 1}


def test_bands_are_equal_on_the_scale_of_mels():
    """1000 Hz are 1000 mels, by its definition (common practice): the band there holds them."""
    tone = np.sin(2 * np.pi * 1000 * np.arange(16_000) / 16_000).astype(np.float32)
    bands = ear_spectra(tone, 0.0)[20:-20, 2 * BINS :]
    low, high = 2595 * np.log10(1 + np.array([60, 7900]) / 700)
    place = (1000 - low) / (high - low) * (BANDS + 1) - 1
    assert abs(int(np.median(bands.argmax(axis=1))) - place) <= 1


def test_a_tone_of_full_scale_has_one_in_its_bin():
    tone = np.sin(2 * np.pi * 1000 * np.arange(16_000) / 16_000).astype(np.float32)
    assert spectra_of(tone, 512)[50].max() == pytest.approx(1, abs=0.01)


@pytest.mark.parametrize("cents", [-49, -30, 0, 12, 44])
def test_the_tuning_of_a_take_is_told(cents):
    tones = [partials(midi + cents / 100) for midi in (60, 63, 67, 70)]
    assert cents_sharp(np.concatenate(tones)) == pytest.approx(cents, abs=3)


def test_silence_has_no_tuning_and_no_notes():
    quiet = np.zeros(16_000, np.float32)
    assert cents_sharp(quiet) == 0
    assert notes_in(hearing(quiet, 0.0), np.full(125, -120.0)).notes == []


def test_a_bass_twenty_decibels_below_is_not_of_the_melody():
    low = Line.parse("quarter rest Eb2 rest Bb2 | rest Db2 half rest", OVER)
    held = Line.parse("quarter Eb5 rest Bb5 rest | Gb5 rest half F5", OVER)
    wave = tones(held) + tones(low) / 10
    found = take_down((wave, RATE), OVER, tempo=TEMPO, start=START)
    assert [(n.pitch, n.start) for n in found.line] == [(n.pitch, n.start) for n in held]
    assert any("faint" in words for words in found.report)


def test_an_offset_and_rumble_change_nothing():
    """A cheap sound card adds an offset, a stand the steps on the floor."""
    time = np.arange(len(tones())) / RATE
    wave = tones() + 0.05 + 0.05 * np.sin(2 * np.pi * 12 * time)
    found = take_down((wave, RATE), OVER, tempo=TEMPO, start=START)
    assert found.line.text == LINE.text
    assert found.left_out == ()


# === What is no melody ===


def noise(kind: str, seconds: float = 6.0) -> np.ndarray:
    """Noise by its power over frequency, breath in and out, or the hum of the mains."""
    chance = np.random.default_rng(5)
    wave, time = chance.normal(0, 0.1, int(RATE * seconds)), np.arange(int(RATE * seconds)) / RATE
    if kind == "hum":  # 50 Hz and its partials, IEC 60038
        return 0.001 * wave + sum(
            0.05 * np.sin(2 * np.pi * 50 * k * time) / k for k in (1, 2, 3, 4)
        )
    spectrum, hertz = np.fft.rfft(wave), np.maximum(np.fft.rfftfreq(len(wave), 1 / RATE), 20)
    if kind == "breath":
        spectrum[(hertz < 400) | (hertz > 6000)] = 0
        return np.fft.irfft(spectrum, len(wave)) * np.clip(np.sin(2 * np.pi * 0.4 * time), 0, 1)
    slope = {"white": 0.0, "pink": 0.5, "brown": 1.0}[kind]
    found = np.fft.irfft(spectrum / hertz**slope, len(wave))
    return 0.1 * found / found.std()


@pytest.mark.parametrize("instrument", [None, "tenor saxophone"])
@pytest.mark.parametrize("kind", ["white", "pink", "brown", "breath", "hum"])
@pytest.mark.parametrize("level", [1.0, 0.1])
def test_noise_is_no_melody(kind, level, instrument):
    wave = np.clip(level * noise(kind), -1, 1)
    with pytest.raises(TheoryError, match=r"no melody was heard: .*want one melody"):
        take_down((wave, RATE), OVER, tempo=TEMPO, start=START, instrument=instrument)


@pytest.mark.parametrize("kind", ["white", "pink", "breath"])
def test_a_melody_in_as_much_noise_as_a_room_has_is_heard(kind):
    wave = tones()
    wave += 0.02 * noise(kind, len(wave) / RATE)[: len(wave)]
    found = take_down((wave, RATE), OVER, tempo=TEMPO, start=START)
    assert [one.pitch for one in found.line][: len(LINE.notes)] == [one.pitch for one in LINE]


@pytest.mark.parametrize(("instrument", "is_low"), [("flute", True), ("tenor saxophone", False)])
def test_what_an_instrument_does_not_have_is_doubtful_and_told(instrument, is_low):
    low = Line.parse("8th Ab4 F4 half Gb3 quarter Ab4 | half Db5 Ab4", OVER)  # a flute has B3
    found = take_down((tones(low), RATE), OVER, tempo=TEMPO, start=START, instrument=instrument)
    assert found.line.text == low.text
    assert [one.pitch.midi for one in found.doubtful] == [54] * is_low
    assert ("1 note lies below the lowest of the flute." in found.report) == is_low


def test_notes_that_all_come_after_the_last_bar_are_told():
    with pytest.raises(TheoryError, match=r"all 9 notes came after the last bar, .* 2 bars from 1"):
        take_down(
            [(START + 9 + n / 4, START + 9.2 + n / 4, 60 + n) for n in range(9)],
            OVER, tempo=TEMPO, start=START,
        )  # fmt: skip
    with pytest.raises(TheoryError, match="the only note came before the first bar"):
        take_down([(0.1, 0.5, 60)], OVER, tempo=TEMPO, start=9.0)
