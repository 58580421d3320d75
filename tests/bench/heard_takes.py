"""Takes that another synthesizer plays, taken down and compared with what was played.

    python tests/bench/heard_takes.py [--clips 6] [--hard] [--seed 0] [--soundfont FILE]

Each clip is eight bars of one instrument through ``fluidsynth`` with eighths, triplets, sixteenths,
repeated notes and rests, half of them in the low octave, with errors of 12 ms. ``--hard`` adds
vibrato, mistuning, a room, noise and a band at -20 dB. Printed are precision, recall and F1 of
notes by ``mir_eval`` (onset 50 ms, pitch 50 cents), the bars whose rhythm is right, and the seconds
of a processor for a second of sound. It needs ``theorykit[taking]``, ``mir_eval``, ``fluidsynth``.

Source of the measure: Colin Raffel and others, *mir_eval: A transparent implementation of common
MIR metrics*, ISMIR 2014.
"""

from __future__ import annotations

import argparse
import subprocess
import tempfile
import time
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path
from random import Random

import mido
import numpy as np
import soundfile

from theorykit import take_down, two_five_one
from theorykit.lines.band import performance
from theorykit.lines.parts import MELODY_SOUNDS
from theorykit.show.listening.heard_notes import heard_notes
from theorykit.show.sound import render
from theorykit.tunes.progression import Progression

RATE, START, SIGMA = 44100, 0.5, 0.012
ONSET, CENTS = 0.05, 50  # what counts as right
SOUNDFONTS = ("/usr/share/sounds/sf2/FluidR3_GM.sf2", "/usr/share/sounds/sf2/TimGM6mb.sf2")
LOWEST = {  # of each instrument, as it sounds (common practice)
    **{"tenor saxophone": 46, "alto saxophone": 51, "soprano saxophone": 58, "trumpet": 54},
    **{"trombone": 43, "clarinet": 51, "flute": 60, "piano": 43, "vibraphone": 53},
    **{"jazz guitar": 43, "violin": 55, "muted trumpet": 54},
}
TEMPOS, SWINGS = (60, 100, 140, 180, 240), (1.0, 1.5, 2.0, 3.0)
RHYTHMS = {  # places in a beat, how often, and how often at 160 and above
    (0, 2): (50, 60),
    (0,): (14, 16),
    (0, 4 / 3, 8 / 3): (9, 6),
    (0, 1, 2, 3): (7, 0),
    (0, 2, 3): (4, 0),
    (): (8, 10),
    (2,): (8, 8),
}
STEPS = {0: 4, 1: 6, -1: 6, 2: 8, -2: 8, 3: 4, -3: 4, 4: 3, -4: 3, 5: 1, -5: 1}


@dataclass
class Clip:
    """A take: where its notes belong, and start, end and MIDI number as they were played."""

    name: str
    tempo: int
    swing: float
    places: list[Fraction]
    notes: list[tuple[float, float, int]]


def clip(name: str, tempo: int, swing: float, rng: Random, bars: int = 8) -> Clip:
    """A take by chance, for an instrument."""
    column = int(tempo >= 160)
    places = []
    for beat in range(4 * bars):
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
    return Clip(name, tempo, swing, [place for place, _ in places], notes)


def played(one: Clip, soundfont: str, folder: Path, rng: Random, hard: bool) -> np.ndarray:
    """The sound of a take, in one channel."""
    track = mido.MidiTrack([mido.Message("program_change", program=MELODY_SOUNDS[one.name])])
    if hard:
        track.append(mido.Message("control_change", control=1, value=70))  # vibrato
        bend = int(rng.uniform(-40, 40) / 200 * 8192)
        track.append(mido.Message("pitchwheel", pitch=bend))
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
    sound = folder / "take.wav"
    order = ["fluidsynth", "-ni", "-q", "-R", "0", "-C", "0", "-r", str(RATE), "-F", str(sound)]
    quiet = {"stdout": subprocess.DEVNULL, "stderr": subprocess.DEVNULL}
    subprocess.run([*order, soundfont, str(folder / "take.mid")], check=True, **quiet)
    wave = soundfile.read(sound)[0].mean(axis=1)
    return with_all_of_it(wave, one, rng) if hard else wave


def with_all_of_it(wave: np.ndarray, one: Clip, rng: Random) -> np.ndarray:
    """A take in a room of 0.6 s, with noise 45 dB and a band 20 dB below it."""
    chance = np.random.default_rng(rng.randint(0, 10**6))
    time_ = np.arange(int(0.6 * RATE)) / RATE
    room = chance.normal(size=len(time_)) * np.exp(-6.9 * time_ / 0.6)
    size = len(wave) + len(room)
    wet = np.fft.irfft(np.fft.rfft(wave, size) * np.fft.rfft(room, size), size)[: len(wave)]
    loud = np.sqrt((wave**2).mean())
    found = wave + 0.25 * loud / np.sqrt((wet**2).mean()) * wet
    found = found + chance.normal(size=len(wave)) * loud * 10 ** (-45 / 20)
    band = render(performance(None, form(), tempo=one.tempo, count_in=0), rate=RATE)
    under = np.zeros(len(wave))
    heard = band.wave.mean(axis=1)[: len(wave) - int(START * RATE)]
    under[int(START * RATE) :][: len(heard)] = heard
    return found + under * loud / np.sqrt((heard**2).mean()) * 10 ** (-20 / 20)


def form() -> Progression:
    """Nine bars: the eight of a take, and one to end in."""
    over = two_five_one("C", "long")
    return Progression(over.key, over.bars * 3)


def score(one: Clip, wave: np.ndarray) -> tuple[tuple[float, float, float], int, int, float]:
    """Precision, recall and F1; right bars and all bars; seconds of a processor by a second."""
    from mir_eval.transcription import precision_recall_f1_overlap

    begun = time.process_time()
    heard = heard_notes(wave, RATE).notes
    spent = (time.process_time() - begun) / (len(wave) / RATE)

    def rows(notes: list[tuple[float, float, int]]) -> tuple[np.ndarray, np.ndarray]:
        hertz = [440 * 2 ** ((midi - 69) / 12) for *_, midi in notes]
        return np.array([row[:2] for row in notes]).reshape(-1, 2), np.array(hertz)

    found = [(n.start, n.end, n.midi) for n in heard]
    wishes = {"onset_tolerance": ONSET, "pitch_tolerance": CENTS, "offset_ratio": None}
    notes = precision_recall_f1_overlap(*rows(one.notes), *rows(found), **wishes)[:3]
    line = take_down((wave, RATE), form(), tempo=one.tempo, start=START).line
    bars = [[set(), set()] for _ in range(8)]
    for place in one.places:
        bars[int(place // 4)][0].add(place)
    for note in line:
        bars[min(max(int(note.start // 4), 0), 7)][1].add(note.start)
    return notes, sum(a == b for a, b in bars), len(bars), spent


def main() -> None:
    """Print a row for each clip and the means."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--clips", type=int, default=6)
    parser.add_argument("--seed", type=int, default=0)
    parser.add_argument("--hard", action="store_true")
    there = next((name for name in SOUNDFONTS if Path(name).is_file()), "")
    parser.add_argument("--soundfont", default=there)
    wishes = parser.parse_args()
    results = []
    for number in range(wishes.clips):
        rng = Random(1000 * wishes.seed + number)
        names = sorted(LOWEST)
        name = names[(number + wishes.seed) % len(names)]
        one = clip(name, TEMPOS[number % 5], SWINGS[number % 4], rng)
        with tempfile.TemporaryDirectory() as folder:
            wave = played(one, wishes.soundfont, Path(folder), rng, wishes.hard)
        (p, r, f), right, whole, spent = score(one, wave)
        results.append((p, r, f, right / whole, spent))
        print(
            f"{one.name:18} {one.tempo:4} {one.swing:4}  P {p:.2f} R {r:.2f} F {f:.2f}"
            f"  bars {right}/{whole}  {spent:.3f} s/s",
            flush=True,
        )
    p, r, f, bars, spent = np.mean(results, axis=0)
    print(f"mean  P {p:.3f} R {r:.3f} F {f:.3f}  bars {bars:.3f}  {spent:.3f} s/s")


if __name__ == "__main__":
    main()
