"""Sounds of notes: cut out of what the synthesizer plays, for a page that plays by itself.

A note is as long as it is heard. One that does not die away is given a loop, cut where the sound is
most like itself a while before, and faded over there. All notes that are asked for at a time lie
one behind the other in one file.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

import numpy as np

from theorykit.show.sound.sound_wishes import RATES, ROOM, AskedSound
from theorykit.show.sound.synthesizer import Wave, joined_bytes, room_told, tones
from theorykit.show.sound.tone import Tone

RATE = RATES[-1]
UNHEARD = 10 ** (-35 / 20)  # of the loudest moment: what is softer is not kept
STEADY = 0.35  # of the level after the beginning: what is louder near the end does not die away
EARLY, LATE = 0.7, 3.0  # seconds between which that is told
LOOP_END, SHORTEST, LONGEST = 1.5, 0.35, 0.9  # seconds: where a loop ends, how long it is
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
    one = asked.note
    found = tones(
        one.part, one.note.midi, one.note.loudness, program=one.program, melody=asked.melody
    )
    tone = found[asked.place]
    if one.part != "drums" and _is_steady(tone.wave):
        wave, loop = _looped(tone.wave)
        return Tone(wave, tone.place, tone.release, tone.lead), loop
    return Tone(_heard(tone.wave), tone.place, tone.release, tone.lead), None


def _level(wave: Wave, at: float) -> float:
    """Return the level of a quarter of a second."""
    some = wave[round(at * RATE) : round((at + 0.25) * RATE)]
    return float(np.sqrt(np.mean(some**2))) if len(some) else 0.0


def _is_steady(wave: Wave) -> bool:
    """Tell whether a held note goes on and on."""
    return _level(wave, LATE) > STEADY * _level(wave, EARLY) > 0


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
    before = wave[low : high + count]
    powers = np.convolve(before**2, np.ones(count, np.float32), "valid")
    alike = np.correlate(before, wave[at : at + count]) / np.sqrt(powers + 1e-12)
    places = low + np.flatnonzero(alike >= ALIKE * alike.max())
    swell = _swell(wave[: at + count])
    steps = round(WAVE * RATE / (size := round(WINDOW * RATE)))
    own = swell[at // size - steps : at // size]
    apart = [float(np.abs(swell[one // size - steps : one // size] - own).sum()) for one in places]
    return int(places[int(np.argmin(apart))])


def _swell(wave: Wave) -> Wave:
    """Return the level of each short stretch of a sound."""
    size = round(WINDOW * RATE)
    whole = wave[: len(wave) // size * size].reshape(-1, size)
    return np.sqrt((whole**2).mean(axis=1))
