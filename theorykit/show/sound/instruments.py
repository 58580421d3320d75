"""Instruments: which SoundFont plays, the reader's own, one of the system, or the built-in one.

The reader's own is one setting on disk, the path of a file. Without it the usual folders are looked
through for a large free SoundFont with the sounds of General MIDI, whose recordings are fifty times
as long as those of the built-in one. Sources of names and folders: the Debian project, *File list
of package fluid-soundfont-gm*, undated; for Fedora and Arch the notes of projects that install
their packages, undated; elsewhere the folder in which the system keeps instruments (common
practice). On Debian default-GM is whatever was installed last, so it may be the built-in sounds
again, which are passed over.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from functools import lru_cache
from pathlib import Path

from theorykit.errors import TheoryError, shown
from theorykit.show.files import make_own_folder
from theorykit.show.own_reader import own_folder

FILE = "soundfont.txt"
LONGEST = 4096  # bytes of the setting that are looked at
FOLDERS = (
    *("/usr/share/sounds/sf2", "/usr/share/sounds/sf3", "/usr/share/soundfonts"),
    *("/usr/local/share/soundfonts", "/opt/homebrew/share/soundfonts"),
    *("~/Library/Audio/Sounds/Banks", "C:/soundfonts"),
)
NAMES = (
    *("FluidR3_GM.sf2", "FluidR3_GM2-2.sf2", "default-GM.sf2", "default.sf2"),
    *("FluidR3_GM.sf3", "default-GM.sf3", "default.sf3"),
)
POORER = 2**23  # bytes: a smaller file .sf2 has no longer recordings than the built-in sounds
COMPRESSED = ".sf3"
BUILT_IN = "the built-in sounds"
HEAD = 12  # bytes that tell what a file is


def own_soundfont() -> Path | None:
    """Return the SoundFont that was kept as a setting; None if none was, or it is gone."""
    try:
        with (own_folder() / FILE).open("rb") as file:
            path = Path(file.read(LONGEST).decode("utf-8").strip())
        return path if path.is_file() else None
    except (OSError, UnicodeDecodeError, ValueError):
        return None


def keep_soundfont(path: str | Path | None) -> str:
    """Keep a file .sf2 or .sf3 for all that sounds from now on, and say what plays.

    None forgets it. A file that cannot be played is refused, and the setting stays as it was.
    """
    folder = own_folder()
    try:
        if path is None:
            (folder / FILE).unlink(missing_ok=True)
        else:
            chosen = Path(path).expanduser().resolve()
            _check(chosen)
            make_own_folder(folder)
            new = folder / f"{FILE}.new"
            new.write_text(f"{chosen}\n", encoding="utf-8")
            new.replace(folder / FILE)
    except OSError as wrong:
        raise TheoryError(f"cannot keep a SoundFont in {folder}: {wrong.strerror}") from None
    return soundfont_words()


@lru_cache(maxsize=1)
def system_soundfont() -> Path | None:
    """Return the first rich SoundFont in the usual folders; None without one."""
    for folder in FOLDERS:
        for name in NAMES:
            path = Path(folder).expanduser() / name
            try:
                _check(path)
                if path.suffix == COMPRESSED or path.stat().st_size > POORER:
                    return path
            except (OSError, TheoryError):
                continue
    return None


def _check(path: Path) -> None:
    """Refuse what is no SoundFont."""
    try:
        with path.open("rb") as file:
            head = file.read(HEAD)
    except (OSError, ValueError):
        head = b""
    if (head[:4], head[8:]) != (b"RIFF", b"sfbk"):
        raise TheoryError(
            f"not a SoundFont that can be played: {shown(path.name)} (want a file .sf2 or .sf3)"
        )


_BUILT_IN: ContextVar[bool] = ContextVar("the built-in sounds alone", default=False)


@contextmanager
def built_in_only() -> Iterator[None]:
    """Let what is done inside be played by the built-in sounds, whatever this machine has."""
    before = _BUILT_IN.set(True)
    try:
        yield
    finally:
        _BUILT_IN.reset(before)


def chosen_soundfont() -> Path | None:
    """Return the SoundFont that plays where none is named; None for the built-in one."""
    return None if _BUILT_IN.get() else own_soundfont() or system_soundfont()


def soundfont_words() -> str:
    """Say which SoundFont plays, and whose it is.

    >>> soundfont_words() == BUILT_IN or soundfont_words().endswith(")")
    True
    """
    own, found = own_soundfont(), system_soundfont()
    if own is not None:
        return f"{own.name} (your own)"
    if found is None:
        return BUILT_IN
    real = found.resolve().name  # behind a name that only says that it is the usual one
    return f"{real} (found on this system)"
