"""Files of notes: each sound of the built-in instruments made once, for a page without an engine.

Some keys of an instrument share a file, in which their sounds lie one behind the other, each an Ogg
of its own. An index says where each lies, and what the synthesizer knows of it: loop, place,
release, and how its level follows the tempo. So a page that has no synthesizer plays the same
sounds, at the same levels and in the same tune.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from fractions import Fraction
from pathlib import Path
from typing import Any

from theorykit.lines.parts import MELODY_SOUNDS, Sounding
from theorykit.show.sound.instruments import built_in_only
from theorykit.show.sound.note_sounds import sounds_file
from theorykit.show.sound.sound_wishes import RATES, ROOM, AskedSound
from theorykit.show.sound.synthesizer import (
    Instrument,
    instrument,
    line_gains,
    moments_told,
    room_shares,
    tone_names,
)

KITS = (0, 40)  # the standard kit and the brushes: General MIDI Level 2 (1999), from memory
KEYS = {"line": (34, 101), "piano": (33, 97), "bass": (23, 68), "drums": (35, 82)}
SHARED = 6  # keys whose sounds lie in one file
LOUDNESSES = range(1, 128)


def note_files(folder: Path, melodies: Iterable[str] = tuple(MELODY_SOUNDS)) -> dict[str, Any]:
    """Write the sounds of the band into a folder, and return the index of them as plain data.

    ``melodies`` are the sounds that a line can have.
    """
    told: dict[str, dict[str, list[Any]]] = {}
    tones: dict[str, list[Any]] = {}
    with built_in_only():
        for player in _instruments(melodies):
            first, end = KEYS[player.part]
            for start in range(first, end, SHARED):
                keys = range(start, min(start + SHARED, end))
                _write(folder, player, keys, told, tones)
        _put(folder / "room.bin", [(name, None) for name in ROOM], tones)
        return {
            "rate": RATES[-1],
            "moments": moments_told(),
            "shares": room_shares(),
            "layers": told,
            "gains": _gains(melodies),
            "tones": tones,
        }


def _instruments(melodies: Iterable[str]) -> Iterator[Instrument]:
    """Yield all that the parts can play."""
    yield from (instrument("line", melody=melody) for melody in melodies)
    yield from (instrument(part) for part in ("piano", "bass"))
    yield from (instrument("drums", kit) for kit in KITS)


def _write(
    folder: Path,
    player: Instrument,
    keys: Iterable[int],
    told: dict[str, dict[str, list[Any]]],
    tones: dict[str, list[Any]],
) -> None:
    """Write the file of some keys of an instrument."""
    player_name = f"{player.part} {player.program}"
    wanted: list[tuple[str, AskedSound | None]] = []
    for midi in keys:
        layers = list(_layers(player, midi))
        if layers:
            told.setdefault(player_name, {})[str(midi)] = [row[:2] for row in layers]
        for last, names, _ in layers:
            for place, name in enumerate(names):
                if name not in tones and name not in dict(wanted):
                    wanted.append((name, AskedSound(_note(midi, last), player, place)))
    if wanted:
        _put(folder / f"{player.part}-{player.program}-{min(keys)}.bin", wanted, tones)


def _layers(one: Instrument, midi: int) -> Iterator[tuple[int, list[str], int]]:
    """Yield the layers of a key: up to which loudness each sounds, and the names of its sounds."""
    before: tuple[int, list[str], int] | None = None
    for loudness in LOUDNESSES:
        found = tone_names(one, midi, loudness)
        names = [name.partition(" ")[2] for name in found]  # without the sum of the SoundFont
        if before and names != before[1]:
            yield before
        before = (loudness, names, midi)
    if before and before[1]:
        yield before


def _note(midi: int, loudness: int) -> Sounding:
    """Return a note that has a sound."""
    return Sounding(Fraction(0), Fraction(1), midi, loudness)


def _put(file: Path, wanted: list[Any], tones: dict[str, list[Any]]) -> None:
    """Write one file, and what is told of its sounds."""
    at, whole = 0, bytearray()
    for one in wanted:
        told, data = sounds_file([one], "ogg")
        row = told[0]
        whole += data
        tones[row["name"]] = [  # type: ignore[index]
            *(file.name, at, at + len(data), row["frames"], round(float(row["scale"]), 6)),  # type: ignore[arg-type]
            *(round(float(row["place"]), 4), round(float(row["release"]), 4), row["lead"]),  # type: ignore[arg-type]
            row["loop"],
        ]  # fmt: skip
        at += len(data)
    file.write_bytes(whole)


def _gains(melodies: Iterable[str]) -> dict[str, dict[str, tuple[float, ...]]]:
    """Return how the level of each note of a line follows the tempo."""
    return {
        str(one.program): {
            str(midi): tuple(round(gain, 3) for gain in line_gains(one, midi))
            for midi in range(*KEYS["line"])
        }
        for one in (instrument("line", melody=melody) for melody in melodies)
    }
