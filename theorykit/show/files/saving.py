"""Files that a reader asks for: at the path that was typed, whole or not at all."""

from __future__ import annotations

import os
import re
import stat
import time
from contextlib import suppress
from pathlib import Path
from threading import get_ident

from theorykit.errors import TheoryError, shown

OWN_FILE, OWN_FOLDER = 0o600, 0o700  # for their owner alone
LEFT = 3600  # seconds after which part of a file belongs to nobody
_PART = re.compile(r"\.\d+\.\d+\.part")


def file_at(path: str, ending: str = "") -> Path:
    """Return the file that a reader names, with an ending if it has none; ``~`` is the home.

    >>> file_at("lines/turn", ".mid").name, file_at(" turn.midi ", ".mid").name
    ('turn.mid', 'turn.midi')
    """
    text = path.strip()
    if not text or "\0" in text:
        raise TheoryError(f"not a path: {shown(path)} (want one such as lines/turn{ending})")
    try:
        file = Path(text).expanduser()
    except (RuntimeError, UnicodeError) as wrong:  # no such user, or no name that one can have
        raise TheoryError(f"not a path: {shown(path)} ({wrong})") from None
    if not file.name:
        raise TheoryError(f"a folder, no file: {shown(path)} (want one such as lines/turn{ending})")
    return file if file.suffix else file.with_name(file.name + ending)


def write_file(file: Path, data: bytes, *, replace: bool = False) -> None:
    """Write a file; one that is there is left as it is unless ``replace`` is true.

    Whatever happens meanwhile, there is the old file or the new one, and never part of one.
    """
    try:
        put_whole(file, data, replace=replace)
    except FileExistsError:
        raise TheoryError(
            f"there is a file {shown(str(file))} already; it was left as it is "
            "(want another name, or replace=True, which is a tick on a page)"
        ) from None
    except OSError as wrong:
        raise TheoryError(f"cannot write {shown(str(file))}: {wrong.strerror}") from None


def put_whole(file: Path, data: bytes, *, replace: bool, own: bool = False) -> None:
    """Put a whole file in its place, or raise an ``OSError`` and leave what is there.

    It is written beside its place under a hidden name, one of its own for each thread, brought to
    the disk and then moved. One that is replaced keeps its mode; a new one that is ``own`` can be
    read by its owner alone.
    """
    mine = abs(hash((file.name, get_ident()))) % 10**8
    beside = file.with_name(f".{os.getpid()}.{mine}.part")
    _sweep_beside(file)
    try:
        _write(beside, data, _mode_of(file, own))
        if replace:
            os.replace(beside, file)
        else:
            _move_where_free(beside, file)
        _keep_folder(file.parent)
    finally:
        with suppress(OSError):
            beside.unlink()


def _write(beside: Path, data: bytes, mode: int | None) -> None:
    """Write a hidden file and bring it to the disk; ``mode`` is that of the file it becomes."""
    first = 0o666 if mode is None else OWN_FILE  # nobody else reads it before it has its mode
    with open(os.open(beside, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, first), "wb") as opened:
        opened.write(data)
        opened.flush()
        os.fsync(opened.fileno())
    if mode is not None:
        beside.chmod(mode)


def _mode_of(file: Path, own: bool) -> int | None:
    """Return the mode that a file shall have, None for the usual one."""
    try:
        return stat.S_IMODE(file.stat().st_mode)
    except OSError:
        return OWN_FILE if own else None


def _move_where_free(beside: Path, file: Path) -> None:
    """Give a written file its name, unless another one has it."""
    try:
        os.link(beside, file)  # takes the name with all that is in it, or finds it taken
    except FileExistsError:
        raise
    except OSError:  # a disk without second names
        if file.exists():
            raise FileExistsError from None
        os.replace(beside, file)


def _keep_folder(folder: Path) -> None:
    """Bring the new name to the disk as well, where folders can be."""
    with suppress(OSError):
        opened = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(opened)
        finally:
            os.close(opened)


def make_own_folder(folder: Path) -> None:
    """Make a folder for its owner alone; one that is there keeps its mode."""
    folder.mkdir(mode=OWN_FOLDER, parents=True, exist_ok=True)


def sweep(folder: Path) -> None:
    """Take away what a process that was killed has left: parts of files, an hour old or older."""
    for part in folder.rglob(".*.part"):
        _take_away(part)


def _sweep_beside(file: Path) -> None:
    """Take away what was left beside a file, there and in no other folder."""
    with suppress(OSError):
        for part in file.parent.glob(".*.part"):
            _take_away(part)


def _take_away(part: Path) -> None:
    """Take away part of a file that belongs to nobody any more."""
    with suppress(OSError):
        if _PART.fullmatch(part.name) and time.time() - part.stat().st_mtime > LEFT:
            part.unlink()
