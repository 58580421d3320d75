"""Chapters with what their cells show: to be seen before any Python has started."""

from __future__ import annotations

import json
import re
from pathlib import Path

import nbformat
import pytest
from house import ROOT
from sweeps import swept

from theorykit import TheoryError
from theorykit.pages import stored_chapter
from theorykit.show.own_reader import keep_reader, own_files_in

_NUMBERS = re.compile(r"p[0-9a-f]{8,}")  # of the parts of pictures, new ones each time
BOOKS = sorted((ROOT / "workbook").glob("*.ipynb"))


@pytest.mark.parametrize(
    "book", swept(BOOKS, lambda book: book.name.startswith("01")), ids=lambda book: book.stem
)
def test_a_chapter_keeps_its_cells_and_shows_what_they_show(book: Path):
    stored = json.loads(stored_chapter(book))
    nbformat.validate(stored)
    cells = json.loads(book.read_text(encoding="utf-8"))["cells"]
    assert ["".join(one["source"]) for one in stored["cells"]] == [
        "".join(one["source"]) for one in cells
    ]
    shown = [one for one in stored["cells"] if one.get("outputs")]
    text = json.dumps(shown)
    assert shown
    assert all(one["metadata"]["trusted"] for one in shown)
    assert "data:audio" not in text
    assert re.search(r"https?://(?!www\.w3\.org)", text) is None  # nothing comes from elsewhere


def test_the_first_chapter_has_its_staves_and_says_how_to_hear_them():
    text = stored_chapter(ROOT / "workbook" / "01_motion_over_the_five.ipynb")
    assert text.count('class=\\"measure\\"') >= 9  # three staves of three bars at least
    assert "Here is a sound, once this page has been run." in text


def test_nobodys_own_files_are_met(tmp_path: Path):
    book = ROOT / "workbook" / "00_start_here.ipynb"
    before = _NUMBERS.sub("", stored_chapter(book))
    with own_files_in(tmp_path / "own"):
        keep_reader("trumpet")
        assert _NUMBERS.sub("", stored_chapter(book)) == before


def test_a_chapter_that_fails_is_told_with_its_place(tmp_path: Path):
    code = {"cell_type": "code", "id": "a", "metadata": {}, "outputs": [], "source": ["1 / 0"]}
    book = tmp_path / "lost.ipynb"
    book.write_text(json.dumps({"cells": [code], "metadata": {}, "nbformat": 4}))
    with pytest.raises(TheoryError, match="cell 0: ZeroDivisionError"):
        stored_chapter(book)
