"""Our SoundFont player beside FluidSynth, a trusted one: the same notes out of the same file.

The FluidSynth project, *FluidSynth*, version 2.3, 2022. Where it is not installed these tests are
skipped; under CI it must be there.
"""

from __future__ import annotations

import os
import shutil
import subprocess
from collections.abc import Iterator
from pathlib import Path

import mido
import numpy as np
import pytest
import soundfile
from listening import cents, frequency, loudness

from theorykit.lines.parts import MELODY_SOUNDS
from theorykit.show.sound.mixing import gains
from theorykit.show.sound.soundfont import DRUM_BANK, open_soundfont
from theorykit.show.sound.voice import release_of, side_of, voice

PROGRAM = shutil.which("fluidsynth")
pytestmark = pytest.mark.skipif(
    PROGRAM is None and not os.environ.get("CI"),
    reason="fluidsynth is not installed (on Debian: apt-get install fluidsynth)",
)

RATE = 44100
BEATS, TICKS = 120, 480  # a minute, a beat
APART, HELD, FIRST = 3.0, 1.0, 0.5  # seconds between notes, of a note, before the first
DRUM_CHANNEL = 9
# Instruments and keys that the band and its soloists play, low, middle and high.
KEYS = {
    "piano": (0, (36, 60, 84)),
    "bass": (32, (28, 40, 52)),
    "tenor saxophone": (MELODY_SOUNDS["tenor saxophone"], (50, 62, 74)),
    "trumpet": (MELODY_SOUNDS["trumpet"], (57, 67, 79)),
    "flute": (MELODY_SOUNDS["flute"], (62, 74, 86)),
    "jazz guitar": (MELODY_SOUNDS["jazz guitar"], (45, 57, 72)),
    "vibraphone": (MELODY_SOUNDS["vibraphone"], (55, 65, 77)),
}
STRENGTHS = (50, 80, 110)  # of the low, the middle and the high key
DRUMS = (36, 38, 42, 51)
Note = tuple[int | None, int, int]  # program, key, strength
NOTES: list[Note] = [
    *(
        (program, key, s)
        for program, keys in KEYS.values()
        for key, s in zip(keys, STRENGTHS, strict=True)
    ),
    *((None, drum, 90) for drum in DRUMS),
]


def score(path: Path) -> Path:
    """All the notes as a MIDI file, one after the other."""
    track = mido.MidiTrack([mido.MetaMessage("set_tempo", tempo=mido.bpm2tempo(BEATS))])
    second = TICKS * BEATS // 60
    wait = round(FIRST * second)
    for program, key, strength in NOTES:
        channel = DRUM_CHANNEL if program is None else 0
        if program is not None:
            track.append(mido.Message("program_change", program=program, time=0))
        struck = {"channel": channel, "note": key}
        track.append(mido.Message("note_on", velocity=strength, time=wait, **struck))
        track.append(mido.Message("note_off", time=round(HELD * second), **struck))
        wait = round((APART - HELD) * second)
    file = mido.MidiFile(ticks_per_beat=TICKS)
    file.tracks.append(track)
    file.save(path)
    return path


@pytest.fixture(scope="module")
def theirs(tmp_path_factory):
    """What FluidSynth plays, without its room, the power of both channels as one."""
    assert PROGRAM is not None, "fluidsynth must be installed under CI"
    folder = tmp_path_factory.mktemp("fluidsynth")
    target, file = folder / "theirs.wav", score(folder / "notes.mid")
    how = ["-n", "-i", "-q", "-R", "0", "-C", "0", "-g", "0.5", "-r", str(RATE)]
    how += ["-O", "float", "-F", str(target)]
    font = str(open_soundfont().path)
    subprocess.run([PROGRAM, *how, font, str(file)], check=True, timeout=60, capture_output=True)
    wave, rate = soundfile.read(target, dtype="float32")
    assert rate == RATE
    return wave


def our(program: int | None, key: int, strength: int) -> np.ndarray:
    """A note as our engine makes it, before the mix: two channels."""
    bank, chosen = (DRUM_BANK, 0) if program is None else (0, program)
    regions = open_soundfont().regions(bank, chosen, key, strength)
    out = np.zeros((round(APART * RATE), 2))
    held = round(HELD * RATE)
    for region in regions:
        fall = release_of(region, RATE)
        wave = voice(region, key, RATE, held + len(fall))
        wave[held:] *= fall[: len(wave[held:])]
        wave = wave[: len(out)] * (strength / 127) ** 2
        out[: len(wave)] += np.outer(wave, gains(side_of(region)))
    return out


def pairs(theirs: np.ndarray) -> Iterator[tuple[Note, np.ndarray, np.ndarray]]:
    """Each note with our sound of it and theirs."""
    for number, note in enumerate(NOTES):
        start = round((FIRST + number * APART) * RATE)
        yield note, our(*note), theirs[start : start + round(APART * RATE)]


def heard(wave: np.ndarray) -> float:
    """The level of a note while it is held."""
    return loudness(wave[: round(0.9 * HELD * RATE)])


def test_levels_agree_within_a_decibel(theirs):
    apart = [heard(one) - heard(other) for _, one, other in pairs(theirs)]
    middle = float(np.median(apart))  # the whole is louder or softer by what each calls full
    assert all(abs(each - middle) < 1 for each in apart)


def test_pitches_agree_within_three_cents(theirs):
    for (program, key, _), one, other in pairs(theirs):
        if program is not None:
            near = 440 * 2 ** ((key - 69) / 12)
            held = slice(round(0.15 * RATE), round(0.9 * RATE))
            found = [frequency(w[held].sum(axis=1), RATE, near) for w in (one, other)]
            assert abs(cents(*found)) < 3


def test_onsets_agree_within_five_milliseconds(theirs):
    for note, one, other in pairs(theirs):
        found = []
        for wave in (one, other):
            level = np.abs(wave).max(axis=1)
            found.append(int(np.argmax(level > 0.1 * level[: round(0.3 * RATE)].max())) / RATE)
        assert abs(found[0] - found[1]) < 0.005, note
