"""SoundFonts: the recordings that a key of an instrument plays, and their shapes.

Source of the layout, the generators and their defaults: *SoundFont Technical Specification* 2.04,
2006, sections 4 to 8. Generators of the preset are added to those of the instrument, as its section
9.4 says. Source of compressed recordings: the FluidSynth project, *The SoundFont3 Format*, undated:
bit 4 of the type marks one; its start and end are then bytes of an Ogg Vorbis file of its own, and
the ends of its loop are frames from its beginning.
"""

from __future__ import annotations

import mmap
import struct
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import lru_cache, partial
from importlib.util import find_spec
from pathlib import Path
from zlib import crc32

import numpy as np
from numpy.typing import NDArray

from theorykit.errors import TheoryError, shown

LARGEST = 2**31  # bytes
# Frames a second of a recording: E-mu Systems, SoundFont Technical Specification 2.04 (2006) wants
# 400 to 50,000; recordings are made with up to 192,000 (common practice).
SLOWEST, FASTEST = 400, 192_000
OGG_SAMPLE, OGG_HEAD = 0x10, b"OggS"  # the mark of a compressed recording, and how it begins
LONGEST = 1 << 23  # frames that are taken of one: three minutes

Frames = NDArray[np.int16]
Decode = Callable[[bytes, int], Frames]  # bytes of a file, and how many frames to take at most

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


def tables_and_recordings(path: Path) -> tuple[dict[str, NDArray[np.void]], memoryview]:
    """Return the tables of a file by name, and the bytes of all its recordings."""
    chunks = dict(_chunks(_mapped(path)))
    try:
        tables = {name: _table(chunks[name], name) for name in _TABLES}
        return tables, chunks["smpl"]
    except (KeyError, ValueError) as error:
        raise refusal(path, f"its part {error} is missing or damaged") from None


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
        f"({reason}; want a file .sf2 or .sf3)"
    )


# === Regions ===

BUILT_IN = ("pretty_midi", "TimGM6mb.sf2")  # the SoundFont inside the wheel of a library we need
DRUM_BANK = 128  # General MIDI percussion
KEY_COUNT = 128

# Generators by name: their number and the value that holds where a zone says nothing.
GENERATORS = {
    **{"start": (0, 0), "end": (1, 0), "loop start": (2, 0), "loop end": (3, 0)},
    **{"start far": (4, 0), "end far": (12, 0), "loop start far": (45, 0), "loop end far": (50, 0)},
    **{"tremolo to pitch": (5, 0), "vibrato to pitch": (6, 0), "sweep to pitch": (7, 0)},
    **{"cutoff": (8, 13500), "resonance": (9, 0), "sweep to cutoff": (11, 0)},
    **{"tremolo to volume": (13, 0), "pan": (17, 0)},
    **{"tremolo delay": (21, -12000), "tremolo rate": (22, 0)},
    **{"vibrato delay": (23, -12000), "vibrato rate": (24, 0)},
    **{"sweep delay": (25, -12000), "sweep attack": (26, -12000), "sweep hold": (27, -12000)},
    **{"sweep decay": (28, -12000), "sweep sustain": (29, 0)},
    **{"sweep hold by key": (31, 0), "sweep decay by key": (32, 0)},
    **{"delay": (33, -12000), "attack": (34, -12000), "hold": (35, -12000)},
    **{"decay": (36, -12000), "sustain": (37, 0), "release": (38, -12000)},
    **{"hold by key": (39, 0), "decay by key": (40, 0)},
    **{"fixed key": (46, -1), "attenuation": (48, 0), "loops": (54, 0)},
    **{
        "coarse tune": (51, 0),
        "fine tune": (52, 0),
        "scale tuning": (56, 100),
        "root key": (58, -1),
    },
}
INSTRUMENT, KEYS, LOUDNESS, SAMPLE = 41, 43, 44, 53  # generators that choose instead of shape
EVERY = 127 << 8  # a range from 0 to 127
NOT_IN_PRESETS = frozenset((0, 1, 2, 3, 4, 12, 45, 46, 50, 54, 58))  # section 8.1.3

Zone = dict[int, int]


@dataclass(frozen=True, eq=False)
class Region:
    """One recording as an instrument plays it; ``shape`` holds the generators by name.

    ``rate`` is in frames a second; ``key`` is the MIDI number that the recording sounds as,
    ``cents`` what is added to tune it; ``keys`` are the lowest and the highest key that plays it.
    """

    read: Callable[[], Frames]
    rate: int
    key: int
    cents: int
    loop: tuple[int, int]
    keys: tuple[int, int]
    shape: dict[str, int]

    @property
    def recording(self) -> Frames:
        """The recording in whole numbers of 16 bits; a compressed one is read when it is needed."""
        return self.read()


class SoundFont:
    """A SoundFont file, open for reading. ``regions`` is what one asks it for."""

    def __init__(self, path: Path, decode: Decode | None = None) -> None:
        self.path = path
        self.number = crc32(f"{path} {path.stat().st_mtime_ns}".encode())  # no other file has it
        self.tables, self.stored = tables_and_recordings(path)
        self.recordings = np.frombuffer(self.stored[: len(self.stored) // 2 * 2], "<i2")
        self.decode = decode
        if decode is None and (self.tables["shdr"]["type"] & OGG_SAMPLE).any():
            raise refusal(path, "its recordings are compressed")

    @lru_cache(maxsize=4096)  # noqa: B019  (SoundFonts are few and stay open)
    def regions(self, bank: int, program: int, key: int, loudness: int) -> tuple[Region, ...]:
        """Return what sounds when a key of a program is played; empty if there is no such program.

        A key that an instrument leaves out is played by the zones of its nearest key. Drums are
        left out where the kit leaves them out.
        """
        layers = self._layers(bank, program)
        far = 1 if bank == DRUM_BANK or not layers else KEY_COUNT
        for near in sorted(range(KEY_COUNT), key=lambda other: abs(other - key))[:far]:
            found = tuple(
                region
                for outer, inner, region in layers
                if _answers(outer, near, loudness) and _answers(inner, near, loudness)
            )
            if found:
                return found
        return ()

    def has(self, bank: int, program: int) -> bool:
        """Tell whether there is a program in a bank."""
        presets = self.tables["phdr"][:-1]
        return bool(((presets["program"] == program) & (presets["bank"] == bank)).any())

    @lru_cache(maxsize=256)  # noqa: B019
    def _layers(self, bank: int, program: int) -> tuple[tuple[Zone, Zone, Region], ...]:
        """Return every zone of a preset with every zone of its instrument."""
        presets = self.tables["phdr"][:-1]
        found = np.flatnonzero((presets["program"] == program) & (presets["bank"] == bank))
        try:
            return tuple(
                (outer, inner, self._region(outer, inner))
                for at in found[:1]
                for outer in self._zones("phdr", "pbag", "pgen", int(at), INSTRUMENT)
                for inner in self._zones("inst", "ibag", "igen", outer[INSTRUMENT], SAMPLE)
            )
        except (IndexError, ValueError):
            raise refusal(self.path, f"its program {program} is damaged") from None

    def _zones(self, table: str, bags: str, gens: str, at: int, last: int) -> Iterator[Zone]:
        """Yield the zones of a preset or instrument, what holds for all of them filled in."""
        first, after = (int(self.tables[table]["zone"][place]) for place in (at, at + 1))
        common: Zone = {}
        for zone in range(first, after):
            begin, end = (int(self.tables[bags]["generator"][place]) for place in (zone, zone + 1))
            own = {int(g["number"]): int(g["amount"]) for g in self.tables[gens][begin:end]}
            if last in own:
                yield {**common, **own, last: own[last] & 0xFFFF}
            elif zone == first:
                common = own

    def _region(self, outer: Zone, inner: Zone) -> Region:
        """Return a recording with the shape that two zones give it."""
        shape = {}
        for name, (number, default) in GENERATORS.items():
            added = 0 if number in NOT_IN_PRESETS else outer.get(number, 0)
            shape[name] = inner.get(number, default) + added
        header = self.tables["shdr"][inner[SAMPLE]]
        read, loop = (
            self._compressed(header, shape)
            if header["type"] & OGG_SAMPLE
            else self._plain(header, shape)
        )
        key = shape["root key"] if shape["root key"] >= 0 else int(header["key"])
        return Region(
            read,
            min(max(int(header["rate"]), SLOWEST), FASTEST),
            key,
            int(header["cents"]),
            loop,
            _both(outer.get(KEYS, EVERY), inner.get(KEYS, EVERY)),
            shape,
        )

    def _plain(
        self, header: np.void, shape: dict[str, int]
    ) -> tuple[Callable[[], Frames], tuple[int, int]]:
        """Return how to read a recording that lies there in frames, and its loop."""
        start, end, loop_start, loop_end = (
            min(int(header[part]) + _moved(shape, part), len(self.recordings)) for part in _PARTS
        )
        return partial(self._cut, start, end), (loop_start - start, loop_end - start)

    def _cut(self, start: int, end: int) -> Frames:
        """Return some frames of all."""
        return self.recordings[start:end]

    def _compressed(
        self, header: np.void, shape: dict[str, int]
    ) -> tuple[Callable[[], Frames], tuple[int, int]]:
        """Return how to read a compressed recording, and its loop."""
        first, last = (_moved(shape, part) for part in _PARTS[:2])
        start, end = (int(header[part]) + _moved(shape, part) - first for part in _PARTS[2:])
        read = partial(self._decoded, int(header["start"]), int(header["end"]), first, last)
        return read, (start, end)

    def _decoded(self, start: int, end: int, first: int, last: int) -> Frames:
        """Return the frames of a compressed recording, without those before and after its part."""
        data = bytes(self.stored[start:end])
        if self.decode is None or not data.startswith(OGG_HEAD):
            raise refusal(self.path, "a recording in it is damaged")
        try:
            frames = self.decode(data, LONGEST)
        except ValueError:
            raise refusal(self.path, "a recording in it is damaged") from None
        return frames[max(0, first) : len(frames) + min(0, last)]


_PARTS = ("start", "end", "loop start", "loop end")


def _moved(shape: dict[str, int], part: str) -> int:
    """Return by how many frames an instrument moves a part of its recording."""
    return shape[part] + 32768 * shape[f"{part} far"]


def _limits(held: int) -> tuple[int, int]:
    """Return the ends of a range, which is written as two bytes."""
    return held & 0xFF, held >> 8 & 0xFF


def _both(one: int, other: int) -> tuple[int, int]:
    """Return what two ranges have in common."""
    (low, high), (lower, higher) = _limits(one), _limits(other)
    return max(low, lower), min(high, higher)


def _answers(zone: Zone, key: int, loudness: int) -> bool:
    """Tell whether a zone answers to a key played that loud."""
    (low, high), (soft, loud) = _limits(zone.get(KEYS, EVERY)), _limits(zone.get(LOUDNESS, EVERY))
    return low <= key <= high and soft <= loudness <= loud


def open_soundfont(path: str | Path | None = None, decode: Decode | None = None) -> SoundFont:
    """Return a SoundFont; without a path the one that comes with the library pretty_midi.

    ``decode`` makes frames of a compressed recording, or raises ``ValueError``; without it a file
    that holds some is refused. A file that was opened before is not read again unless it has
    changed.
    """
    chosen = _built_in() if path is None else Path(path).expanduser()
    try:
        changed = chosen.stat().st_mtime_ns
    except (OSError, ValueError):
        raise refusal(chosen, "there is no such file, or it cannot be read") from None
    return _open(chosen, changed, decode)


@lru_cache(maxsize=4)
def _open(path: Path, changed: int, decode: Decode | None) -> SoundFont:
    """Open a file as it was at a time."""
    return SoundFont(path, decode)


@lru_cache(maxsize=1)
def _built_in() -> Path:
    """Return where the built-in SoundFont lies; the library that carries it is not imported."""
    package, name = BUILT_IN
    spec = find_spec(package)
    if spec is None or not spec.submodule_search_locations:
        raise TheoryError(
            f"no SoundFont to play with: the library {package} is not installed "
            "(want: pip install 'theorykit[workbook]', or a file .sf2 or .sf3 of your own)"
        )
    return Path(spec.submodule_search_locations[0]) / name
