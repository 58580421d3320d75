"""Takes that another synthesizer plays: what is to be played by chance, and its sound.

A take is eight bars of one instrument with eighths, triplets, sixteenths, repeated notes and rests,
in a low or a high octave, with errors of 12 ms. ``bare`` is how FluidSynth plays it. ``with_all``
adds what a home recording has: vibrato of 35 cents, up to 40 cents of mistuning, a room of 0.6 s,
noise, breath in winds, and a band at -20 dB.
"""

from __future__ import annotations

import shutil
import subprocess
from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from pathlib import Path
from random import Random

import mido
import numpy as np
import soundfile

from theorykit import two_five_one
from theorykit.lines.band import performance
from theorykit.lines.parts import MELODY_SOUNDS
from theorykit.show.sound import render
from theorykit.tunes.progression import Progression

RATE, START, SIGMA, BARS = 44100, 0.5, 0.012, 8
LOWEST = {  # of each instrument, as it sounds (common practice)
    **{"tenor saxophone": 46, "alto saxophone": 51, "soprano saxophone": 58, "trumpet": 54},
    **{"trombone": 43, "clarinet": 51, "flute": 60, "piano": 43, "vibraphone": 53},
    **{"jazz guitar": 43, "violin": 55, "muted trumpet": 54, "electric piano": 43},
    **{"marimba": 48, "nylon-string guitar": 43, "double bass": 31},
}
BLOWN = {
    *("tenor saxophone", "alto saxophone", "soprano saxophone", "trumpet", "muted trumpet"),
    *("trombone", "clarinet", "flute"),
}
TEMPOS, SWINGS = (60, 100, 140, 180, 240), (1.0, 1.5, 2.0, 3.0)
RHYTHMS = {  # quarters of a beat, how often, and how often at 160 and above
    (0, 2): (50, 60),
    (0,): (14, 16),
    (0, 4 / 3, 8 / 3): (9, 6),
    (0, 1, 2, 3): (7, 0),
    (0, 2, 3): (4, 0),
    (): (8, 10),
    (2,): (8, 8),
}
STEPS = {0: 4, 1: 6, -1: 6, 2: 8, -2: 8, 3: 4, -3: 4, 4: 3, -4: 3, 5: 1, -5: 1}
SILENT = {"stdout": subprocess.DEVNULL, "stderr": subprocess.DEVNULL}
WHEEL, VIBRATO = 1, 90  # the control that makes vibrato, and so much of it for 35 cents
MISTUNED, BEND = 40, 8192 / 200  # cents at most; steps of the wheel for a cent


@dataclass(frozen=True)
class Take:
    """Where the notes of a take belong, and start, end and MIDI number as they are played."""

    name: str
    tempo: int
    swing: float
    places: tuple[Fraction, ...]
    notes: tuple[tuple[float, float, int], ...]


def take(name: str, tempo: int, seed: int) -> Take:
    """A take by chance, for an instrument."""
    rng = Random(f"{seed} {name} {tempo}")
    column, swing = int(tempo >= 160), rng.choice(SWINGS)
    places = []
    for beat in range(4 * BARS):
        odds = [row[column] for row in RHYTHMS.values()]
        rhythm = rng.choices(list(RHYTHMS), odds)[0]
        places += [(beat + Fraction(p).limit_denominator(3) / 4, rhythm) for p in rhythm]
    second = swing / (swing + 1)

    def sounds(place: Fraction, rhythm: tuple[float, ...]) -> float:
        swung = place % 1 == Fraction(1, 2) and 1 not in rhythm and 3 not in rhythm
        beats = float(place // 1) + (second if swung else float(place % 1))
        return START + beats * 60 / tempo + rng.gauss(0, SIGMA)

    low = LOWEST[name] + 12 * (rng.random() < 0.5)
    midi, notes = low + 7, []
    starts = sorted(sounds(*row) for row in places)
    for start, after in zip(starts, [*starts[1:], starts[-1] + 60 / tempo], strict=True):
        midi += rng.choices(list(STEPS), list(STEPS.values()))[0]
        midi += 7 * (midi < low) - 7 * (midi > low + 19)
        held = rng.choice((0.6, 0.93, 0.95, 0.97))
        notes.append((start, start + held * min(after - start, 1.5 * 60 / tempo), midi))
    return Take(name, tempo, swing, tuple(place for place, _ in places), tuple(notes))


def form() -> Progression:
    """Nine bars: the eight of a take, and one to end in."""
    over = two_five_one("C", "long")
    return Progression(over.key, over.bars * 3)


def bare(one: Take, soundfont: str, folder: Path) -> np.ndarray:
    """The sound of a take, in one channel."""
    return _played(one, soundfont, folder, Random(f"strengths {one.name} {one.tempo}"), [])


def with_all(one: Take, soundfont: str, folder: Path) -> np.ndarray:
    """The sound of a take with everything that a recording at home has."""
    rng = Random(f"everything {one.name} {one.tempo} {one.notes[0][0]}")
    wheel = mido.Message("control_change", control=WHEEL, value=VIBRATO)
    bend = mido.Message("pitchwheel", pitch=int(rng.uniform(-MISTUNED, MISTUNED) * BEND))
    wave = _played(one, soundfont, folder, rng, [wheel, bend])
    chance = np.random.default_rng(rng.randint(0, 10**6))
    loud = np.sqrt((wave**2).mean())
    found = wave + 0.25 * loud * _unit(_in_a_room(wave, chance))
    found += loud * _decibels(-45) * chance.normal(size=len(wave))
    found += loud * _decibels(-30) * _unit(_breath(wave, chance)) * (one.name in BLOWN)
    return found + loud * _decibels(-20) * _under(one.tempo, len(wave))


def _played(
    one: Take, soundfont: str, folder: Path, rng: Random, before: list[mido.Message]
) -> np.ndarray:
    """What FluidSynth plays, without its own room."""
    track = mido.MidiTrack([mido.Message("program_change", program=MELODY_SOUNDS[one.name])])
    track += before
    events = [(s, 1, m) for s, _, m in one.notes] + [(e, 0, m) for _, e, m in one.notes]
    at = 0
    for seconds, on, midi in sorted(events):
        tick = round(seconds * 960)
        kind = "note_on" if on else "note_off"
        track.append(mido.Message(kind, note=midi, velocity=rng.randint(70, 105), time=tick - at))
        at = tick
    file = mido.MidiFile(ticks_per_beat=480)
    file.tracks.append(track)
    file.save(folder / "take.mid")
    sound, program = folder / "take.wav", shutil.which("fluidsynth") or "fluidsynth"
    order = [program, "-ni", "-q", "-R", "0", "-C", "0", "-r", str(RATE), "-F", str(sound)]
    subprocess.run([*order, soundfont, str(folder / "take.mid")], check=True, **SILENT)
    return soundfile.read(sound)[0].mean(axis=1)


def _decibels(level: float) -> float:
    """A level as a factor."""
    return 10 ** (level / 20)


def _unit(wave: np.ndarray) -> np.ndarray:
    """A sound with a power of 1."""
    return wave / np.sqrt((wave**2).mean())


def _in_a_room(wave: np.ndarray, chance: np.random.Generator) -> np.ndarray:
    """What a room with 0.6 s of reverberation gives back."""
    time = np.arange(int(0.6 * RATE)) / RATE
    room = chance.normal(size=len(time)) * np.exp(-6.9 * time / 0.6)
    size = len(wave) + len(room)
    return np.fft.irfft(np.fft.rfft(wave, size) * np.fft.rfft(room, size), size)[: len(wave)]


def _breath(wave: np.ndarray, chance: np.random.Generator) -> np.ndarray:
    """Noise from 1 to 6 kHz that is as loud as the tone at each moment."""
    noise = np.fft.rfft(chance.normal(size=len(wave)))
    hertz = np.fft.rfftfreq(len(wave), 1 / RATE)
    noise[(hertz < 1000) | (hertz > 6000)] = 0
    around = np.ones(int(0.03 * RATE)) / int(0.03 * RATE)
    size = len(wave) + len(around)
    power = np.fft.irfft(np.fft.rfft(wave**2, size) * np.fft.rfft(around, size), size)
    return np.fft.irfft(noise, len(wave)) * np.sqrt(np.clip(power[: len(wave)], 0, None))


def _under(tempo: int, size: int) -> np.ndarray:
    """A band for a take, with a power of 1 while it plays."""
    heard = _band(tempo)[: size - int(START * RATE)]
    found = np.zeros(size)
    found[int(START * RATE) :][: len(heard)] = heard
    return found


@cache
def _band(tempo: int) -> np.ndarray:
    """The band of the form."""
    band = render(performance(None, form(), tempo=tempo, count_in=0), rate=RATE)
    return _unit(band.wave.mean(axis=1))
