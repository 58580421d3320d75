"""A SoundFont of one looped sine, written byte by byte after the specification 2.04.

It is made here, apart from the reader, so that what the reader does with root keys, tuning, loops
and levels can be told from numbers that we chose.
"""

from __future__ import annotations

import struct
from pathlib import Path

import numpy as np

RATE = 44100
CYCLE = 100  # frames: the sine sounds 441 Hz at its own pitch


def _chunk(name: bytes, data: bytes) -> bytes:
    return struct.pack("<4sI", name, len(data)) + data + b"\0" * (len(data) % 2)


def _list(name: bytes, *chunks: bytes) -> bytes:
    return _chunk(b"LIST", name + b"".join(chunks))


def _generators(pairs: list[tuple[int, int]]) -> bytes:
    return b"".join(struct.pack("<Hh", number, amount) for number, amount in pairs)


def sine_soundfont(
    path: Path,
    *,
    generators: list[tuple[int, int]] = (),
    preset: list[tuple[int, int]] = (),
    key: int = 69,
    cents: int = 0,
    sample_type: int = 1,
    program: int = 0,
    bank: int = 0,
) -> Path:
    """Write the SoundFont; ``generators`` shape the instrument, ``preset`` the preset above it."""
    frames = 40 * CYCLE
    sine = np.sin(2 * np.pi * np.arange(frames + 8) / CYCLE) * 16384
    zone = [*generators, (54, 1), (53, 0)]
    outer = [*preset, (41, 0)]
    tables = {
        b"phdr": struct.pack("<20sHHHIII", b"Sine", program, bank, 0, 0, 0, 0)
        + struct.pack("<20sHHHIII", b"EOP", 0, 0, 1, 0, 0, 0),
        b"pbag": struct.pack("<HHHH", 0, 0, len(outer), 0),
        b"pmod": bytes(10),
        b"pgen": _generators(outer) + bytes(4),
        b"inst": struct.pack("<20sH20sH", b"Sine", 0, b"EOI", 1),
        b"ibag": struct.pack("<HHHH", 0, 0, len(zone), 0),
        b"imod": bytes(10),
        b"igen": _generators(zone) + bytes(4),
        b"shdr": struct.pack(
            "<20sIIIIIBbHH",
            *(b"Sine", 0, frames + 8, 20 * CYCLE, frames, RATE, key, cents, 0, sample_type),
        )
        + struct.pack("<20sIIIIIBbHH", b"EOS", 0, 0, 0, 0, 0, 0, 0, 0, 0),
    }
    body = (
        b"sfbk"
        + _list(b"INFO", _chunk(b"ifil", struct.pack("<HH", 2, 4)))
        + _list(b"sdta", _chunk(b"smpl", sine.astype("<i2").tobytes() + bytes(92)))
        + _list(b"pdta", *(_chunk(name, data) for name, data in tables.items()))
    )
    path.write_bytes(_chunk(b"RIFF", body))
    return path
