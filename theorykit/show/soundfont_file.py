"""The parts of a SoundFont file: its tables as records, its recordings as numbers.

Source of the layout: *SoundFont Technical Specification* 2.04, 2006, sections 4 to 7.
"""

from __future__ import annotations

import mmap
import struct
from collections.abc import Iterator
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from theorykit.errors import TheoryError, shown

__all__ = ["refusal", "tables_and_recordings"]

LARGEST = 2**31  # bytes
OGG_SAMPLE = 0x10  # the mark of a compressed recording, an extension of the format

_ZONE = [("generator", "<u2"), ("modulator", "<u2")]
_GENERATOR = [("number", "<u2"), ("amount", "<i2")]
_HEADER = [("start", "<u4"), ("end", "<u4"), ("loop start", "<u4"), ("loop end", "<u4")]
_TABLES = {
    "phdr": [("name", "S20"), ("program", "<u2"), ("bank", "<u2"), ("zone", "<u2"), ("", "S12")],
    "pbag": _ZONE,
    "pgen": _GENERATOR,
    "inst": [("name", "S20"), ("zone", "<u2")],
    "ibag": _ZONE,
    "igen": _GENERATOR,
    "shdr": [
        *(("name", "S20"), *_HEADER, ("rate", "<u4"), ("key", "u1"), ("cents", "i1")),
        *(("link", "<u2"), ("type", "<u2")),
    ],
}


def tables_and_recordings(path: Path) -> tuple[dict[str, NDArray[np.void]], NDArray[np.int16]]:
    """Return the tables of a file by name, and all its recordings in one row."""
    chunks = dict(_chunks(_mapped(path)))
    try:
        tables = {name: _table(chunks[name], name) for name in _TABLES}
        recordings = np.frombuffer(chunks["smpl"], "<i2")
    except (KeyError, ValueError) as error:
        raise refusal(path, f"its part {error} is missing or damaged") from None
    if (tables["shdr"]["type"] & OGG_SAMPLE).any():
        raise refusal(path, "its recordings are compressed")
    return tables, recordings


def _table(data: memoryview, name: str) -> NDArray[np.void]:
    """Return one table of the file as records."""
    layout = np.dtype(_TABLES[name])
    return np.frombuffer(data[: len(data) // layout.itemsize * layout.itemsize], layout)


def _mapped(path: Path) -> memoryview:
    """Return the bytes of a file without reading them all."""
    try:
        if path.stat().st_size > LARGEST:
            raise refusal(path, "it is larger than two gigabytes")
        with path.open("rb") as file:
            data = memoryview(mmap.mmap(file.fileno(), 0, access=mmap.ACCESS_READ))
    except (OSError, ValueError):
        raise refusal(path, "there is no such file, or it cannot be read") from None
    if (bytes(data[:4]), bytes(data[8:12])) != (b"RIFF", b"sfbk"):
        raise refusal(path, "it does not begin like one")
    return data


def _chunks(data: memoryview) -> Iterator[tuple[str, memoryview]]:
    """Yield the parts of the file, those inside lists too."""
    at = 12
    while at + 8 <= len(data):
        name, size = struct.unpack_from("<4sI", data, at)
        if name == b"LIST":
            at += 12  # step inside
            continue
        yield name.decode("latin-1"), data[at + 8 : at + 8 + size]
        at += 8 + size + size % 2


def refusal(path: Path, reason: str) -> TheoryError:
    """Word the refusal of a file."""
    return TheoryError(
        f"not a SoundFont that can be played: {shown(path.name or str(path))} "
        f"({reason}; want a file .sf2)"
    )
