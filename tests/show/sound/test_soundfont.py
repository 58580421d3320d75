"""Reading SoundFonts: one that we wrote, whose pitch and levels we know, and what is none."""

from __future__ import annotations

import io
from fractions import Fraction

import numpy as np
import pytest
import soundfile
from listening import cents, frequency, loudness, mono
from small_soundfont import CYCLE, RATE, compressed, sine_soundfont, vorbis
from together import together

from theorykit.errors import TheoryError
from theorykit.lines.parts import MELODY_SOUNDS, Part, Performance, Sounding
from theorykit.show.sound import render
from theorykit.show.sound.soundfont import open_soundfont
from theorykit.show.sound.synthesizer import decoded
from theorykit.show.sound.voice import release_of, voice

OWN = RATE / CYCLE  # 441 Hz: what the sine sounds at its own pitch


def played(path, key: int, *, rate: int = RATE, seconds: float = 2.0) -> np.ndarray:
    (region,) = open_soundfont(path).regions(0, 0, key, 100)
    return voice(region, key, rate, round(seconds * rate))


# Numbers of generators: SoundFont Technical Specification 2.04, section 8.1.3.
COARSE, FINE, SCALE, ROOT, ATTENUATION = 51, 52, 56, 58, 48
SUSTAIN, DECAY, RELEASE, CUTOFF = 37, 36, 38, 8


@pytest.mark.parametrize("rate", [22050, 44100])
@pytest.mark.parametrize("key", [45, 57, 60, 69, 70, 76, 81, 93])
def test_a_key_sounds_its_distance_from_the_root_key(tmp_path, key, rate):
    path = sine_soundfont(tmp_path / "sine.sf2")
    wanted = OWN * 2 ** ((key - 69) / 12)
    wave = played(path, key, rate=rate)
    assert abs(cents(frequency(wave, rate, wanted), wanted)) < 0.5


@pytest.mark.parametrize(
    ("generators", "header", "half_steps"),
    [
        ([(ROOT, 81)], {}, -12),  # the root key of a zone overrides that of the recording
        ([], {"key": 57}, 12),
        ([(COARSE, 3)], {}, 3),
        ([(FINE, -50)], {}, -0.5),
        ([], {"cents": 25}, 0.25),
        ([(SCALE, 50), (ROOT, 61)], {}, 4),  # eight keys above the root, half a half step each
        ([(COARSE, 1)], {"preset": [(COARSE, 2)]}, 3),  # a preset adds to its instrument
    ],
)
def test_tuning(tmp_path, generators, header, half_steps):
    path = sine_soundfont(tmp_path / "sine.sf2", generators=generators, **header)
    wanted = OWN * 2 ** (half_steps / 12)
    assert abs(cents(frequency(played(path, 69), RATE, wanted), wanted)) < 0.5


def test_a_loop_goes_on_without_end_and_without_a_seam(tmp_path):
    wave = played(sine_soundfont(tmp_path / "sine.sf2"), 69, seconds=4)
    assert len(wave) == 4 * RATE
    assert np.abs(np.diff(wave)).max() < 1.1 * 2 * np.pi / CYCLE * np.abs(wave).max()


def test_attenuation_counts_at_four_tenths(tmp_path):
    full = played(sine_soundfont(tmp_path / "full.sf2"), 69)
    less = played(sine_soundfont(tmp_path / "less.sf2", generators=[(ATTENUATION, 100)]), 69)
    assert loudness(full[5000:]) - loudness(less[5000:]) == pytest.approx(4.0, abs=0.05)


def test_a_decay_falls_to_its_sustain(tmp_path):
    # 0 timecents are one second for 100 dB: a sustain of 20 dB is reached after a fifth of it.
    path = sine_soundfont(tmp_path / "sine.sf2", generators=[(DECAY, 0), (SUSTAIN, 200)])
    wave = played(path, 69)
    at = {t: loudness(wave[round(t * RATE) :][:400]) for t in (0.005, 0.105, 0.25, 1.5)}
    assert at[0.005] - at[0.105] == pytest.approx(10, abs=0.3)
    assert at[0.005] - at[0.25] == pytest.approx(19.9, abs=0.7)
    assert at[1.5] == pytest.approx(at[0.25], abs=0.1)


def test_a_release_falls_a_hundred_decibels_in_its_time(tmp_path):
    path = sine_soundfont(tmp_path / "sine.sf2", generators=[(RELEASE, 0)])
    (region,) = open_soundfont(path).regions(0, 0, 69, 100)
    fall = 20 * np.log10(np.maximum(release_of(region, RATE), 1e-9))
    assert fall[0] == 0
    assert fall[round(0.3 * RATE)] == pytest.approx(-30, abs=0.1)
    assert fall[round(0.59 * RATE)] == pytest.approx(-59, abs=0.1)
    assert fall[-1] < -100  # the last five milliseconds lead to nothing, without a click


@pytest.mark.parametrize(("hertz", "lost"), [(441, 3.0), (110.25, 24.1), (4410, 0.0)])
def test_the_low_pass_filter_has_two_poles(tmp_path, hertz, lost):
    # Three decibels at its corner, twelve an octave above it.
    filter_cents = round(1200 * np.log2(hertz / 8.175799))
    path = sine_soundfont(tmp_path / "sine.sf2", generators=[(CUTOFF, filter_cents)])
    open_path = sine_soundfont(tmp_path / "open.sf2")
    cut, full = (loudness(played(p, 69)[5000:-5000]) for p in (path, open_path))
    assert full - cut == pytest.approx(lost, abs=0.3)


def test_what_lies_above_half_the_frame_rate_does_not_come_back(tmp_path):
    # Five octaves up the sine would sound 14,112 Hz, which 22,050 frames a second cannot hold.
    wave = played(sine_soundfont(tmp_path / "sine.sf2"), 69 + 60, rate=22050)
    assert loudness(wave[2000:]) < -50


@together("name", MELODY_SOUNDS)
def test_no_voice_stands_beside_the_middle(name):
    """The alto saxophone that comes along did, by half of its level: every note began with a thump.

    The mean of a held note lies at least 20 dB under it.
    """
    for key in (48, 60, 72):
        for region in open_soundfont().regions(0, MELODY_SOUNDS[name], key, 90):
            wave = voice(region, key, RATE, RATE // 2)[RATE // 20 :].astype(float)
            assert abs(wave.mean()) < 0.1 * np.sqrt((wave**2).mean())


def test_a_held_key_that_is_let_go_does_not_click():
    """A jump shows in the third difference of the frames: there is none larger where a note ends.

    Nor is there where its release does, which falls to a thousandth.
    """
    held, span = RATE // 4, RATE // 200
    for name, program in MELODY_SOUNDS.items():
        for region in open_soundfont().regions(0, program, 60, 90):
            fall = release_of(region, RATE)
            wave = voice(region, 60, RATE, held + len(fall)).astype(float)
            wave[held:] *= fall[: len(wave[held:])]
            sharp = np.abs(np.diff(np.concatenate((wave, np.zeros(span))), 3))
            before = sharp[held - 10 * span : held - 3].max()
            assert sharp[held - 3 : held + 2 * span].max() < 1.2 * before, name
            assert sharp[-2 * span :].max() < 1e-2 * before, name


def test_key_ranges_choose_the_recording():
    font = open_soundfont()
    low, high = font.regions(0, 0, 40, 90), font.regions(0, 0, 90, 90)
    assert low
    assert high
    assert low[0].key != high[0].key or low != high
    assert font.regions(0, 0, 40, 90) is font.regions(0, 0, 40, 90)


def test_a_key_that_an_instrument_leaves_out_is_played_by_its_nearest(tmp_path):
    only_middle = [(43, 60 + (72 << 8))]
    path = sine_soundfont(tmp_path / "sine.sf2", generators=only_middle)
    wanted = OWN * 2 ** ((80 - 69) / 12)
    assert abs(cents(frequency(played(path, 80), RATE, wanted), wanted)) < 0.5
    assert open_soundfont(path).regions(0, 0, 80, 100)[0].keys == (60, 72)


def test_drums_that_a_kit_leaves_out_are_left_out(tmp_path):
    path = sine_soundfont(tmp_path / "kit.sf2", bank=128, generators=[(43, 60 + (72 << 8))])
    assert open_soundfont(path).regions(128, 0, 80, 100) == ()
    assert open_soundfont(path).regions(128, 0, 61, 100)


def test_a_program_that_is_not_there_has_no_regions(tmp_path):
    path = sine_soundfont(tmp_path / "sine.sf2")
    assert open_soundfont(path).regions(0, 5, 69, 100) == ()


def test_a_file_that_changes_is_read_again(tmp_path):
    path = sine_soundfont(tmp_path / "sine.sf2")
    first = open_soundfont(path)
    assert open_soundfont(path) is first
    other = sine_soundfont(tmp_path / "other.sf2", key=57)
    other.replace(path)
    assert open_soundfont(path) is not first


def damaged(tmp_path, how: str):
    path = sine_soundfont(tmp_path / "sine.sf2")
    data = path.read_bytes()
    files = {
        "text": b"The Thursday workshop meets at eight.",
        "empty": b"",
        "cut in its recording": data[:3000],
        "cut in its tables": data[:-150],
        "another kind of RIFF": data[:8] + b"WAVE" + data[12:],
    }
    path.write_bytes(files[how])
    return path


@pytest.mark.parametrize(
    "how",
    ["text", "empty", "cut in its recording", "cut in its tables", "another kind of RIFF"],
)
def test_a_damaged_file_is_refused(tmp_path, how):
    with pytest.raises(TheoryError, match=r"not a SoundFont that can be played: .*sine.sf2"):
        open_soundfont(damaged(tmp_path, how)).regions(0, 0, 69, 100)


@pytest.mark.parametrize("path", ["no such file.sf2", ".", "a\0b.sf2"])
def test_a_path_that_is_no_file_is_refused(path):
    with pytest.raises(TheoryError, match="there is no such file"):
        open_soundfont(path)


def test_compressed_recordings_need_somebody_who_reads_them(tmp_path):
    path = sine_soundfont(tmp_path / "ogg.sf3", sample_type=0x11)
    with pytest.raises(TheoryError, match="its recordings are compressed"):
        open_soundfont(path)


@pytest.fixture(scope="module")
def compressed_sounds(tmp_path_factory):
    """The SoundFont inside the wheel, its recordings compressed."""
    folder = tmp_path_factory.mktemp("compressed")
    return compressed(open_soundfont().path, folder / "small.sf3")


@pytest.mark.parametrize(
    ("bank", "program", "key"), [(0, 66, 60), (0, 0, 40), (0, 32, 43), (0, 73, 81), (128, 0, 51)]
)
def test_a_compressed_soundfont_sounds_like_the_one_it_was_made_of(
    compressed_sounds, bank, program, key
):
    assert compressed_sounds.stat().st_size < 0.8 * open_soundfont().path.stat().st_size
    both = []
    for font in (open_soundfont(), open_soundfont(compressed_sounds, decoded)):
        (region, *_) = font.regions(bank, program, key, 100)
        both.append(voice(region, key, RATE, RATE).astype(float))
    plain, again = both
    assert len(plain) == len(again)
    assert loudness(again) == pytest.approx(loudness(plain), abs=0.2)
    if bank == 0:  # the same pitch and the same place: what is left over is what Vorbis leaves out
        assert loudness(again - plain) < loudness(plain) - 15


def test_a_band_plays_out_of_a_compressed_soundfont(compressed_sounds):
    note = Sounding(Fraction(0), Fraction(1), 69, 90)
    played = Performance((Part("line", (note,)),), Fraction(2), tempo=120)
    plain, again = render(played), render(played, soundfont=compressed_sounds)
    assert loudness(again.wave) == pytest.approx(loudness(plain.wave), abs=0.5)
    assert abs(cents(frequency(mono(again)[8000:24000], again.rate, 440), 440)) < 6


@pytest.mark.parametrize("spoil", [b"", b"OggS", b"OggS" + bytes(200), b"RIFF" + bytes(60)])
def test_a_damaged_compressed_recording_is_refused(tmp_path, spoil):
    path = compressed(sine_soundfont(tmp_path / "sine.sf2"), tmp_path / "bad.sf3", spoil=spoil)
    (region,) = open_soundfont(path, decoded).regions(0, 0, 69, 100)
    with pytest.raises(TheoryError, match=r"'bad\.sf3' \(a recording in it is damaged"):
        voice(region, 69, RATE, RATE)


def test_a_recording_of_many_channels_or_without_end_is_bounded():
    target = io.BytesIO()
    with soundfile.SoundFile(target, "w", RATE, 8, "VORBIS", format="OGG") as file:
        file.write(np.zeros((RATE, 8)))
    with pytest.raises(ValueError, match="8 channels"):
        decoded(target.getvalue(), 1 << 23)
    assert len(decoded(vorbis(np.zeros(3 * RATE, np.int16), RATE), RATE)) == RATE


def test_tables_that_point_outside_are_refused(tmp_path):
    path = sine_soundfont(tmp_path / "sine.sf2")
    data = bytearray(path.read_bytes())
    at = data.index(b"pgen") + 8
    data[at : at + 4] = (41).to_bytes(2, "little") + (900).to_bytes(2, "little")
    path.write_bytes(data)
    with pytest.raises(TheoryError, match="its program 0 is damaged"):
        open_soundfont(path).regions(0, 0, 69, 100)


@pytest.mark.parametrize("tuning", [12_000, -12_000, 32_767])
def test_a_tuning_that_nothing_has_is_bounded(tmp_path, tuning):
    """A damaged file once asked for a recording of more frames than any memory has."""
    wave = played(sine_soundfont(tmp_path / "sine.sf2", generators=[(COARSE, tuning)]), 69)
    assert np.isfinite(wave).all()
    assert len(wave) <= 2 * RATE


@pytest.mark.parametrize(("said", "taken"), [(0, 400), (2**32 - 1, 192_000), (44_100, 44_100)])
def test_a_frame_rate_that_no_recording_has_is_bounded(tmp_path, said, taken):
    path = sine_soundfont(tmp_path / "sine.sf2")
    data = path.read_bytes()
    path.unlink()  # it may be mapped into memory
    path.write_bytes(data.replace(RATE.to_bytes(4, "little"), said.to_bytes(4, "little")))
    (region,) = open_soundfont(path).regions(0, 0, 69, 100)
    assert region.rate == taken
    assert np.isfinite(voice(region, 69, RATE, RATE)).all()
