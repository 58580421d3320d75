"""Processes that are killed while they write: what was kept stays, and every file is whole.

A writer is forked from this process, so that it starts at once; it says through a pipe what it has
kept, and is killed at a moment of chance.
"""

from __future__ import annotations

import os
import signal
import time
from collections.abc import Callable
from pathlib import Path
from random import Random
from tempfile import TemporaryDirectory

from tests.proof.accounts import Account
from tests.proof.keepings import KEEPINGS, Keeping
from tests.proof.texts_drawn import MEMORY

__all__ = ["killed"]

TOGETHER = 20  # kills over one folder, one after another
LONGEST = 0.06  # seconds that a writer lives at most, after it has begun
OLD = 2 * 3600  # seconds


def killed(count: int, seed: int, step: Callable[[int], None] = lambda _: None) -> Account:
    """Kill so many writers; return what came of it."""
    found, begun = Account("kills"), time.perf_counter()
    for keeping, many in shares(count):
        rng, done = Random(f"{seed} {keeping.name}"), 0
        while done < many:
            place = MEMORY if done // TOGETHER % 2 else None  # in memory a write is fast
            with TemporaryDirectory(prefix="theorykit-kills-", dir=place) as name:
                some = min(TOGETHER, many - done)
                _kill_over(keeping, Path(name), some, rng, found, step)
                done += some
        found.by[keeping.name] = found.by.get(keeping.name, 0) + many
    found.seconds = time.perf_counter() - begun
    return found


def shares(count: int) -> list[tuple[Keeping, int]]:
    """Return how many kills each keeping gets, at least one, in proportion."""
    whole = sum(one.share for one in KEEPINGS)
    return [(one, max(1, round(count * one.share / whole))) for one in KEEPINGS]


def _kill_over(
    keeping: Keeping, folder: Path, count: int, rng: Random, found: Account, step: object
) -> None:
    """Kill some writers of one folder one after another, and look at it after each."""
    kept: dict[str, int] = {}
    for turn in range(count):
        who, life = f"writer {turn}", rng.random() * LONGEST
        begun = time.perf_counter()
        last = _kill_one(keeping, folder, who, life)
        if last >= 0:
            kept = {**kept, who: last} if keeping.adds else {who: last}
        found.tried += 1
        faults = keeping.faults(folder, kept)
        found.took(time.perf_counter() - begun - life, keeping.name)
        found.figures["writes that were kept"] = found.figures.get("writes that were kept", 0) + (
            last + 1
        )
        _enter(found, keeping, faults)
        step(1)  # type: ignore[operator]
    _enter(found, keeping, _unswept(keeping, folder))


def _enter(found: Account, keeping: Keeping, faults: list[str]) -> None:
    """Enter faults into the account."""
    for one in faults:
        (found.lose if one.startswith("lost") else found.fail)(f"{keeping.name}: {one}")


def _kill_one(keeping: Keeping, folder: Path, who: str, life: float) -> int:
    """Let a writer live for a moment; return the number of the last thing that it had kept."""
    here, there = os.pipe()
    child = os.fork()
    if not child:
        _write_on(keeping, folder, who, there)
    os.close(there)
    os.read(here, 1)  # it has begun
    time.sleep(life)
    os.kill(child, signal.SIGKILL)
    _, status = os.waitpid(child, 0)
    with open(here, "rb") as pipe:
        said = pipe.read().split(b"\n")
    if os.WIFEXITED(status):
        raise RuntimeError(f"{keeping.name}: the writer ended by itself: {said[-2:]!r}")
    return len(said) - 2


def _write_on(keeping: Keeping, folder: Path, who: str, pipe: int) -> None:
    """Write one thing after another until this process is killed."""
    os.write(pipe, b"!")
    try:
        for number in range(100_000):
            keeping.write(folder, who, number)
            os.write(pipe, b"%d\n" % number)
    except BaseException as error:
        os.write(pipe, repr(error).encode()[:500])
    finally:
        os._exit(1)


def _unswept(keeping: Keeping, folder: Path) -> list[str]:
    """Return the parts of files that lie there still when the next one is written later on."""
    for part in folder.rglob("*.part"):
        os.utime(part, (time.time() - OLD,) * 2)
    keeping.write(folder, "after all", 0)
    return [f"not swept: {part.name}" for part in folder.rglob("*.part")]
