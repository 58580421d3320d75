"""The command line: ``theorykit thursday`` opens the desks, ``theorykit pages`` publishes."""

from __future__ import annotations

import argparse
import subprocess
import sys
from collections.abc import Sequence
from importlib.util import find_spec
from pathlib import Path

BOOK = "thursday.ipynb"
NEEDED = 'theorykit {0} needs what the workbook needs: install "theorykit[workbook]" ({1})'
NO_BOOK = (
    "no page {0} in {1} (want the folder of the workbook: theorykit thursday --workbook FOLDER; "
    "it comes with the source of theorykit, not with the package alone)"
)


def main(arguments: Sequence[str] | None = None) -> int:
    """Do what the command line asks and return its exit code.

    >>> main(["thursday", "--workbook", "no such folder"])
    1
    """
    given = list(sys.argv[1:] if arguments is None else arguments)
    return _thursday(given[1:]) if given[:1] == ["thursday"] else _pages(given)


def _pages(given: Sequence[str]) -> int:
    """Publish the chapters, or say what is missing for it."""
    try:
        from theorykit.pages import main as publish
    except ModuleNotFoundError as missing:
        return _refused(NEEDED.format("pages", missing))
    return publish(given)


def _thursday(given: Sequence[str]) -> int:
    """Open the desks of the week in JupyterLab, until it is closed."""
    parser = argparse.ArgumentParser("theorykit thursday", description="Open the week's desks.")
    parser.add_argument("--workbook", metavar="FOLDER", help="where the page is")
    book = _book(parser.parse_args(given).workbook)
    if not book.is_file():
        return _refused(NO_BOOK.format(book.name, book.parent))
    if find_spec("jupyterlab") is None:
        return _refused(NEEDED.format("thursday", "jupyterlab is not there"))
    command = [sys.executable, "-m", "jupyterlab", "--allow-root", book.name]
    try:
        return subprocess.run(command, cwd=book.parent, check=False).returncode
    except KeyboardInterrupt:  # the way to close it
        return 0


def _book(folder: str | None) -> Path:
    """Return the page in a folder: the one that is named, the current one, or beside the library.

    >>> _book("lessons").as_posix()
    'lessons/thursday.ipynb'
    """
    beside = Path(__file__).resolve().parents[1] / "workbook"
    places = [Path(folder)] if folder else [Path("workbook"), Path(), beside]
    found = [place / BOOK for place in places]
    return next((book for book in found if book.is_file()), found[-1])


def _refused(words: str) -> int:
    """Say why nothing is done, and return the exit code of that."""
    print(words, file=sys.stderr)
    return 1


if __name__ == "__main__":
    raise SystemExit(main())
