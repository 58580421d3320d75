"""A full disk: it is told in words, what was kept before stays, and nothing is left behind.

The disk is full after so many bytes: every way in which the library brings bytes to a disk is
refused from there on, with the error that the system gives. Where it may, a small disk of this
machine's memory is filled as well.
"""

from __future__ import annotations

import os
import re
import resource
import signal
import subprocess
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from functools import partial
from pathlib import Path
from tempfile import TemporaryDirectory

from tests.proof.accounts import Account, faults_of_refusal
from tests.proof.keepings import KEEPINGS, Keeping
from theorykit.errors import TheoryError

__all__ = ["filled"]

SIZES = (0, 1, 100, 511, 512, 4095, 4096, 8192, 20_000, 47_000, 48_000, 60_000, 100_000)
ROOM = re.compile(r"full|space|room", re.IGNORECASE)
MOST_ADDED, MOST_REPLACED = 60, 5  # writes until a disk must be full
SMALL_DISK = 400_000  # bytes


def filled(count: int, seed: int, step: Callable[[int], None] = lambda _: None) -> Account:
    """Write while nothing more than so many bytes may be written, ``count`` sizes for each."""
    found, begun = Account("full disk"), time.perf_counter()
    sizes = SIZES[:: max(1, len(SIZES) // count)] if count < len(SIZES) else SIZES
    for keeping in KEEPINGS:
        for size in sizes:
            with TemporaryDirectory(prefix="theorykit-full-") as name:
                _in_a_child(found, keeping, Path(name), partial(limited, size), is_full=False)
            step(1)
        for place in _small_disks():
            with place as folder:
                _in_a_child(found, keeping, folder, partial(full, folder), is_full=True)
        found.by[keeping.name] = len(sizes)
    found.figures["a small disk of its own"] = "filled" if _can_mount() else "not allowed here"
    found.seconds = time.perf_counter() - begun
    return found


def _in_a_child(
    found: Account,
    keeping: Keeping,
    folder: Path,
    narrow: Callable[[], object],
    *,
    is_full: bool,
) -> None:
    """Keep two things, then write on with no room in a process of its own, then look."""
    keeping.write(folder, "before", 0)
    keeping.write(folder, "before", 1)
    here, there = os.pipe()
    begun = time.perf_counter()
    child = os.fork()
    if not child:
        _write_on(keeping, folder, narrow, there)
    os.close(there)
    with open(here, "rb") as pipe:
        said = pipe.read().decode("utf-8", "replace")
    os.waitpid(child, 0)
    found.tried += 1
    found.took(time.perf_counter() - begun, keeping.name)
    what, _, words = said.partition("\t")
    if what == "told":
        found.refused += 1
        if is_full and not ROOM.search(words):
            found.fail(f"{keeping.name}: does not say that the disk is full: {words}")
    elif not what.isdecimal():
        found.fail(f"{keeping.name}: {words or said}")
    kept = {"before": 1} if keeping.adds or not what.isdecimal() else {}
    for one in keeping.faults(folder, kept):
        (found.lose if one.startswith("lost") else found.fail)(f"{keeping.name}: {one}")
    for part in folder.rglob("*.part"):
        found.fail(f"{keeping.name}: left behind: {part.name}")


def _write_on(keeping: Keeping, folder: Path, narrow: Callable[[], object], pipe: int) -> None:
    """Write until there is no room, and say what came of it."""
    said = "0\t"
    try:
        narrow()
        for number in range(2, MOST_ADDED if keeping.adds else MOST_REPLACED):
            keeping.write(folder, "before", number)
    except TheoryError as error:
        wrong = ", ".join(faults_of_refusal(error))
        said = f"failed\t{wrong}" if wrong else f"told\t{error}"
    except Exception as error:  # whatever is no refusal is a failure
        said = f"failed\t{type(error).__name__}: {error}"
    finally:
        os.write(pipe, said.encode()[:2000])
        os._exit(0)


def limited(size: int) -> None:
    """Let no file of this process grow beyond a size: what is beyond it fails as on a full disk."""
    signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
    resource.setrlimit(resource.RLIMIT_FSIZE, (size, resource.RLIM_INFINITY))


def full(folder: Path) -> None:
    """Fill what is left of a small disk."""
    with suppress(OSError), (folder / "filling").open("wb", buffering=0) as file:
        while file.write(bytes(1024)):
            pass


# === A small disk ===


def _can_mount() -> bool:
    """Tell whether this process may mount a disk of its own."""
    with TemporaryDirectory(prefix="theorykit-disk-") as name:
        try:
            subprocess.run(_mount(name), check=True, capture_output=True)
        except (OSError, subprocess.CalledProcessError):
            return False
        subprocess.run(["umount", name], check=False, capture_output=True)
    return True


def _mount(name: str) -> list[str]:
    return ["mount", "-t", "tmpfs", "-o", f"size={SMALL_DISK}", "tmpfs", name]


def _small_disks() -> Iterator[object]:
    """Yield a small disk where one may be made, else nothing."""
    if _can_mount():
        yield _small_disk()


@contextmanager
def _small_disk() -> Iterator[Path]:
    """Mount a small disk for the length of the block."""
    with TemporaryDirectory(prefix="theorykit-disk-") as name:
        subprocess.run(_mount(name), check=True, capture_output=True)
        try:
            yield Path(name)
        finally:
            subprocess.run(["umount", "-l", name], check=True, capture_output=True)
