"""Publishing: every chapter as a page in a folder, with its sounds beside it."""

from __future__ import annotations

import base64
import os
import re
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from hashlib import sha256
from pathlib import Path
from tempfile import TemporaryDirectory

from theorykit.errors import TheoryError, shown
from theorykit.pages.asked import asked_html
from theorykit.pages.chapter_page import NOTHING, chapter_html, contents_html
from theorykit.pages.running import Instead, run_chapter
from theorykit.show.files import write_file
from theorykit.show.own_reader import own_files_in
from theorykit.show.player import PageBand
from theorykit.show.sound import small_players
from theorykit.study.course import CHAPTERS, Chapter

__all__ = ["publish"]

SOUNDS = "sounds"
ENDINGS = {"flac": "flac", "mpeg": "mp3", "ogg": "ogg", "wav": "wav"}
_DATA = re.compile(r'src="data:audio/(flac|mpeg|ogg|wav);base64,([A-Za-z0-9+/=]+)"')
_DESK = f'<p class="small">{NOTHING}</p>'
# What a page has in the place of what asks, keeps or sets something.
INSTEAD: Instead = {
    "drill": lambda wishes: asked_html(wishes) if "chapter" in wishes else _DESK,
    **dict.fromkeys(("ear_training", "i_play", "journal"), lambda _: _DESK),
}


def publish(folder: str | Path, workbook: str | Path) -> Iterator[Path]:
    """Yield the files of a published edition as they are written: a page a chapter, and contents.

    ``folder`` is made if it is not there; pages of an edition that is there are replaced.
    """
    home, books = Path(folder).resolve(), _books(Path(workbook).resolve())
    (home / SOUNDS).mkdir(parents=True, exist_ok=True)
    pages = [book.with_suffix(".html").name for book in books]
    for row, book in zip(CHAPTERS, books, strict=True):
        yield _write(home / pages[row.number], _made(row, book, pages, home))
    yield _write(home / "index.html", contents_html(pages))


def _books(workbook: Path) -> list[Path]:
    """Return the notebooks of the chapters, refusing a folder that lacks one."""
    found = {file.name[:2]: file for file in sorted(workbook.glob("[0-9][0-9]_*.ipynb"))}
    wanted = [f"{row.number:02}" for row in CHAPTERS]
    if missing := [number for number in wanted if number not in found]:
        place = shown(str(workbook))
        raise TheoryError(f"no chapter {missing[0]} in {place} (want the folder of the workbook)")
    return [found[number] for number in wanted]


def _made(row: Chapter, book: Path, pages: Sequence[str], home: Path) -> str:
    """Run a chapter and return its page; its sounds are written beside it."""
    band = PageBand()
    with _set_apart(book.parent), small_players(band.html):
        page = chapter_html(row, run_chapter(book, INSTEAD), pages, band)
    return _DATA.sub(lambda found: f'src="{_sound(found[1], found[2], home)}"', page)


@contextmanager
def _set_apart(folder: Path) -> Iterator[None]:
    """Work in the folder of the chapters, with own files that are nobody's."""
    before = Path.cwd()
    with TemporaryDirectory() as own, own_files_in(Path(own)):
        os.chdir(folder)
        try:
            yield
        finally:
            os.chdir(before)


def _sound(kind: str, data: str, home: Path) -> str:
    """Write a sound once and return its address beside the page."""
    content = base64.b64decode(data)
    name = f"{SOUNDS}/{sha256(content).hexdigest()[:16]}.{ENDINGS[kind]}"
    if not (home / name).exists():
        write_file(home / name, content)
    return name


def _write(file: Path, text: str) -> Path:
    """Write a page and return its file."""
    write_file(file, text.encode("utf-8"), replace=True)
    return file
