"""Takes for the training of the ear: lines by chance, played by what is no test of it.

    python tests/bench/ear_takes.py FOLDER --seed 1 --count 400 --soundfonts FILE ...
        [--patches CFG ...] [--harder]

Each file of the folder is a minute of one melody at 16 kHz with its notes. A line has its own
tempo, swing, lengths, strengths, repeated notes and compass; it is played by one of the SoundFonts
(FluidSynth), by patches (``timidity`` with a configuration of its own), or by additive synthesis;
some are played at another speed, in a room, with noise, breath, another colour and a band. With
``--harder`` more lines are fast, short or repeat one pitch, and reeds may begin some half steps an
octave low. The SoundFont of ``heard_takes.py`` must not be among them. It needs ``fluidsynth``, and
``timidity`` for patches.
"""

from __future__ import annotations

import argparse
import subprocess
import tempfile
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from itertools import pairwise
from pathlib import Path
from random import Random

import mido
import numpy as np
import soundfile

from theorykit import KEYS, two_five_one
from theorykit.lines.band import performance
from theorykit.show.listening.ear_spectra import RATE
from theorykit.show.listening.prepared import resampled
from theorykit.show.sound import render
from theorykit.tunes.progression import Progression

SECONDS = 64.0  # of a file
# General MIDI numbers. Organs and a whistle that sound an octave below their notes are left out.
OURS = (65, 66, 64, 56, 59, 57, 71, 73, 0, 4, 11, 12, 24, 26, 40, 32)
OTHERS = (
    *(1, 2, 3, 5, 6, 7, 8, 13, 15, 21, 22, 25, 27, 28, 33, 34, 35, 36, 41, 42, 43, 45, 46),
    *(52, 53, 54, 58, 60, 67, 68, 69, 70, 72, 74, 75, 76, 79, 80, 81, 104, 105, 107, 108),
    *(109, 110, 111),
)
HARDER = (64, 65, 66, 67, 68, 69, 71, 40, 40, 73, 73, 56, 57)
REEDS = set(range(64, 72))
LOW, HIGH = {32, 33, 34, 35, 36, 43, 58}, {8, 13, 40, 64, 72, 73, 74, 75, 76, 79}
BLOWN = {*range(56, 80), 52, 53, 54}
RHYTHMS = {  # places in a beat, and how often
    (0, 1 / 2): 50,
    (0,): 14,
    (0, 1 / 3, 2 / 3): 10,
    (0, 1 / 4, 1 / 2, 3 / 4): 9,
    (): 8,
    (1 / 2,): 8,
    (0, 1 / 2, 3 / 4): 5,
    (0, 1 / 4, 1 / 2): 4,
    (0, 2 / 3): 4,
    (0, 1 / 4): 2,
    (0, 1 / 6, 1 / 3, 1 / 2, 2 / 3, 5 / 6): 1,
}
OCTAVE = 12
STEPS = {1: 6, 2: 8, 3: 4, 4: 3, 5: 1, 7: 0.6, 12: 0.5}  # half steps either way, and how often
HELD = ((0.6, 0.95), (0.93, 1.0), (0.97, 1.04), (0.4, 0.8), (0.9, 0.95), (1.0, 1.0))
SHORT, FAST = ((0.25, 0.6), (0.5, 0.8), (0.6, 1.0)), (180, 265)  # of lines that are harder
LEAST = 1e-4  # of full scale: a sound that is softer is none
SILENT = {"stdout": subprocess.DEVNULL, "stderr": subprocess.DEVNULL}


@dataclass
class Played:
    """A note: start and end in seconds, MIDI number, strength."""

    start: float
    end: float
    midi: int
    strength: int


@dataclass
class Stretch:
    """Some seconds of one tempo: their first, their notes, vibrato from 0 to 127, cents sharp.

    ``under`` has the half steps that begin an octave low, as far as a SoundFont's sample would.
    """

    first: float
    notes: list[Played]
    vibrato: int
    cents: float
    under: range = range(0)


def line(
    rng: Random, program: int, first: float, seconds: float, harder: bool = False
) -> list[Played]:
    """A line by chance."""
    beat = 60 / rng.choice([rng.uniform(50, 120), rng.uniform(90, 180), rng.uniform(150, 270)])
    low, high = compass(rng, program)
    held, again = rng.choice(HELD), rng.choice((0.05, 0.13, 0.25, 0.45))
    least = rng.choice((0.055, 0.07, 0.09))
    if harder and rng.random() < 0.6:
        beat, least = 60 / rng.uniform(*FAST), 0.035
        held = rng.choice(SHORT + HELD)
    if harder and rng.random() < 0.3:
        again = rng.uniform(0.3, 0.7)
    usual, spread = rng.randint(60, 105), rng.choice((4, 12, 20, 30))
    starts, notes, midi = places(rng, beat, seconds, least), [], rng.randint(low, high)
    for start, after in zip(
        starts, [*starts[1:], starts[-1] + beat] if starts else [], strict=True
    ):
        if not notes or rng.random() >= again:
            midi += rng.choices(list(STEPS), list(STEPS.values()))[0] * rng.choice((1, -1))
            midi += 12 * (midi < low) - 12 * (midi > high)
        length = rng.uniform(*held) * min(after - start, 1.5 * beat)
        strength = int(min(max(rng.gauss(usual, spread), 25), 127))
        notes.append(Played(first + start, first + start + max(length, 0.02), midi, strength))
    for one, other in pairwise(notes):
        if one.midi == other.midi:
            one.end = min(one.end, other.start - 0.004)
    return notes


def compass(rng: Random, program: int) -> tuple[int, int]:
    """From where to where a line goes."""
    lowest = (28, 40) if program in LOW else (55, 70) if program in HIGH else (40, 66)
    low = rng.randint(*lowest)
    return low, low + rng.randint(14, 24)


def places(rng: Random, beat: float, seconds: float, least: float) -> list[float]:
    """The seconds at which notes begin, as a player swings and errs."""
    swing = rng.choice((1, 1, 1.5, 2, 3, rng.uniform(1, 3)))
    errs = rng.choice((0.005, 0.012, 0.02))
    found = []
    for number in range(max(int(seconds / beat) - 1, 0)):
        rhythm = rng.choices(list(RHYTHMS), list(RHYTHMS.values()))[0]
        for place in rhythm:
            swung = place == 1 / 2 and len(rhythm) < 3
            at = number + (swing / (1 + swing) if swung else place)
            found.append(max(at * beat + rng.gauss(0, errs), 0.0))
    kept: list[float] = []
    for start in sorted(found):
        if not kept or start - kept[-1] >= least:
            kept.append(start)
    return kept


def messages(rng: Random, program: int, stretches: Sequence[Stretch]) -> mido.MidiFile:
    """The stretches as MIDI, some with scoops and a vibrato of the wheel."""
    rows = [(0.0, 0, mido.Message("program_change", program=program, channel=n)) for n in (0, 1)]
    for one in stretches:
        rows.append((one.first, 1, mido.Message("control_change", control=1, value=one.vibrato)))
        rows.append((one.first, 1, bent(one.cents)))
        scoops, wavers = rng.random() < 0.35, rng.random() < 0.25
        deep, fast = rng.uniform(20, 90), rng.uniform(4.5, 7)
        for note in one.notes:
            rows.append((note.end, 2, mido.Message("note_off", note=note.midi)))
            late = 0.0
            if note.midi in one.under:
                over = note.start + min(rng.uniform(0.03, 0.12), 0.6 * (note.end - note.start))
                late = (over - note.start) * rng.uniform(0.2, 1.0)
                low = {"note": note.midi - OCTAVE, "channel": 1}
                rows.append((over, 2, mido.Message("note_off", **low)))
                rows.append((note.start, 4, mido.Message("note_on", velocity=note.strength, **low)))
            on = mido.Message("note_on", note=note.midi, velocity=note.strength)
            rows.append((note.start + late, 4, on))
            if scoops:
                away = rng.uniform(-140, 60) * (rng.random() < 0.5)
                long = min(rng.uniform(0.03, 0.12), (note.end - note.start) / 2)
                rows += [
                    (note.start + long * n / 8, 3, bent(one.cents + away * (1 - n / 8)))
                    for n in range(9)
                ]
            if wavers and note.end - note.start > 0.3:
                times = np.arange(note.start + 0.2, note.end, 0.012)
                turned = np.sin(2 * np.pi * fast * (times - note.start - 0.2))
                rows += [
                    (float(at), 3, bent(one.cents + deep * turn))
                    for at, turn in zip(times, turned, strict=True)
                ]
                rows.append((note.end, 3, bent(one.cents)))
    track, at = mido.MidiTrack(), 0
    for seconds, _, message in sorted(rows, key=lambda row: row[:2]):
        tick = round(seconds * 960)
        track.append(message.copy(time=tick - at))
        at = tick
    file = mido.MidiFile(ticks_per_beat=480)
    file.tracks.append(track)
    return file


def bent(cents: float) -> mido.Message:
    """The wheel, turned by so many cents."""
    return mido.Message("pitchwheel", pitch=int(np.clip(cents / 200 * 8191, -8190, 8190)))


def sampled(file: mido.MidiFile, player: str) -> np.ndarray:
    """What FluidSynth plays with a SoundFont, or ``timidity`` with a configuration."""
    with tempfile.TemporaryDirectory() as folder:
        midi, sound = f"{folder}/take.mid", f"{folder}/take.wav"
        file.save(midi)
        if player.endswith(".cfg"):
            order = ["timidity", "-c", player, "-Ow", "-s", str(RATE), "--preserve-silence"]
            order += ["-EFreverb=0", "-EFchorus=0", "-o", sound, midi]
        else:
            order = ["fluidsynth", "-ni", "-q", "-R", "0", "-C", "0", "-r", str(RATE)]
            order += ["-F", sound, player, midi]
        subprocess.run(order, check=True, **SILENT)
        wave = soundfile.read(sound)[0].mean(axis=1)[: int(SECONDS * RATE)]
    return np.pad(wave, (0, int(SECONDS * RATE) - len(wave)))


def added(rng: Random, stretches: Sequence[Stretch]) -> np.ndarray:
    """Tones of partials by chance, some sung, some struck, some with a weak first partial."""
    chance, found = np.random.default_rng(rng.randint(0, 10**9)), np.zeros(int(SECONDS * RATE))
    for one in stretches:
        count, slope = rng.choice((6, 10, 16, 24)), rng.uniform(0.5, 2.2)
        attack = rng.choice((0.003, 0.006, 0.012, 0.025, 0.045, 0.07))
        release, decay = rng.choice((0.008, 0.02, 0.05, 0.12)), rng.choice((0, 0, 0, 1.5, 4, 8))
        glide, burst = rng.choice((0, 0.02, 0.05, 0.1)), rng.choice((0, 0, 0.05, 0.3))
        partials = np.arange(1, count + 1)
        power = partials**-slope * chance.uniform(0.3, 1, count)
        power[0] *= rng.choice((1, 1, 0.4, 0.15, 0.06))
        power[1::2] *= rng.choice((1, 1, 1, 0.12))  # few even ones, as in a clarinet
        middles = [(rng.uniform(300, 3500), rng.uniform(100, 600)) for _ in range(3)]
        deep, before = one.vibrato / 127 * rng.choice((0.3, 0.6, 1.0)), None
        for note in one.notes:
            length = note.end - note.start
            time = np.arange(int((length + 4 * release) * RATE)) / RATE
            number = note.midi + one.cents / 100
            number = number + deep * np.sin(2 * np.pi * 5.5 * time) * np.clip(time / 0.25, 0, 1)
            if glide and before is not None:
                number = number + (before - note.midi) / 2 * np.exp(-3 * time / glide)
            turned = 2 * np.pi * np.cumsum(440 * 2 ** ((number - 69) / 12)) / RATE
            tone = np.zeros(len(time))
            for partial, loud in zip(partials, power, strict=True):
                hertz = partial * 440 * 2 ** ((note.midi - 69) / 12)
                if hertz > 7600:
                    break
                loud *= 1 + sum(np.exp(-(((hertz - at) / wide) ** 2)) for at, wide in middles)
                shape = np.clip(time / (attack * (1 + 0.08 * partial)), 0, 1)
                tone += loud * shape * np.sin(partial * turned + chance.uniform(0, 6.3))
                if note.midi in one.under:  # the odd partials of an octave below
                    fades = np.clip(1 - time / min(0.1, 0.7 * length), 0, 1)
                    tone += loud * shape * fades * np.sin((partial - 0.5) * turned)
            tone *= np.exp(-decay * time) * np.exp(-np.maximum(time - length, 0) / release)
            tone /= np.sqrt((power**2).sum() / 2)
            brief = min(len(tone), int(0.02 * RATE))
            tone[:brief] += burst * chance.normal(size=brief) * np.linspace(1, 0, brief)
            at = int(note.start * RATE)
            room = found[at : at + len(tone)]
            room += tone[: len(room)] * (note.strength / 100) ** 1.5
            before = note.midi
    return 0.1 * found


def dressed(rng: Random, wave: np.ndarray, blown: bool) -> np.ndarray:
    """A sound in a room, with noise, breath, a band and another colour, each by chance."""
    chance, loud = np.random.default_rng(rng.randint(0, 10**9)), np.sqrt((wave**2).mean())
    found = wave.copy()
    if rng.random() < 0.5:
        time = np.arange(int(rng.uniform(0.15, 1.1) * RATE)) / RATE
        room = chance.normal(size=len(time)) * np.exp(-6.9 * time / time[-1])
        found += rng.uniform(0.03, 0.4) * loud * unit(folded(wave, room))
    if rng.random() < 0.6:
        found += loud * 10 ** (rng.uniform(-65, -35) / 20) * chance.normal(size=len(wave))
    if blown and rng.random() < 0.5:
        noise = np.fft.rfft(chance.normal(size=len(wave)))
        hertz = np.fft.rfftfreq(len(wave), 1 / RATE)
        noise[(hertz < rng.uniform(600, 1500)) | (hertz > rng.uniform(4000, 7500))] = 0
        around = np.sqrt(np.clip(folded(wave**2, np.ones(480) / 480), 0, None))
        breath = unit(np.fft.irfft(noise, len(wave)) * around)
        found += loud * 10 ** (rng.uniform(-42, -24) / 20) * breath
    if rng.random() < 0.45:
        under = np.resize(band(rng.randrange(24)), len(wave))
        found += loud * 10 ** (rng.uniform(-36, -11) / 20) * unit(under)
    if rng.random() < 0.7:
        hertz = np.fft.rfftfreq(len(found), 1 / RATE)
        octaves = np.log2(np.maximum(hertz, 40) / 40)
        colour = np.interp(octaves, np.arange(9), chance.uniform(-7, 7, 9) * rng.random())
        found = np.fft.irfft(np.fft.rfft(found) * 10 ** (colour / 20), len(found))
    return found


def unit(wave: np.ndarray) -> np.ndarray:
    """A sound with a power of 1."""
    return wave / np.sqrt((wave**2).mean() + 1e-12)


def folded(wave: np.ndarray, other: np.ndarray) -> np.ndarray:
    """One sound folded with another."""
    size = 1 << (len(wave) + len(other)).bit_length()
    both = np.fft.rfft(wave, size) * np.fft.rfft(other, size)
    return np.fft.irfft(both, size)[: len(wave)]


@cache
def band(seed: int) -> np.ndarray:
    """A band for a line to be played over, in one of its keys and tempos."""
    rng = Random(f"band {seed}")
    over = two_five_one(rng.choice(KEYS), rng.choice(("long", "short")))
    form = Progression(over.key, over.bars * 3)
    tempo = rng.choice((60, 80, 100, 120, 140, 180, 220, 240))
    played = render(performance(None, form, tempo=tempo, count_in=0), rate=44100)
    return resampled(played.wave.mean(axis=1).astype(float), 44100, RATE)


def made(
    rng: Random, players: Sequence[str], harder: bool = False
) -> tuple[np.ndarray, list[Played]]:
    """A minute of one melody, and its notes."""
    program = rng.choice(OURS) if rng.random() < 0.5 else rng.choice(OTHERS)
    if harder and rng.random() < 0.5:
        program = rng.choice(HARDER)
    player = rng.choice([*players, None])
    reed = player is None or program in REEDS
    stretches, first = [], 0.0
    while first < SECONDS - 7:
        seconds = rng.uniform(6, 9)
        notes = line(rng, program, first + rng.uniform(0.1, 0.5), seconds - 0.6, harder)
        wheel, under = rng.choice((0, 0, 30, 90, 127)), range(0)
        if harder and reed and notes and rng.random() < 0.5:
            lowest = rng.choice(notes).midi - rng.randint(0, 3)
            under = range(lowest, lowest + rng.randint(3, 6))
        stretches.append(Stretch(first, notes, wheel, rng.uniform(-12, 12), under))
        first += seconds
    notes = [note for one in stretches for note in one.notes]
    if player is None:
        return dressed(rng, added(rng, stretches), blown=True), notes
    wave = sampled(messages(rng, program, stretches), player)
    if rng.random() < 0.35:
        up = rng.choice((-5, -4, -3, -2, 2, 3, 4, 5))
        faster = 2 ** (up / 12)
        at = np.arange(int(len(wave) / faster)) * faster
        wave = np.interp(at, np.arange(len(wave)), wave)
        notes = [Played(n.start / faster, n.end / faster, n.midi + up, n.strength) for n in notes]
    return dressed(rng, wave, program in BLOWN), notes


def main() -> None:
    """Make the takes."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("folder", type=Path)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--count", type=int, default=400)
    parser.add_argument("--soundfonts", nargs="+", default=[])
    parser.add_argument("--patches", nargs="*", default=[])
    parser.add_argument("--harder", action="store_true")
    wishes = parser.parse_args()
    wishes.folder.mkdir(parents=True, exist_ok=True)
    for number in range(wishes.count):
        rng = Random(f"{wishes.seed} {number}")
        wave, notes = made(rng, [*wishes.soundfonts, *wishes.patches], wishes.harder)
        if np.sqrt((wave**2).mean()) > LEAST:
            rows = np.array([(n.start, n.end, n.midi) for n in notes], np.float32)
            loud = (wave / np.abs(wave).max() * 0.9).astype(np.float16)
            np.savez(wishes.folder / f"{wishes.seed}_{number}.npz", wave=loud, notes=rows)


if __name__ == "__main__":
    main()
