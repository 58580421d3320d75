"""Checkup: whether sound, staff, pictures and pages work on this machine, in words."""

from __future__ import annotations

import platform
import sys
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from importlib import import_module
from importlib.util import find_spec

from theorykit.errors import TheoryError

INSTALL = "python -m pip install 'theorykit[workbook]'"
LAB = "jupyterlab"


@dataclass(frozen=True, slots=True)
class Finding:
    """What was tried, whether it works, and what came of it or why it does not.

    >>> print(Finding("sound", True, "2 seconds").words)
    sound: works (2 seconds).
    """

    name: str
    works: bool
    told: str

    @property
    def words(self) -> str:
        """The finding in a line."""
        return f"{self.name}: {'works' if self.works else 'does not work'} ({self.told})."


def machine() -> str:
    """Return the Python and the system in a line."""
    version = ".".join(map(str, sys.version_info[:3]))
    return f"Python {version} on {platform.system()} {platform.machine()}"


def findings() -> Iterator[Finding]:
    """Yield what works and what does not, one after the other."""
    for name, attempt in _TRIED.items():
        try:
            yield Finding(name, True, attempt())
        except ModuleNotFoundError as missing:
            told = f"the package {missing.name} is not installed; {INSTALL} installs it"
            yield Finding(name, False, told)
        except Exception as wrong:  # whatever a library says, the reader is to hear it
            yield Finding(name, False, f"{type(wrong).__name__}: {wrong}")


def _theory() -> str:
    """Try the theory."""
    from theorykit.harmony.shortcuts import shortcuts

    return f"over G7 with b9 13 think {shortcuts('G7', 'b9 13')[0].shape}"


def _sound() -> str:
    """Try to render a phrase and to pack it as browsers take it."""
    sound = import_module("theorykit.show.sound")
    performed = import_module("theorykit.views.things").performed
    samples = sound.render(performed("G7"), melody="piano")
    sizes = [len(pack(samples)) for pack in (sound.mp3_bytes, sound.ogg_bytes)]
    return f"{samples.seconds:.0f} seconds as MP3 and Ogg, {sum(sizes) // 1000} kB"


def _staff() -> str:
    """Try to engrave a line."""
    shown = import_module("theorykit.show.door").see(_line())
    return f"a staff of {len(shown.html) // 1000} kB"


def _line() -> object:
    """Return a line to try things with."""
    from theorykit.lines.demonstration import demonstration

    return demonstration("Db", "short", "b9")


def _picture() -> str:
    """Try to paint a picture for a slide."""
    pictures = import_module("theorykit.show.pictures")
    clock = import_module("theorykit.views.clock").clock_of("G7")
    return f"a PNG of {len(pictures.picture_bytes(clock, '.png')) // 1000} kB"


def _page() -> str:
    """Try to set a page for the printer."""
    pictures = import_module("theorykit.show.pictures")
    staff = import_module("theorykit.show.door").see(_line()).picture
    data = pictures.picture_bytes(staff, ".pdf")
    if not data.startswith(b"%PDF"):
        raise TheoryError("no PDF came out")
    return f"a PDF of {len(data) // 1000} kB"


def _score() -> str:
    """Try to read a score."""
    bridge = import_module("theorykit.show.door")
    back = bridge.from_music21(bridge.to_music21(_line()))
    return f"{len(back.notes)} notes written and read"


def _notebook() -> str:
    """Look for JupyterLab, without starting it."""
    if find_spec(LAB) is None:
        raise ModuleNotFoundError(name=LAB)
    return "JupyterLab is installed"


_TRIED: dict[str, Callable[[], str]] = {
    "theory": _theory,
    "sound": _sound,
    "staff": _staff,
    "picture": _picture,
    "PDF": _page,
    "scores": _score,
    "notebook": _notebook,
}
