"""Entry: whether everybody may enter the folders that a class lives from."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

EVERYBODY_ENTERS = 0o001


def closed_folder(places: Iterable[str | Path]) -> Path | None:
    """Return the outermost folder on the way to a place that not everybody enters, or None.

    >>> closed_folder(["/"])
    """
    for place in places:
        whole = Path(place).resolve()
        for one in (*reversed(whole.parents), whole):
            if one.is_dir() and not one.stat().st_mode & EVERYBODY_ENTERS:
                return one
    return None
