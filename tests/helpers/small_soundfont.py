"""A SoundFont of one looped sine, written byte by byte after the specification 2.04.

It is made here, apart from the reader, so that what the reader does with root keys, tuning, loops
and levels can be told from numbers that we chose.
"""

from __future__ import annotations

import io
import struct
from pathlib import Path

import numpy as np
import soundfile

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


# === Compressed ===

HEADER = "<20sIIIIIBbHH"  # of a recording
OGG = 0x10  # the mark of a compressed one
AT_A_TIME = 4096  # frames: the Vorbis encoder of libsndfile crashes on many at once


def parts_of(data: bytes) -> dict[bytes, bytes]:
    """The parts of a SoundFont file by name, those inside lists too."""
    found, at = {}, 12
    while at + 8 <= len(data):
        name, size = struct.unpack_from("<4sI", data, at)
        if name == b"LIST":
            at += 12
            continue
        found[name] = data[at + 8 : at + 8 + size]
        at += 8 + size + size % 2
    return found


def vorbis(frames: np.ndarray, rate: int) -> bytes:
    """A recording as Ogg Vorbis at its best."""
    target = io.BytesIO()
    how = {"format": "OGG", "compression_level": 0.0}
    with soundfile.SoundFile(target, "w", rate, 1, "VORBIS", **how) as file:
        for start in range(0, len(frames), AT_A_TIME):
            file.write(frames[start : start + AT_A_TIME])
    return target.getvalue()


def compressed(source: Path, target: Path, *, spoil: bytes | None = None) -> Path:
    """Write a SoundFont again with compressed recordings; ``spoil`` stands in the place of each.

    So is the layout described: FluidSynth project, *The SoundFont3 Format*, undated.
    """
    parts = parts_of(source.read_bytes())
    plain = np.frombuffer(parts[b"smpl"], "<i2")
    samples, headers = b"", []
    size = struct.calcsize(HEADER)
    for at in range(0, len(parts[b"shdr"]) - size, size):
        name, start, end, loop, until, rate, *rest, kind = struct.unpack_from(
            HEADER, parts[b"shdr"], at
        )
        data = vorbis(plain[start:end], rate) if spoil is None else spoil
        place = (len(samples), len(samples) + len(data), loop - start, until - start)
        headers.append(struct.pack(HEADER, name, *place, rate, *rest, kind | OGG))
        samples += data
    parts[b"shdr"] = b"".join(headers) + parts[b"shdr"][-size:]
    tables = ("phdr", "pbag", "pmod", "pgen", "inst", "ibag", "imod", "igen", "shdr")
    body = (
        b"sfbk"
        + _list(b"INFO", _chunk(b"ifil", struct.pack("<HH", 3, 1)))
        + _list(b"sdta", _chunk(b"smpl", samples))
        + _list(b"pdta", *(_chunk(name.encode(), parts[name.encode()]) for name in tables))
    )
    target.write_bytes(_chunk(b"RIFF", body))
    return target
