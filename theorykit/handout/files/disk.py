"""Files on the disk: inside their folder, whole or not there."""

from __future__ import annotations

import os
import re
import time
from collections.abc import Iterable
from contextlib import suppress
from pathlib import Path
from threading import get_ident

from theorykit.errors import TheoryError, shown

LEFT = 3600  # seconds after which part of a file belongs to nobody
MOST_TOLD = 4  # files that a message names

_PART = re.compile(r"\.\d+\.\d+\.part")


def check_inside(folder: Path, names: Iterable[str]) -> None:
    """Refuse names that would lead out of the folder, through a link that lies in it."""
    home = folder.resolve()
    for name in names:
        if not (folder / name).parent.resolve().is_relative_to(home):
            raise TheoryError(
                f"{shown(name)} would lie outside {shown(str(folder))} (want a folder without "
                "links that lead out of it)"
            )


def check_free(folder: Path, names: Iterable[str]) -> None:
    """Refuse to write where files lie already, and name some of them."""
    taken = [name for name in names if (folder / name).exists()]
    if taken:
        more = f" and {len(taken) - MOST_TOLD} more" if len(taken) > MOST_TOLD else ""
        named = ", ".join(taken[:MOST_TOLD])
        raise TheoryError(
            f"files are there already in {shown(str(folder))}: {named}{more} "
            "(want an empty folder, or overwrite=True)"
        )


def sweep(folder: Path) -> None:
    """Take away what a process that was killed has left: parts of files, an hour old or older."""
    for part in folder.rglob(".*.part"):
        if _PART.fullmatch(part.name) and time.time() - part.stat().st_mtime > LEFT:
            part.unlink()


def write_whole(file: Path, data: bytes, *, overwrite: bool = False) -> None:
    """Write a file so that it is whole or not there, whatever happens meanwhile.

    It is written beside its place under a hidden name, one of its own for each thread, and then
    moved there at once.
    """
    mine = abs(hash((file.name, get_ident()))) % 10**8
    beside = file.with_name(f".{os.getpid()}.{mine}.part")
    try:
        file.parent.mkdir(parents=True, exist_ok=True)
        with beside.open("wb") as opened:
            opened.write(data)
            opened.flush()
            os.fsync(opened.fileno())
        if file.exists() and not overwrite:
            raise TheoryError(f"there is a file {shown(str(file))} already (want overwrite=True)")
        os.replace(beside, file)
    except OSError as error:
        raise TheoryError(
            f"cannot write {shown(str(file))}: {error.strerror or error} (want a folder with room "
            "that may be written to)"
        ) from None
    finally:
        with suppress(OSError):
            beside.unlink(missing_ok=True)
