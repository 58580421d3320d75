"""A small workbook to publish, most of it cut short; and where the pages of an edition lead to."""

from __future__ import annotations

import json
import shutil
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from urllib.parse import unquote, urlsplit

import html5lib
from house import ROOT

WHOLE = "03"  # the chapter that is published as it is


def small_workbook(folder: Path) -> Path:
    """Copy the workbook into a folder, all chapters but one cut to their first and last cells."""
    books = folder / "workbook"
    shutil.copytree(ROOT / "workbook", books, ignore=shutil.ignore_patterns(".*"))
    for file in books.glob("[0-9][0-9]_*.ipynb"):
        if not file.name.startswith(WHOLE):
            book = json.loads(file.read_text(encoding="utf-8"))
            book["cells"] = [*book["cells"][:2], *book["cells"][-3:-2], *book["cells"][-1:]]
            file.write_text(json.dumps(book), encoding="utf-8")
    _without_slow_recipes(books / "recipes.ipynb")
    return books


SLOW = ("TemporaryDirectory", "to_music21")  # they write files, or wait for another library


def _without_slow_recipes(file: Path) -> None:
    """Keep the texts of the recipes, and the cells that are run in a moment."""
    book = json.loads(file.read_text(encoding="utf-8"))
    book["cells"] = [
        cell
        for cell in book["cells"]
        if cell["cell_type"] != "code" or not any(word in "".join(cell["source"]) for word in SLOW)
    ]
    file.write_text(json.dumps(book), encoding="utf-8")


POINTING = ("src", "href", "xlink:href", "srcset", "poster", "action", "data")


@cache
def _read(file: Path) -> tuple[frozenset[str], tuple[str, ...]]:
    """The places of a page that have a name, and the addresses that it points to."""
    page = html5lib.parse(file.read_text(encoding="utf-8"), namespaceHTMLElements=False)
    names = {one.get("id") for one in page.iter()} | {one.get("name") for one in page.iter()}
    found = (value for one in page.iter() for name, value in one.items() if name in POINTING)
    refreshed = (one.get("content", "") for one in page.iter("meta") if one.get("http-equiv"))
    onward = (text.partition("url=")[2] for text in refreshed if "url=" in text)
    return frozenset(filter(None, names)), (*found, *onward)


def dead_links(folder: Path) -> Iterator[str]:
    """Yield what the pages of a folder point to and what is not there; what lies outside counts."""
    for file in sorted(folder.rglob("*.html")):
        for address in _read(file)[1]:
            to = urlsplit(address)
            if to.scheme == "data":
                continue
            goal = (file.parent / unquote(to.path)).resolve() if to.path else file
            inside = not to.scheme and not to.netloc and goal.is_relative_to(folder.resolve())
            named = unquote(to.fragment)
            there = inside and goal.is_file() and (not named or named in _read(goal)[0])
            if not there:
                yield f"{file.name}: {address}"
