"""Offline: the list of the site's files, and the worker that keeps them in the reader's browser."""

from __future__ import annotations

import json
from hashlib import sha256
from pathlib import Path

PAGE = Path(__file__).with_name("page")
WORKER, DRIVE = "service-worker.js", "drive-worker.js"
ASKED_AS = f"{WORKER}?enableCache=false"  # as the application asks for it
WHOLE = "whole.json"  # there is no such file: a browser notes under this name that it has all
LARGE = 20_000_000  # bytes of a file that comes when it is asked for, and is kept then
LEFT_NAMES = ("rspack.config", "package.json", "jupyterlite.schema", WORKER, DRIVE)
LEFT_ENDINGS = (".map", ".LICENSE.txt", "third-party-licenses.json")


def lay_worker(home: Path) -> None:
    """Put our worker in the place of the application's, which it asks for all that is not a file.

    It is the last step: it lists what is there.
    """
    (home / WORKER).rename(home / DRIVE)
    files = [file for file in sorted(home.rglob("*")) if _is_kept(file)]
    first = [_name(file, home) for file in files if file.stat().st_size <= LARGE]
    later = [_name(file, home) for file in files if file.stat().st_size > LARGE]
    told = {"build": _sum(files, home), "first": first, "later": later}
    (home / WORKER).write_text(
        f"const SITE = {json.dumps(told)};\n{_names(WHOLE=WHOLE, DRIVE=DRIVE)}"
        f"{(PAGE / 'offline.js').read_text(encoding='utf-8')}",
        encoding="utf-8",
    )


def front_script() -> str:
    """Return the script of the front page, with which the worker begins.

    >>> "whole.json" in front_script()
    True
    """
    names = _names(WHOLE=WHOLE, WORKER=ASKED_AS)
    return f"{names}{(PAGE / 'front.js').read_text(encoding='utf-8')}"


def _names(**values: str) -> str:
    """Return values as constants of a script."""
    return "".join(f"const {name} = {json.dumps(value)};\n" for name, value in values.items())


def _is_kept(file: Path) -> bool:
    """Tell whether a page of the site may ask for a file."""
    left = file.name.startswith(LEFT_NAMES) or file.name.endswith(LEFT_ENDINGS)
    return file.is_file() and not left


def _name(file: Path, home: Path) -> str:
    """Return what a file is called inside the site."""
    return file.relative_to(home).as_posix()


def _sum(files: list[Path], home: Path) -> str:
    """Return a sum of all files: another one for another build."""
    found = sha256()
    for file in files:
        found.update(_name(file, home).encode())
        found.update(file.read_bytes())
    return found.hexdigest()[:16]
