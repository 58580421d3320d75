"""Levels: how much a note of an instrument is turned up, so that all are heard as wished."""

from __future__ import annotations

from functools import lru_cache

import numpy as np

from theorykit.errors import TheoryError, shown
from theorykit.show.sound.mixing import Wave, gains, heard_power
from theorykit.show.sound.soundfont import DRUM_BANK, Region, SoundFont
from theorykit.show.sound.voice import side_of, voice_once

# Levels as they are heard, in LUFS: one note as loud as it gets, in its first moment.
LEVELS = {"line": -10.5, "piano": -15.1, "bass": -15.2, "drums": -17.3}
MEASURED_LOUDNESS = 88  # of 127, at which instruments are compared: that of a line
NEAR_KEYS = 3  # keys so near have one level: they share a recording
MOMENT = 0.25  # seconds
NOTE, SHORTEST, LONGEST, STEP = 0.58, 0.1, 0.5, 0.05  # beats of a line's; bounds in seconds, step
SILENT_POWER = 1e-12


def moment_at(tempo: float) -> float:
    """Return in how many seconds a line shows how loud it is: about a note of it.

    What is struck dies away where notes are long, and rings on where they are short; so it would
    be too soft in a slow tune and too loud in a fast one.

    >>> moment_at(60), moment_at(140), moment_at(260)
    (0.5, 0.25, 0.15)
    """
    seconds = min(max(NOTE * 60 / tempo, SHORTEST), LONGEST)
    return round(round(seconds / STEP) * STEP, 2)


def moments() -> tuple[float, ...]:
    """Return all the moments that there are, the shortest first, in seconds.

    >>> moments()[0], moments()[-1], len(moments())
    (0.1, 0.5, 9)
    """
    first, last = round(SHORTEST / STEP), round(LONGEST / STEP)
    return tuple(round(number * STEP, 2) for number in range(first, last + 1))


@lru_cache(maxsize=1024)
def note_level(
    font: SoundFont, bank: int, program: int, key: int, rate: int, moment: float = MOMENT
) -> float:
    """Return what brings a note of an instrument to full level in its first moment, as heard."""
    regions = font.regions(bank, program, key, MEASURED_LOUDNESS)
    if not regions:
        if bank == DRUM_BANK and font.has(bank, program):
            return 0.0  # a kit without this drum
        raise TheoryError(
            f"the SoundFont {shown(font.path.name)} has no sound for program {program} of bank "
            f"{bank} (want one with the sounds of General MIDI)"
        )
    longest = MOMENT if moment == MOMENT else LONGEST  # those of a line are asked for together
    struck = _struck(tuple(regions), key, rate, round(longest * rate))
    power = sum(heard_power(channel[: round(moment * rate)], rate) for channel in struck)
    return power**-0.5 if power > SILENT_POWER else 0.0


@lru_cache(maxsize=2)
def _struck(regions: tuple[Region, ...], key: int, rate: int, frames: int) -> Wave:
    """Return the first moment of a note in two channels."""
    struck = np.zeros((2, frames), np.float32)
    for region in regions:
        wave = voice_once(region, key, rate, frames)
        struck[:, : len(wave)] += np.outer(gains(side_of(region)), wave).astype(np.float32)
    return struck


def level_key(part: str, midi: int) -> int:
    """Return the key at which the level of a note is measured; near keys share one."""
    return midi if part == "drums" else midi // NEAR_KEYS * NEAR_KEYS + NEAR_KEYS // 2


# === Sounds that go on and on ===

STEADY = 0.35  # of the level after the beginning: what is louder later does not die away
EARLY, LATE = 0.7, 3.0  # seconds between which that is told
LOOK, COARSE = 0.25, 5512  # seconds that are looked at, and frames of each


@lru_cache(maxsize=1024)
def is_steady(region: Region, key: int) -> bool:
    """Tell whether a held key goes on and on."""
    wave = voice_once(region, key, COARSE, round((LATE + LOOK) * COARSE))
    early, late = (_level(wave, at) for at in (EARLY, LATE))
    return late > STEADY * early > 0


def _level(wave: Wave, at: float) -> float:
    """Return the level of a stretch of a sound."""
    some = wave[round(at * COARSE) : round((at + LOOK) * COARSE)]
    return float(np.sqrt(np.mean(some**2))) if len(some) else 0.0
