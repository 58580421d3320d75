"""The mix, measured: loudness, balance, places, the count-in, loops."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from functools import cache

import numpy as np
import pytest
from listening import Wave, decibels, lufs, mono, true_peak
from together import together

from theorykit.lines.band import FEELS, performance
from theorykit.lines.parts import MELODY_SOUNDS, PART_NAMES, Part, Performance, Sounding
from theorykit.lines.text import Line
from theorykit.notes.key import Key
from theorykit.show.sound import Samples, ogg_bytes, render
from theorykit.show.sound.mixing import heard_power, limited, room
from theorykit.show.sound.synthesizer import flac_bytes
from theorykit.tunes.progression import Bar, Progression

CHORDS = "Fm7 Bbm7 Eb7 Abmaj7 Dbmaj7 G7 Cmaj7 Cmaj7"
TUNE = "8th C5 Ab4 F4 G4 Ab4 C5 Eb5 F5 | Db5 Bb4 Ab4 G4 quarter F4 rest"


def music(feel: str = "four", *, count_in: int = 1, tempo: float = 140) -> Performance:
    """A line over eight bars, in bars of three for the waltz."""
    beats = 3 if feel == "waltz" else 4
    over = Progression(Key.parse("Ab"), tuple(Bar.even(c, beats=beats) for c in CHORDS.split()))
    bars = TUNE.split(" | ")
    if beats == 3:
        bars = ["8th C5 Ab4 F4 G4 Ab4 C5", "Db5 Bb4 quarter Ab4 rest"]
    line = Line.parse(" | ".join(bars * 4), over)
    return performance(line, over, feel=feel, count_in=count_in, tempo=tempo)


@cache
def stem(feel: str, *names: str, melody: str = "tenor saxophone") -> Samples:
    """The sound of some parts."""
    silent = [name for name in PART_NAMES if name not in names]
    return render(music(feel, count_in=0), melody=melody, silent=silent)


def test_the_measure_of_loudness_agrees_with_a_library():
    pyloudnorm = pytest.importorskip("pyloudnorm")
    sound = stem("four", *PART_NAMES)
    theirs = pyloudnorm.Meter(sound.rate).integrated_loudness(sound.wave.astype(float))
    assert lufs(sound) == pytest.approx(theirs, abs=0.1)


def test_the_measure_of_loudness_reads_the_tone_of_the_recommendation():
    # BS.1770-4, 2015: a sine of 997 Hz at full scale in one channel reads -3.01 LUFS.
    time = np.arange(4 * 44100) / 44100
    tone = Samples(np.sin(2 * np.pi * 997 * time).astype(np.float32), 44100)
    assert lufs(tone) == pytest.approx(-3.01, abs=0.05)
    power = heard_power(tone.wave, 44100)
    assert -0.691 + 10 * np.log10(power) == pytest.approx(-3.01, abs=0.05)


@pytest.mark.parametrize("feel", FEELS)
def test_a_band_lies_near_sixteen_lufs_below_full_scale(feel):
    sound = stem(feel, *PART_NAMES)
    assert lufs(sound) == pytest.approx(-16, abs=1)
    assert true_peak(sound) <= -1


@pytest.mark.parametrize("melody", MELODY_SOUNDS)
def test_the_line_lies_two_to_four_decibels_above_the_band_with_every_sound(melody):
    line = lufs(stem("four", "line", melody=melody))
    band = lufs(stem("four", "piano", "bass", "drums"))
    assert 2 <= line - band <= 4


@pytest.mark.parametrize("feel", ["four", "waltz"])
def test_the_count_in_is_as_loud_as_the_band(feel):
    played = music(feel)
    first = next(part for part in played.parts if part.name == "bass").notes[0].start
    sound = render(played)
    frames = round(float(first) * 60 / played.tempo * sound.rate)
    clicks = lufs(Samples(sound.wave[: frames - 2000], sound.rate))
    assert clicks == pytest.approx(lufs(stem(feel, "piano", "bass", "drums")), abs=3)


def band_of(wave: Wave, rate: int, low: float, high: float) -> float:
    """The level of what lies between two frequencies, in decibels."""
    power = np.abs(np.fft.rfft(wave.astype(float))) ** 2
    hertz = np.fft.rfftfreq(len(wave), 1 / rate)
    inside = power[(hertz >= low) & (hertz < high)].sum()
    return float(10 * np.log10(2 * inside) - 20 * np.log10(len(wave)))


@pytest.mark.parametrize("feel", FEELS)
def test_a_small_loudspeaker_plays_the_bass_as_loud_as_the_piano(feel):
    # What lies between 200 and 500 Hz: a laptop plays no lower (common practice).
    levels = [
        band_of(mono(stem(feel, name)), stem(feel, name).rate, 200, 500)
        for name in ("bass", "piano")
    ]
    assert levels[0] > levels[1] - 3


def sides(sound: Samples) -> tuple[float, float]:
    """The power on the left and on the right."""
    left, right = (sound.wave.astype(float) ** 2).sum(axis=0)
    return float(left), float(right)


def lean(sound: Samples) -> float:
    """By how many decibels the left is louder than the right."""
    left, right = sides(sound)
    return float(10 * np.log10(left / right))


def lost_in_mono(sound: Samples) -> float:
    """By how many decibels both channels as one are softer than what stands in the middle."""
    both = float((mono(sound).astype(float) ** 2).sum())
    return float(10 * np.log10(sum(sides(sound)) / both))


def test_both_sides_are_as_loud_and_one_loudspeaker_loses_little():
    leans = [lean(stem(feel, *PART_NAMES)) for feel in FEELS]
    assert np.mean(leans) == pytest.approx(0, abs=0.5)
    assert all(lost_in_mono(stem(feel, *PART_NAMES)) < 1.5 for feel in FEELS)
    assert all(lost_in_mono(stem("four", name)) < 1.5 for name in PART_NAMES)


TEMPOS = (60, 100, 140, 200, 260)


@pytest.mark.sweep
@pytest.mark.parametrize("feel", FEELS)
def test_every_feel_is_as_loud_at_every_tempo_with_every_sound(feel):
    first = list(FEELS).index(feel) * len(TEMPOS)
    for number, tempo in enumerate(TEMPOS):
        # Of the sixteen melody sounds each plays about twice.
        melody = list(MELODY_SOUNDS)[(first + number) % len(MELODY_SOUNDS)]
        sound = render(music(feel, tempo=tempo), melody=melody)
        assert lufs(sound) == pytest.approx(-16, abs=1), (tempo, melody)
        assert true_peak(sound) <= -1, (tempo, melody)
        assert lost_in_mono(sound) < 1.5
        assert abs(float(sound.wave.mean())) < 3e-3  # nothing stands beside the middle
        band = lufs(render(music(feel, tempo=tempo, count_in=0), silent=["line"]))
        line = lufs(render(music(feel, tempo=tempo, count_in=0), silent=PART_NAMES[1:]))
        assert 1.5 <= line - band <= 5, tempo


def test_instruments_stand_where_one_expects_them():
    left, right = sides(stem("four", "piano"))
    assert left > 1.2 * right
    # A kit seen from the hall has its ride on the right and its hi-hat on the left (from memory).
    for drum, on_the_right in ((51, True), (44, False)):
        struck = Part("drums", (Sounding(Fraction(0), Fraction(1), drum, 100),))
        left, right = sides(render(Performance((struck,), Fraction(2), tempo=60)))
        assert (right > 2 * left) is on_the_right


@pytest.mark.parametrize("name", ["line", "bass"])
@pytest.mark.parametrize("low", [38, 50, 62])
def test_what_stands_in_the_middle_is_as_loud_on_both_sides(name, low):
    # A chromatic octave: over it the room leans to neither side, though it may with one note.
    notes = tuple(
        Sounding(Fraction(n, 2), Fraction(1, 2), (low if name == "line" else low % 12 + 28) + n)
        for n in range(12)
    )
    left, right = sides(render(Performance((Part(name, notes),), Fraction(6), tempo=120)))
    assert 10 * np.log10(left / right) == pytest.approx(0, abs=0.5)


OCTAVES = (125, 250, 500, 1000, 2000, 4000, 8000)  # hertz, the middles of bands


@together("seed", range(1, 13))
def test_both_sides_of_the_room_are_as_loud_in_every_octave_and_unlike(seed):
    rate = 44100
    left, right = np.fft.rfft(room(rate, seed).astype(float), 1 << 16)
    hertz = np.fft.rfftfreq(1 << 16, 1 / rate)
    for middle in OCTAVES:
        band = (hertz >= middle / np.sqrt(2)) & (hertz < middle * np.sqrt(2))
        powers = [float((np.abs(side[band]) ** 2).sum()) for side in (left, right)]
        assert 10 * np.log10(powers[0] / powers[1]) == pytest.approx(0, abs=0.1)
        alike = (left[band] * right[band].conj()).real.sum() / np.sqrt(powers[0] * powers[1])
        # Diffuse sound at two ears is alike far below 1 kHz and unlike above (common practice).
        assert alike > 0.5 if middle < 300 else abs(alike) < (0.9 if middle < 1000 else 0.4)


def test_there_is_a_little_room():
    # A short note of a woodblock-like drum: what is left after it comes from both sides, unlike.
    click = Part("drums", (Sounding(Fraction(0), Fraction(1, 4), 37, 110),))
    sound = render(Performance((click,), Fraction(2), tempo=60))
    after = sound.wave[round(0.25 * sound.rate) : round(0.4 * sound.rate)].astype(float)
    assert -70 < decibels(float(np.abs(after).max())) < -25
    assert np.corrcoef(after.T)[0, 1] < 0.9


@pytest.mark.parametrize("feel", ["four", "bossa"])
def test_the_end_of_a_loop_goes_on_as_its_beginning(feel):
    # Two rounds rendered as one loop of twice the length: each half is the loop of one round.
    once = music(feel, count_in=0)
    parts = tuple(
        replace(
            part,
            notes=(
                *part.notes,
                *(replace(note, start=note.start + once.beats) for note in part.notes),
            ),
        )
        for part in once.parts
    )
    twice = replace(once, parts=parts, beats=once.beats * 2)
    one, two = (render(played, ending="loop").wave for played in (once, twice))
    assert len(two) == 2 * len(one)
    half = len(two) // 2
    assert np.abs(two[half : half + len(one)] - one).max() < 0.02
    assert np.abs(two[: len(one)] - one).max() < 0.02
    joint = np.abs(one[0] - one[-1]).max()
    assert joint <= np.abs(np.diff(one, axis=0)).max()


def test_nothing_is_cut_off_at_the_end_of_a_loop():
    # A cymbal on the last eighth rings for seconds, all of them at the beginning of the loop.
    crash = Part("drums", (Sounding(Fraction(7, 2), Fraction(1, 4), 49, 110),))
    played = Performance((crash,), Fraction(4), tempo=120, swing=1.0)
    loop, tail = render(played, ending="loop"), render(played)
    struck = round(1.75 * loop.rate)
    assert np.abs(loop.wave[struck:] - tail.wave[struck : 2 * loop.rate]).max() < 0.01
    assert lufs(Samples(loop.wave[: loop.rate], loop.rate)) > -45


def test_the_limiter_turns_down_peaks_and_nothing_else():
    rate = 44100
    wave = np.zeros((2, rate), np.float32)
    wave[0] = 0.3 * np.sin(2 * np.pi * 220 * np.arange(rate) / rate)
    wave[1, rate // 2] = 1.5
    out = limited(wave, rate, 0.8)
    assert np.abs(out).max() <= 0.8 + 1e-6
    assert np.array_equal(out[:, : rate // 3], wave[:, : rate // 3])
    soft = wave / 2
    assert np.array_equal(limited(soft, rate, 0.8), soft)


def test_two_channels_are_not_much_larger_in_the_page_than_one_was_before():
    # Before, a short player held 16 bits of one channel at 22,050 frames a second.
    sound = stem("four", *PART_NAMES)
    assert sound.wave.shape[1] == 2
    assert sound.rate == 44100
    assert len(flac_bytes(sound)) / sound.seconds < 1.6 * 2 * 22050
    assert len(ogg_bytes(sound)) / sound.seconds < 0.4 * 2 * 22050
