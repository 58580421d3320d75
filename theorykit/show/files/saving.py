"""Files that a reader asks for: at the path that was typed, whole or not at all."""

from __future__ import annotations

import os
from contextlib import suppress
from pathlib import Path

from theorykit.errors import TheoryError, shown


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
    except RuntimeError as wrong:  # no such user
        raise TheoryError(f"not a path: {shown(path)} ({wrong})") from None
    if not file.name:
        raise TheoryError(f"a folder, no file: {shown(path)} (want one such as lines/turn{ending})")
    return file if file.suffix else file.with_name(file.name + ending)


def write_file(file: Path, data: bytes, *, replace: bool = False) -> None:
    """Write a file; one that is there is left as it is unless ``replace`` is true.

    The content is written beside its place and moved, so that no half of it is ever there.
    """
    beside = file.with_name(f".{file.name}.{os.getpid()}.part")
    try:
        beside.write_bytes(data)
        if not replace:
            file.open("xb").close()  # takes the name, or finds it taken
        os.replace(beside, file)
    except FileExistsError:
        raise TheoryError(
            f"there is a file {shown(str(file))} already; it was left as it is "
            "(want another name, or leave to replace it)"
        ) from None
    except OSError as wrong:
        raise TheoryError(f"cannot write {shown(str(file))}: {wrong.strerror}") from None
    finally:
        with suppress(OSError):
            beside.unlink()
