"""The place of the reader's works: the folder that was chosen for them, and the turn at it."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager
from pathlib import Path
from threading import RLock

from theorykit.errors import TheoryError, shown
from theorykit.show.files import file_at, make_own_folder, put_whole
from theorykit.show.own_reader import own_folder

__all__ = ["keep_work_folder", "turn_at_works", "work_folder"]

KEPT, LONGEST_PATH = "works.txt", 4000  # the file that says which folder it is, and its bytes
TURN, PATIENCE = "works.turn", 10.0  # the file of the lock, and seconds to wait for it
_ONE_AT_A_TIME = RLock()


def work_folder() -> Path | None:
    """Return the folder that was kept as that of the reader's works, or nothing.

    >>> work_folder() is None
    True
    """
    try:
        with (own_folder() / KEPT).open("rb") as file:
            text = file.read(LONGEST_PATH).decode("utf-8").strip()
    except (OSError, UnicodeDecodeError):
        return None
    return Path(text) if text else None


def keep_work_folder(path: str) -> Path | None:
    """Keep a folder as that of the reader's works, and make it; the empty path is none."""
    folder = file_at(path).absolute() if path.strip() else None
    try:
        if folder is not None:
            folder.mkdir(parents=True, exist_ok=True)
        make_own_folder(own_folder())
        put_whole(own_folder() / KEPT, f"{folder or ''}\n".encode(), replace=True, own=True)
    except OSError as wrong:
        raise TheoryError(
            f"cannot use {shown(path)} as a folder: {wrong.strerror} (want another one)"
        ) from None
    return folder


@contextmanager
def turn_at_works() -> Iterator[None]:
    """Wait until no thread and no other notebook is at the folder; a killed one waits for nobody.

    SQLite's lock is the one lock of the standard library that every system has. The file is empty.
    """
    make_own_folder(own_folder())
    turn = own_folder() / TURN
    with _ONE_AT_A_TIME, closing(sqlite3.connect(turn, timeout=PATIENCE)) as lock:
        lock.isolation_level = None
        try:
            lock.execute("BEGIN EXCLUSIVE")
        except sqlite3.Error as wrong:
            raise TheoryError(
                f"another notebook is at the folder of your works ({wrong})"
            ) from None
        yield
