"""Publishing: chapters, recipes and reference as pages in a folder, with their sounds beside."""

from __future__ import annotations

import base64
import re
from collections.abc import Callable, Iterable, Iterator, Sequence
from functools import partial
from hashlib import sha256
from pathlib import Path

from theorykit.errors import TheoryError, shown
from theorykit.pages.asked import asked_html
from theorykit.pages.chapter_page import (
    NOTHING,
    RECIPES,
    REFERENCE,
    chapter_html,
    contents_html,
    recipes_html,
)
from theorykit.pages.reference import reference_pages
from theorykit.pages.running import Cell, Instead, run_chapter
from theorykit.pages.stored_pictures import set_apart
from theorykit.show.files import write_file
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
    """Yield the files of a published edition as they are written.

    They are a page a chapter, the recipes, the reference and the contents. ``folder`` is made if it
    is not there; pages of an edition that is there are replaced.
    """
    home, source = Path(folder).resolve(), Path(workbook).resolve()
    books, recipes = _books(source), _recipes(source)
    (home / SOUNDS).mkdir(parents=True, exist_ok=True)
    pages = [book.with_suffix(".html").name for book in books]
    for row, book in zip(CHAPTERS, books, strict=True):
        text = _made(book, home, partial(_chapter, row, pages))
        yield _write(home / pages[row.number], text)
    yield _write(home / RECIPES, _made(recipes, home, recipes_html))
    yield from reference_pages(home / Path(REFERENCE).parent)
    yield _write(home / "index.html", contents_html(pages))


def _books(workbook: Path) -> list[Path]:
    """Return the notebooks of the chapters, refusing a folder that lacks one."""
    found = {file.name[:2]: file for file in sorted(workbook.glob("[0-9][0-9]_*.ipynb"))}
    wanted = [f"{row.number:02}" for row in CHAPTERS]
    if missing := [number for number in wanted if number not in found]:
        place = shown(str(workbook))
        raise TheoryError(f"no chapter {missing[0]} in {place} (want the folder of the workbook)")
    return [found[number] for number in wanted]


def _chapter(row: Chapter, pages: Sequence[str], cells: Iterable[Cell], band: PageBand) -> str:
    """Return the page of a chapter that has been run."""
    return chapter_html(row, cells, pages, band)


def _recipes(workbook: Path) -> Path:
    """Return the notebook of the recipes, refusing a folder that lacks it."""
    file = workbook / Path(RECIPES).with_suffix(".ipynb")
    if not file.is_file():
        place = shown(str(workbook))
        raise TheoryError(f"no {file.name} in {place} (want the folder of the workbook)")
    return file


def _made(book: Path, home: Path, page: Callable[[Iterable[Cell], PageBand], str]) -> str:
    """Run a notebook and return its page; its sounds are written beside it."""
    band = PageBand()
    with set_apart(book.parent), small_players(band.html):
        text = page(run_chapter(book, INSTEAD), band)
    return _DATA.sub(lambda found: f'src="{_sound(found[1], found[2], home)}"', text)


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
