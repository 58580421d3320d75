"""Files of lines and phrases: MusicXML, MIDI and text, read and written.

Files from outside are looked over first (``files.untrusted``); what cannot be kept on the way in is
told in the report, not dropped in silence.
"""

from __future__ import annotations

import re
import zipfile
from collections.abc import Iterable
from io import BytesIO
from os import PathLike, fspath
from pathlib import Path
from typing import Any

from theorykit.errors import TheoryError, shown
from theorykit.lines.band import written_swing
from theorykit.lines.text import Line
from theorykit.notes.reader import READERS, Reader
from theorykit.show.engraving import musicxml
from theorykit.show.files.line_file import LineFile, writable
from theorykit.show.files.midi_in import line_of_midi
from theorykit.show.files.midi_out import line_midi
from theorykit.show.files.saving import write_file
from theorykit.show.files.score_file import line_of_score
from theorykit.show.files.untrusted import Score, look_over
from theorykit.study.phrase import Phrase
from theorykit.study.phrasebook import PhraseBook
from theorykit.tunes.progression import Progression
from theorykit.views.staves import staff_of_line

KINDS_OF_FILE = (".musicxml", ".xml", ".mxl", ".mid", ".midi", ".txt")
CONTAINER = (
    '<?xml version="1.0" encoding="UTF-8"?>\n'
    "<container><rootfiles>"
    '<rootfile full-path="line.musicxml" media-type="application/vnd.recordare.musicxml+xml"/>'
    "</rootfiles></container>\n"
)
STAMP = (1980, 1, 1, 0, 0, 0)  # the same line gives the same bytes


def open_line(
    path: str | PathLike[str],
    *,
    over: Progression | None = None,
    part: str | int | None = None,
) -> LineFile:
    """Return the melody of a file as a line with a report of what was done to read it.

    What kind of file it is, its first bytes say. ``over`` is the progression to set the line over,
    in place of the chord symbols of the file; ``part`` names the part to take, or counts it from 1.

    >>> from tempfile import TemporaryDirectory
    >>> from theorykit.tunes.progression import two_five_one
    >>> line = Line.parse("8th F4 A4 C5 E5 D5 B4 Ab4 F4 | whole E4", two_five_one("C", "short"))
    >>> with TemporaryDirectory() as folder:
    ...     found = open_line(save_line(line, f"{folder}/turn.mxl"))
    >>> found.line == line, found.report
    (True, ())
    """
    found = look_over(path)
    if isinstance(found, Score):
        return line_of_score(found, over=over, part=part)
    return line_of_midi(found, over=over, part=part)


def line_bytes(
    line: Line, kind: str, *, reader: Reader = READERS[0], title: str = "", **wishes: Any
) -> bytes:
    """Return a line as the content of a file of a kind, one of ``KINDS_OF_FILE``.

    ``reader`` is for whom the MusicXML is written, ``title`` what it is called; the wishes are
    those of ``midi_out.line_midi``, of which MusicXML has ``tempo`` and ``ratio``.
    """
    if kind not in KINDS_OF_FILE:
        raise TheoryError(f"no such kind of file: {shown(kind)} (want {', '.join(KINDS_OF_FILE)})")
    if kind == ".txt":
        return f"{line.text}\n".encode()
    if kind in (".mid", ".midi"):
        return line_midi(line, **wishes)
    staff = writable(staff_of_line(line, reader=reader))
    tempo = wishes.get("tempo")
    swing = None if tempo is None else written_swing(tempo, wishes.get("ratio"))
    text = musicxml(staff, title=title, tempo=tempo, swing=swing).encode()
    return packed_xml(text) if kind == ".mxl" else text


def packed_xml(text: bytes) -> bytes:
    """Return MusicXML in its zip, the container page first.

    >>> packed_xml(b"<score-partwise/>")[:2]
    b'PK'
    """
    box = BytesIO()
    with zipfile.ZipFile(box, "w", zipfile.ZIP_DEFLATED) as packed:
        for name, data in (
            ("META-INF/container.xml", CONTAINER.encode()),
            ("line.musicxml", text),
        ):
            packed.writestr(zipfile.ZipInfo(name, STAMP), data, zipfile.ZIP_DEFLATED)
    return box.getvalue()


def save_line(
    line: Line,
    path: str | PathLike[str],
    *,
    replace: bool = False,
    reader: Reader = READERS[0],
    **wishes: Any,
) -> Path:
    """Write a line to a file whose ending says the kind; return its path.

    A file that is there is not overwritten unless ``replace`` is true. The file is whole or it is
    not there: it is written beside its place and moved.
    """
    file = Path(fspath(path))
    write_file(
        file, line_bytes(line, file.suffix.lower(), reader=reader, **wishes), replace=replace
    )
    return file


# === Phrases of a book ===

LONGEST = 80  # characters of a file's name
_ODD = re.compile(r"[^\w .()'-]+")
_DEVICE = re.compile(r"^(con|prn|aux|nul|com\d|lpt\d)\s*(\.|$)", re.IGNORECASE)


def export_phrases(
    book: PhraseBook,
    folder: str | PathLike[str],
    *,
    kind: str = ".musicxml",
    names: Iterable[str] | None = None,
    replace: bool = False,
) -> tuple[Path, ...]:
    """Write phrases of a book into a folder, one file each; return the paths.

    ``kind`` is an ending of ``KINDS_OF_FILE``; ``names`` are the phrases, all unless given.
    A file that is there is not overwritten unless ``replace`` is true.
    """
    place = Path(fspath(folder))
    if not place.is_dir():
        raise TheoryError(f"no such folder: {shown(str(place))} (want one that exists)")
    found = book.find() if names is None else tuple(map(book.phrase, names))
    taken: set[str] = set()
    paths = [place / f"{_free(_file_name(phrase.name), taken)}{kind}" for phrase in found]
    for path in paths:
        if path.exists() and not replace:
            raise TheoryError(f"there is a file {shown(str(path))} already (want replace=True)")
    return tuple(
        save_line(phrase.line, path, replace=replace)
        for phrase, path in zip(found, paths, strict=True)
    )


def _file_name(name: str) -> str:
    """Return a name that every file system takes; Windows keeps some names for devices."""
    stem = _ODD.sub("_", name)[:LONGEST].strip(" .") or "phrase"
    return _DEVICE.sub(r"\1 phrase\2", stem)


def _free(name: str, taken: set[str]) -> str:
    """Return a name that no other file of this export has, capitals or not."""
    found, number = name, 2
    while found.lower() in taken:
        found, number = f"{name} ({number})", number + 1
    taken.add(found.lower())
    return found


def import_phrases(
    book: PhraseBook, paths: Iterable[str | PathLike[str]], *, tags: Iterable[str] = ()
) -> tuple[tuple[Phrase, ...], tuple[str, ...]]:
    """Keep the melodies of files as phrases, each under its file's name.

    Returned are the phrases and a report: what was chosen, moved or left out, and which files could
    not be read. A name that is taken gets a number.
    """
    kept, told = [], []
    taken = {name.lower() for name in book.names}
    for path in paths:
        stem = Path(fspath(path)).stem
        try:
            found = open_line(path)
            name = _free(" ".join(stem.split()) or "phrase", taken)
            kept.append(book.keep(name, found.line, tags=tags))
        except TheoryError as wrong:
            told.append(str(wrong))
            continue
        told += [f"{stem}: {words}" for words in found.report]
    return tuple(kept), tuple(told)
