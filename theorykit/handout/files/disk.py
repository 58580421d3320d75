"""Files on the disk: inside their folder, whole or not there."""

from __future__ import annotations

import os
from collections.abc import Iterable
from pathlib import Path

from theorykit.errors import TheoryError, shown
from theorykit.show.files import make_own_folder, put_whole

MOST_TOLD = 4  # files that a message names


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


def write_whole(file: Path, data: bytes, *, overwrite: bool = False, own: bool = False) -> None:
    """Write a file so that it is whole or not there, whatever happens meanwhile.

    Its folder is made where there is none. ``own`` files, and a folder that is made for one, are
    for their owner alone; a mode that a file has already stays.
    """
    try:
        _make_folder(file.parent, own=own)
        if file.exists() and not overwrite:
            raise TheoryError(f"there is a file {shown(str(file))} already (want overwrite=True)")
        put_whole(file, data, replace=overwrite, own=own)
    except OSError as error:
        raise TheoryError(
            f"cannot write {shown(str(file))}: {error.strerror or error} (want a folder with room "
            "that may be written to)"
        ) from None


def _make_folder(folder: Path, *, own: bool) -> None:
    """Make a folder where there is none."""
    if own:
        make_own_folder(folder)
    else:
        os.makedirs(folder, exist_ok=True)
