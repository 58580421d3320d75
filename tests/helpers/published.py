"""A small workbook to publish: one chapter as it is, the others reduced to their title and end."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

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
    return books
