"""Stored pictures: a chapter with what its cells show, to be seen before any Python has started."""

from __future__ import annotations

import json
import os
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from theorykit.pages.chapter_page import shown_html
from theorykit.pages.running import Cell, Instead, run_chapter
from theorykit.show.own_reader import own_files_in
from theorykit.show.sound import small_players

__all__ = ["set_apart", "stored_chapter"]

_WORDS = '<p style="font-size:90%;color:var(--jp-ui-font-color2,inherit)">{}</p>'
TO_HEAR = _WORDS.format("Here is a sound, once this page has been run.")
TO_ANSWER = _WORDS.format("Here are questions, once this page has been run.")
INSTEAD: Instead = dict.fromkeys(
    ("drill", "ear_training", "i_play", "journal", "class_answers", "work_file"),
    lambda _: TO_ANSWER,
)


def stored_chapter(file: Path) -> str:
    """Return a notebook as text, with what each of its cells shows when it is run here.

    Sounds are left out, and nobody's own files are met. A page that shows it may trust it.
    """
    file = file.resolve()
    book = json.loads(file.read_text(encoding="utf-8"))
    with set_apart(file.parent), small_players(words=TO_HEAR):
        for cell, seen in zip(book["cells"], run_chapter(file, INSTEAD), strict=True):
            if cell["cell_type"] == "code":
                cell["outputs"] = list(_outputs(seen))
                cell["metadata"]["trusted"] = True
    return json.dumps(book, ensure_ascii=False, separators=(",", ":"))


def _outputs(cell: Cell) -> Iterator[dict[str, Any]]:
    """Yield what a cell printed, and what it ended in."""
    if cell.printed:
        yield {"output_type": "stream", "name": "stdout", "text": cell.printed}
    html = cell.instead or shown_html(cell.value)
    if html:
        data = {"text/html": html, "text/plain": ""}
        yield {"output_type": "display_data", "data": data, "metadata": {}}


@contextmanager
def set_apart(folder: Path) -> Iterator[None]:
    """Work in the folder of the chapters, with own files that are nobody's."""
    before = Path.cwd()
    with TemporaryDirectory() as own, own_files_in(Path(own)):
        os.chdir(folder)
        try:
            yield
        finally:
            os.chdir(before)
