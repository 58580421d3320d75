"""The phrases of a book as files for other programs, and back: a MusicXML or MIDI file each."""

from __future__ import annotations

import re
from collections.abc import Iterable
from os import PathLike, fspath
from pathlib import Path

from theorykit.errors import TheoryError, shown
from theorykit.show.files import open_line, save_line
from theorykit.study.phrase import Phrase
from theorykit.study.phrasebook import PhraseBook

__all__ = ["export_phrases", "import_phrases"]

LONGEST = 80  # characters of a file's name
_ODD = re.compile(r"[^\w .()'-]+")


def export_phrases(
    book: PhraseBook,
    folder: str | PathLike[str],
    *,
    kind: str = ".musicxml",
    names: Iterable[str] | None = None,
    replace: bool = False,
) -> tuple[Path, ...]:
    """Write phrases of a book into a folder, one file each; return the paths.

    ``kind`` is an ending of ``show.files.KINDS_OF_FILE``; ``names`` are the phrases, all unless
    given. A file that is there is not overwritten unless ``replace`` is true.
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
    """Return a name that every file system takes."""
    return _ODD.sub("_", name).strip(" .")[:LONGEST] or "phrase"


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
