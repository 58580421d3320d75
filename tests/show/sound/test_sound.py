"""Sound, measured: pitch by Fourier transform, onsets, levels, lengths."""

from __future__ import annotations

import io
from fractions import Fraction

import numpy as np
import pytest
import soundfile
from listening import cents, decibels, frequency, loudness, mono, onsets, true_peak
from small_soundfont import sine_soundfont
from together import together

from theorykit.errors import TheoryError
from theorykit.harmony.colours import colour
from theorykit.lines.band import SIDE_STICK, performance
from theorykit.lines.demonstration import demonstration
from theorykit.lines.parts import MELODY_SOUNDS, PART_NAMES, Part, Performance, Sounding
from theorykit.notes.note import Pitch
from theorykit.show.sound import CAUTION, render
from theorykit.show.sound.synthesizer import RATES, TAIL, Samples

HALF = Fraction(1, 2)


def line_of(*notes: tuple[Fraction | int, Fraction | int, int], **how: float) -> Performance:
    """Return a melody alone: start and length in beats, MIDI number."""
    sounding = tuple(Sounding(Fraction(s), Fraction(b), midi, 90) for s, b, midi in notes)
    end = max(note.start + note.beats for note in sounding)
    return Performance((Part("line", sounding),), Fraction(-(-end // 1)), **how)


def phrase(*, plain: bool = False, **how: float) -> Performance:
    """Return the demonstration phrase with its rhythm section."""
    row = colour("b9 13")
    line = demonstration("C", "long", None if plain else row)
    colours = {} if plain else {1: row.degrees}
    return performance(line, line.progression, colours=colours, **how)


# ISO 16: A4 is 440 Hz. Six cents are about the least that a practised ear tells between two notes
# one after the other (from memory).
@pytest.mark.parametrize("melody", MELODY_SOUNDS)
def test_a4_sounds_440_hertz(melody):
    sound = render(line_of((0, 4, 69), tempo=120), melody=melody)
    held = mono(sound)[int(0.2 * sound.rate) : int(1.9 * sound.rate)]
    assert abs(cents(frequency(held, sound.rate, 440), 440)) < 6


@pytest.mark.parametrize("name", ["E1", "A1", "C2", "F#2", "Bb2", "G3"])
def test_the_bass_is_in_tune(name):
    pitch = Pitch.parse(name)
    bass = Part("bass", (Sounding(Fraction(0), Fraction(4), pitch.midi, 85),))
    sound = render(Performance((bass,), Fraction(4), tempo=120))
    held = mono(sound)[int(0.1 * sound.rate) : int(1.9 * sound.rate)]
    assert abs(cents(frequency(held, sound.rate, pitch.frequency), pitch.frequency)) < 6


@together("midi", range(48, 85, 4))
@together("rate", RATES)
def test_the_piano_is_in_tune_over_its_range(midi, rate):
    sound = render(line_of((0, 4, midi), tempo=120), melody="piano", rate=rate)
    wanted = 440 * 2 ** ((midi - 69) / 12)
    held = mono(sound)[int(0.05 * rate) : int(1.9 * rate)]
    assert abs(cents(frequency(held, rate, wanted), wanted)) < 6


@pytest.mark.parametrize("tempo", [40, 97, 160, 300])
def test_the_count_in_keeps_the_tempo(tempo):
    played = performance(None, demonstration("C").progression, tempo=tempo, count_in=1)
    sound = render(played, silent=["piano", "bass"])
    clicks = onsets(mono(sound)[: round(4 * 60 / tempo * sound.rate)], sound.rate)
    assert clicks == pytest.approx([beat * 60 / tempo for beat in range(4)], abs=0.004)


@pytest.mark.parametrize("swing", [1.0, 1.5, 2.0, 3.0])
@pytest.mark.parametrize("tempo", [80, 160])
def test_eighths_swing_as_the_reader_says(swing, tempo):
    eighths = tuple(Sounding(HALF * n, Fraction(1, 4), SIDE_STICK, 90) for n in range(16))
    clicks = Performance((Part("drums", eighths),), Fraction(8), tempo, swing)
    sound = render(clicks)
    heard = np.array(onsets(mono(sound), sound.rate, apart=0.06))
    assert len(heard) == 16
    long, short = np.diff(heard)[::2].mean(), np.diff(heard)[1::2].mean()
    assert long / short == pytest.approx(swing, rel=0.05)
    assert long + short == pytest.approx(60 / tempo, abs=0.003)


def test_triplets_do_not_swing():
    thirds = [(Fraction(n, 3), Fraction(1, 6), 76) for n in range(9)]
    sound = render(line_of(*thirds, tempo=80, swing=3.0), melody="marimba")
    heard = onsets(mono(sound), sound.rate)
    assert heard == pytest.approx([n / 3 * 60 / 80 for n in range(9)], abs=0.004)


@pytest.mark.parametrize("tempo", [40, 123.5, 300])
@pytest.mark.parametrize("rate", RATES)
def test_the_length_is_known_beforehand(tempo, rate):
    played = phrase(tempo=tempo)
    assert render(played, rate=rate).seconds == pytest.approx(played.seconds + TAIL, abs=1.5 / rate)
    loop = render(played, rate=rate, ending="loop")
    assert loop.seconds == pytest.approx(played.seconds, abs=1 / rate)


@pytest.mark.parametrize("melody", MELODY_SOUNDS)
def test_true_peaks_stay_one_decibel_below_full_scale(melody):
    assert true_peak(render(phrase(), melody=melody)) <= -1


def test_even_the_loudest_mix_stays_below():
    loud = [Sounding(Fraction(0), Fraction(4), midi, 127) for midi in range(36, 80)]
    parts = tuple(Part(name, tuple(loud)) for name in PART_NAMES)
    sound = render(Performance(parts, Fraction(4)))
    assert decibels(sound.peak) <= -2 + 1e-4
    assert true_peak(sound) <= -1
    assert np.isfinite(mono(sound)).all()


def test_nothing_clicks_at_either_end():
    sound = render(phrase())
    rise = np.abs(mono(sound)[: round(0.001 * sound.rate)]).max()
    assert rise < 0.02
    assert abs(mono(sound)[-1]) < 1e-4
    steps = np.abs(np.diff(mono(sound)))
    assert steps[-round(0.05 * sound.rate) :].max() < 0.02 * steps.max()


def test_the_last_note_rings_out():
    sound = render(line_of((0, 2, 72), tempo=120), melody="vibraphone")
    end = round(1.0 * sound.rate)
    after = [loudness(mono(sound)[end + a : end + a + 1000]) for a in (0, 4000, 8000, 12000)]
    assert after[0] > -50  # it sounds on after its last beat
    assert after == sorted(after, reverse=True)  # and dies away


def test_notes_end_when_they_are_let_go():
    sound = render(line_of((0, 1, 69), (3, 1, 69), tempo=60), melody="clarinet")
    held = loudness(mono(sound)[int(0.4 * sound.rate) : int(0.8 * sound.rate)])
    after = loudness(mono(sound)[int(2.0 * sound.rate) : int(2.5 * sound.rate)])
    assert after < held - 40


def test_loud_notes_are_louder():
    levels = []
    for strength in (20, 50, 80, 110):
        part = Part("line", (Sounding(Fraction(0), Fraction(2), 69, strength),))
        levels.append(loudness(mono(render(Performance((part,), Fraction(2))))))
    steps = np.diff(levels)
    assert (steps > 2).all()
    # SoundFont 2.04, section 8.4.1: attenuation falls with the square of the velocity: 40 dB a
    # decade of loudness.
    assert levels[3] - levels[0] == pytest.approx(40 * np.log10(110 / 20), abs=0.5)


def test_a_piano_note_dies_away_while_it_is_held():
    sound = render(line_of((0, 8, 60), tempo=120), melody="piano")
    levels = [loudness(mono(sound)[int(t * sound.rate) :][:2000]) for t in (0.1, 1.0, 2.0, 3.0)]
    assert levels == sorted(levels, reverse=True)
    assert levels[0] - levels[-1] > 15


def test_parts_add_up_to_the_whole():
    played = phrase()
    whole = mono(render(played))
    stems = [
        mono(render(played, silent=[other for other in PART_NAMES if other != name]))
        for name in PART_NAMES
    ]
    assert np.abs(np.sum(stems, axis=0) - whole).max() < 1e-4
    assert all(loudness(stem) > -60 for stem in stems)


def test_silence_where_all_parts_are_silent():
    assert render(phrase(), silent=PART_NAMES).peak == 0


def test_plain_and_coloured_keep_their_balance():
    others = [name for name in PART_NAMES if name != "piano"]
    levels = []
    for plain in (True, False):
        played = phrase(plain=plain)
        bass = render(played, silent=[name for name in PART_NAMES if name != "bass"])
        piano = render(played, silent=others)
        levels.append((loudness(mono(bass)), loudness(mono(piano))))
    (plain_bass, plain_piano), (bass, piano) = levels
    assert bass == pytest.approx(plain_bass, abs=0.5)
    assert piano == pytest.approx(plain_piano, abs=1.5)


def test_a_loop_has_no_seam():
    played = performance(None, demonstration("C", "short").progression, count_in=0)
    once = render(played, ending="loop")
    joint = np.concatenate((mono(once)[-2000:], mono(once)[:2000]))
    whole = np.abs(np.diff(mono(once))).max()
    assert np.abs(np.diff(joint)).max() <= whole
    tail = render(played)
    assert np.abs(mono(once)[: once.rate // 2] - mono(tail)[: once.rate // 2]).max() > 0


def test_the_programs_are_those_of_general_midi():
    # A general-purpose library that carries the names of General MIDI Level 1.
    pretty_midi = pytest.importorskip("pretty_midi")
    names = {
        "piano": "Acoustic Grand Piano",
        "electric piano": "Electric Piano 1",
        "vibraphone": "Vibraphone",
        "marimba": "Marimba",
        "nylon-string guitar": "Acoustic Guitar (nylon)",
        "jazz guitar": "Electric Guitar (jazz)",
        "double bass": "Acoustic Bass",
        "violin": "Violin",
        "trumpet": "Trumpet",
        "trombone": "Trombone",
        "muted trumpet": "Muted Trumpet",
        "soprano saxophone": "Soprano Sax",
        "alto saxophone": "Alto Sax",
        "tenor saxophone": "Tenor Sax",
        "clarinet": "Clarinet",
        "flute": "Flute",
    }
    assert set(names) == set(MELODY_SOUNDS)
    for ours, theirs in names.items():
        assert pretty_midi.program_to_instrument_name(MELODY_SOUNDS[ours]) == theirs


def test_the_same_performance_sounds_the_same():
    assert np.array_equal(render(phrase()).wave, render(phrase()).wave)
    with pytest.raises(ValueError, match="read-only"):
        render(phrase()).wave[0] = 1


@pytest.mark.parametrize(
    ("wishes", "words"),
    [
        ({"melody": "kazoo"}, "no such melody sound: 'kazoo'"),
        ({"silent": ["oboe"]}, "no such part: 'oboe'"),
        ({"rate": 8000}, r"no such frame rate: 8000 \(want 22050, 44100\)"),
        ({"ending": "stop"}, "no such ending: 'stop'"),
    ],
)
def test_what_cannot_be_rendered_is_refused(wishes, words):
    with pytest.raises(TheoryError, match=words):
        render(phrase(), **wishes)


def test_a_soundfont_of_the_reader(tmp_path):
    path = sine_soundfont(tmp_path / "sine.sf2", program=73)
    sound = render(line_of((0, 4, 69)), soundfont=path, melody="flute")
    held = mono(sound)[4000:40000]
    assert abs(cents(frequency(held, sound.rate, 440), 440)) < 0.5
    with pytest.raises(TheoryError, match=r"'sine\.sf2' has no sound for program 66"):
        render(line_of((0, 4, 69)), soundfont=path, melody="tenor saxophone")


def test_the_caution_speaks_of_volume_and_headphones():
    assert "volume" in CAUTION
    assert "headphones" in CAUTION
    assert "\n" not in CAUTION


@pytest.mark.parametrize("coding", ["FLOAT", "DOUBLE", "PCM_16", "PCM_24"])
def test_a_file_is_read_as_it_was_written(coding):
    """A file of fractions is silent where it is read as whole numbers."""
    tone = 0.5 * np.sin(np.arange(4410) / 10)
    target = io.BytesIO()
    soundfile.write(target, tone, 44100, format="WAV", subtype=coding)
    read = Samples.read(target.getvalue(), 4000)
    assert (read.wave.dtype, read.wave.shape, read.rate) == (np.float32, (4000, 1), 44100)
    assert np.abs(read.wave[:, 0] - tone[:4000]).max() < 1e-4
