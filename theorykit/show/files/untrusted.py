"""Files from outside, looked over before any library reads them.

A file may be huge, cut off, packed to unfold into something huge, or written to make its reader
fetch other files. What is let through is small, whole, and refers to nothing outside itself.
Sources: MusicXML 4.0 (container format), MIDI 1.0 (Standard MIDI Files: chunks and their lengths).
"""

from __future__ import annotations

import zipfile
import zlib
from dataclasses import dataclass
from io import BytesIO
from os import PathLike, fspath
from pathlib import Path, PurePosixPath
from typing import Any
from xml.etree import ElementTree
from xml.etree.ElementTree import Element
from xml.parsers import expat

from theorykit.errors import TheoryError, shown

LARGEST_FILE = 10_000_000  # bytes
LARGEST_SCORE = 20_000_000  # bytes of MusicXML, unpacked
LARGEST_MIDI = 160_000  # bytes: some 20,000 notes, two seconds of reading
LARGEST_CONTAINER = 64_000  # bytes of the page that says where the score is in its zip
MOST_MEMBERS = 200  # files in a zip
MOST_ELEMENTS, DEEPEST = 300_000, 64  # of MusicXML
MOST_ATTRIBUTES = 100  # of one element
CHUNK = 8  # bytes: the name of a MIDI chunk and its length
_ZIP_FAULTS = (
    zipfile.BadZipFile, zlib.error, EOFError, OSError, RuntimeError, ValueError, KeyError,
)  # fmt: skip
WANT = "want MusicXML (.musicxml, .xml, .mxl) or MIDI (.mid)"


@dataclass(frozen=True, slots=True)
class Score:
    """MusicXML that was looked over: its root element, without any document type."""

    name: str
    root: Element


@dataclass(frozen=True, slots=True)
class Midi:
    """MIDI that was looked over: whole chunks, as many tracks as it says."""

    name: str
    data: bytes


def look_over(path: str | PathLike[str]) -> Score | Midi:
    """Return what a file holds, if it can be trusted to be read."""
    file, data = _read(path)
    if data.startswith(b"MThd"):
        return Midi(file.name, _checked_midi(file.name, data))
    packed = data.startswith(b"PK")
    text = _unpacked(file.name, data) if packed else data
    if not packed and not data.lstrip(b"\xef\xbb\xbf\xff\xfe \t\r\n\x00").startswith(b"<"):
        raise _refusal(file.name, "no music that can be read")
    return Score(file.name, _checked_xml(file.name, text, LARGEST_SCORE))


def _refusal(name: str, what: str) -> TheoryError:
    """Word a refusal."""
    return TheoryError(f"{name} is refused: {what} ({WANT})")


def _read(path: str | PathLike[str]) -> tuple[Path, bytes]:
    """Read a file that is not too large."""
    try:
        file = Path(fspath(path))
        if not file.is_file():
            raise TheoryError(f"no such file: {shown(str(file))} ({WANT})")
        size = file.stat().st_size
        if size > LARGEST_FILE:
            raise _refusal(file.name, f"{size:,} bytes are too many, at most {LARGEST_FILE:,}")
        with file.open("rb") as stream:
            return file, stream.read(LARGEST_FILE)
    except TypeError:
        raise TheoryError(f"not a path: {shown(path)} (want the path of a file)") from None
    except OSError as wrong:
        raise TheoryError(f"cannot read {shown(str(path))}: {wrong.strerror} ({WANT})") from None


def _unpacked(name: str, data: bytes) -> bytes:
    """Return the score inside a compressed file."""
    try:
        with zipfile.ZipFile(BytesIO(data)) as box:
            _check_members(name, box)
            return _member(name, box, _score_inside(name, box), LARGEST_SCORE)
    except TheoryError:
        raise
    except _ZIP_FAULTS as wrong:
        raise _refusal(name, f"its zip cannot be unpacked, {wrong}") from None


def _check_members(name: str, box: zipfile.ZipFile) -> None:
    """Refuse a zip of too many files, or one with paths that lead out of it."""
    if len(box.infolist()) > MOST_MEMBERS:
        raise _refusal(name, f"{len(box.infolist())} files in its zip, at most {MOST_MEMBERS}")
    for member in box.infolist():
        path = PurePosixPath(member.filename)
        odd = path.is_absolute() or ".." in path.parts or "\\" in member.filename
        if odd or ":" in member.filename or "\x00" in member.orig_filename:
            raise _refusal(name, f"its zip has an odd path, {shown(member.filename)}")


def _score_inside(name: str, box: zipfile.ZipFile) -> str:
    """Return the path of the score: where the container says, or the first that looks like one."""
    names = box.namelist()
    if "META-INF/container.xml" in names:
        page = _member(name, box, "META-INF/container.xml", LARGEST_CONTAINER)
        root = _checked_xml(name, page, LARGEST_CONTAINER)
        for element in root.iter():
            path = element.get("full-path", "")
            if element.tag.rpartition("}")[2] == "rootfile" and path in names:
                return path
    scores = [n for n in names if n.endswith((".xml", ".musicxml")) and "META-INF" not in n]
    if not scores:
        raise _refusal(name, "no score in its zip")
    return scores[0]


def _member(name: str, box: zipfile.ZipFile, path: str, most: int) -> bytes:
    """Unpack one file of a zip, as long as it does not swell."""
    with box.open(path) as member:
        data = member.read(most + 1)
    if len(data) > most:
        raise _refusal(name, f"its zip unfolds into more than {most:,} bytes")
    return data


class _Watch:
    """Goes through XML once, keeping nothing, and stops at what is not wanted."""

    def __init__(self, name: str) -> None:
        self.name = name
        self.depth = self.elements = 0

    def go_through(self, text: bytes) -> None:
        """Read all of the text."""
        parser: Any = expat.ParserCreate()
        parser.StartDoctypeDeclHandler = self.doctype
        parser.EntityDeclHandler = self.entity
        parser.StartElementHandler = self.start
        parser.EndElementHandler = self.end
        try:
            parser.Parse(text, True)
        except TheoryError:
            raise
        except (expat.ExpatError, ValueError, LookupError) as wrong:
            raise _refusal(self.name, f"it is no well-formed XML, {wrong}") from None

    def doctype(self, root: str, system: str | None, public: str | None, internal: int) -> None:
        """Refuse a document type that declares anything itself, or points to a file."""
        if internal:
            raise _refusal(self.name, "its document type declares entities or the like of its own")
        if system and not public and "musicxml.org" not in system:
            raise _refusal(self.name, f"its document type points to {shown(system)}")

    def entity(self, *told: object) -> None:
        """Refuse any entity."""
        raise _refusal(self.name, f"it declares an entity, {shown(told[0])}")

    def start(self, tag: str, attributes: dict[str, str]) -> None:
        """Count an element and what it says of itself."""
        if len(attributes) > MOST_ATTRIBUTES:
            raise _refusal(self.name, f"an element with {len(attributes):,} attributes")
        self.depth += 1
        self.elements += 1
        if self.depth > DEEPEST or self.elements > MOST_ELEMENTS:
            raise _refusal(self.name, "its XML is nested too deep or has too many elements")

    def end(self, tag: str) -> None:
        """Leave an element."""
        self.depth -= 1


def _checked_xml(name: str, text: bytes, most: int) -> Element:
    """Return the root of XML that is not too large and declares nothing."""
    if len(text) > most:
        raise _refusal(name, f"{len(text):,} bytes of XML are too many, at most {most:,}")
    _Watch(name).go_through(text)
    return ElementTree.fromstring(text)


def _checked_midi(name: str, data: bytes) -> bytes:
    """Return MIDI whose chunks are whole and whose tracks are all there."""
    if len(data) > LARGEST_MIDI:
        raise _refusal(name, f"{len(data):,} bytes of MIDI are too many, at most {LARGEST_MIDI:,}")
    if len(data) < 14:
        raise _refusal(name, "its MIDI header is cut off")
    length, kind, tracks, division = (
        int.from_bytes(data[a:b]) for a, b in ((4, 8), (8, 10), (10, 12), (12, 14))
    )
    if kind > 1:
        raise _refusal(name, f"its MIDI is of type {kind}, tracks that do not sound together")
    if length < 6 or not tracks or not division or division & 0x8000:
        raise _refusal(name, "its MIDI header counts no beats")
    at, found = CHUNK + length, 0
    while at + CHUNK <= len(data):
        size = int.from_bytes(data[at + 4 : at + CHUNK])
        found += data[at : at + 4] == b"MTrk"
        at += CHUNK + size
    if at > len(data) or found < tracks:
        raise _refusal(name, "its MIDI is cut off before the end")
    return data
