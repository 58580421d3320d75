"""Sounds of notes: cut out of what the synthesizer plays, for a page that plays by itself.

A note is as long as it is heard. One that does not die away is given a loop, cut where the sound is
most like itself a while before, and faded over there. Notes lie one behind the other in one file.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from theorykit.show.sound.sound_wishes import RATES, ROOM, AskedSound
from theorykit.show.sound.synthesizer import Wave, joined_bytes, room_told, tone_of
from theorykit.show.sound.tone import Tone

RATE = RATES[-1]
UNHEARD = 10 ** (-35 / 20)  # of the loudest moment: what is softer is not kept
LOOP_END, SHORTEST, LONGEST = 1.5, 0.35, 0.9  # seconds: where a loop ends, how long it is
BEYOND = 0.05  # seconds that are made after its end, for filters that look ahead
FADE, WINDOW = 0.03, 0.01  # seconds: over its end, and over which a level is taken
WAVE = 0.25  # seconds before it that are compared too: the waves of a vibrato go on in their time
ALIKE = 0.97  # of the best likeness: places as good as it, of which the waves choose
DYING, SHARE = 0.2, 4  # seconds in which the end of a dying sound is faded, a share of it at most
HEIGHT = 0.9  # of full scale, to which each sound is brought
GAP = 0.01  # seconds of silence between two
COMPRESSION = 1.0  # of an Ogg

Wanted = Iterable[tuple[str, AskedSound | None]]  # a name, and what it stands for if no room


def sounds_file(wanted: Wanted, form: str) -> tuple[list[dict[str, object]], bytes]:
    """Return what is told of each sound, and one file, Ogg or FLAC, in which they lie.

    >>> told, data = sounds_file([("room left", None)], "ogg")
    >>> [one["name"] for one in told], data[:4]
    (['room left'], b'OggS')
    """
    told: list[dict[str, object]] = []
    return told, joined_bytes(_waves(wanted, told), form, compression=COMPRESSION)


def _waves(wanted: Wanted, told: list[dict[str, object]]) -> Iterator[Wave]:
    """Yield sound and silence by turns, and tell of each sound where it lies."""
    gap, at = np.zeros(round(GAP * RATE), np.float32), 0
    for name, asked in wanted:
        tone, loop = _piece(name) if asked is None else _kept(asked)
        top = float(np.abs(tone.wave).max(initial=1e-9))
        told.append(
            {
                **{"name": name, "at": at, "frames": len(tone.wave), "scale": top / HEIGHT},
                **{"place": tone.place, "release": tone.release, "lead": tone.lead},
                "loop": loop,
            }
        )
        yield tone.wave * np.float32(HEIGHT / top)
        yield gap
        at += len(tone.wave) + len(gap)


def _piece(name: str) -> tuple[Tone, tuple[int, int] | None]:
    """Return one side of the room as a sound."""
    return Tone(room_told()[ROOM.index(name)], 0.0, 0.0), None


def _kept(asked: AskedSound) -> tuple[Tone, tuple[int, int] | None]:
    """Return a sound as long as it is heard, and the first and last frame of its loop."""
    note, steady = asked.note, LOOP_END + BEYOND
    tone = tone_of(asked.player, note.midi, note.loudness, asked.place, steady=steady)
    if tone.steady:
        wave, loop = _looped(tone.wave)
        return replace(tone, wave=wave), loop
    return replace(tone, wave=_heard(tone.wave)), None


def _heard(wave: Wave) -> Wave:
    """Return a dying sound as far as it is heard, its end faded."""
    size = round(WINDOW * RATE)
    count = max(1, len(wave) // size)
    levels = np.abs(wave[: count * size]).reshape(count, -1).max(axis=1, initial=0)
    heard = np.flatnonzero(levels > UNHEARD * levels.max(initial=0))
    end = min(len(wave), (int(heard[-1]) + 2) * size) if len(heard) else size
    kept = wave[:end].copy()
    fade = round(DYING * RATE) if end < len(wave) else round(FADE * RATE)
    fade = min(fade, end // SHARE)
    kept[end - fade :] *= np.linspace(1, 0, fade, dtype=np.float32)
    return kept


def _looped(wave: Wave) -> tuple[Wave, tuple[int, int]]:
    """Return the beginning of a steady sound, and the frames of a loop at its end."""
    end, fade = round(LOOP_END * RATE), round(FADE * RATE)
    start = _most_alike(wave, end - fade, fade)
    kept = wave[:end].copy()
    over = np.linspace(0, 1, fade, dtype=np.float32)
    kept[end - fade :] = wave[end - fade : end] * (1 - over) + wave[start : start + fade] * over
    return kept, (start + fade, end)


def _most_alike(wave: Wave, at: int, count: int) -> int:
    """Return the frame before ``at`` from which the sound goes on as it does there.

    Of the places where the same wave stands, it is the one before which the sound has swelled and
    faded in the same way.
    """
    low, high = at - round(LONGEST * RATE), at - round(SHORTEST * RATE)
    alike = _likeness(wave[low : high + count], wave[at : at + count])
    places = low + np.flatnonzero(alike >= ALIKE * alike.max())
    swell = _swell(wave[: at + count])
    size = round(WINDOW * RATE)
    back = np.arange(-round(WAVE / WINDOW), 0)
    apart = np.abs(swell[places[:, None] // size + back] - swell[at // size + back]).sum(axis=1)
    return int(places[int(np.argmin(apart))])


def _likeness(wave: Wave, some: Wave) -> NDArray[np.float64]:
    """Return how much a sound is like another one from each of its places on."""
    size = 1 << (len(wave) - 1).bit_length()
    spectrum = np.fft.rfft(wave, size) * np.conj(np.fft.rfft(some, size))
    count = len(wave) - len(some) + 1
    total = np.concatenate(([0.0], np.cumsum(wave.astype(np.float64) ** 2)))
    powers = total[len(some) :] - total[:count]
    return np.asarray(np.fft.irfft(spectrum, size)[:count] / np.sqrt(powers + 1e-12))


def _swell(wave: Wave) -> Wave:
    """Return the level of each short stretch of a sound."""
    size = round(WINDOW * RATE)
    whole = wave[: len(wave) // size * size].reshape(-1, size)
    return np.sqrt((whole**2).mean(axis=1))
