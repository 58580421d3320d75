"""Several processes that write into one file at once: nothing is lost, or it is told in words."""

from __future__ import annotations

import os
import time
from collections.abc import Callable
from pathlib import Path
from tempfile import TemporaryDirectory

from tests.proof.accounts import Account, faults_of_refusal
from tests.proof.keepings import KEEPINGS, Keeping
from theorykit.errors import TheoryError
from theorykit.study.own_file import PATIENCE

__all__ = ["written_at_once"]

MOST_SECONDS = PATIENCE + 2.0  # that a write may take, the wait for the others included


def written_at_once(count: int, seed: int, step: Callable[[int], None] = lambda _: None) -> Account:
    """Let two and then four writers write so many things each into each keeping."""
    found, begun = Account("several writers"), time.perf_counter()
    for writers in (2, 4):
        for keeping in KEEPINGS:
            with TemporaryDirectory(prefix="theorykit-writers-") as name:
                _write_together(keeping, Path(name), writers, count, found)
            found.by[f"{keeping.name}, {writers} writers"] = writers * count
            step(1)
    found.seconds = time.perf_counter() - begun
    return found


def _write_together(
    keeping: Keeping, folder: Path, writers: int, count: int, found: Account
) -> None:
    """Fork the writers, wait for them, and look at what they have left."""
    pipes, children = [], []
    for number in range(writers):
        here, there = os.pipe()
        child = os.fork()
        if not child:
            _write(keeping, folder, f"writer {number}", count, there)
        os.close(there)
        pipes.append(here)
        children.append(child)
    kept: dict[str, set[int]] = {}
    for number, here in enumerate(pipes):
        with open(here, "rb") as pipe:
            kept[f"writer {number}"] = _said(keeping, pipe.read().decode(), found)
    for child in children:
        os.waitpid(child, 0)
    whole = {who: count - 1 for who, numbers in kept.items() if len(numbers) == count}
    for one in keeping.faults(folder, whole):
        (found.lose if one.startswith("lost") else found.fail)(f"{keeping.name}: {one}")


def _said(keeping: Keeping, text: str, found: Account) -> set[int]:
    """Enter what one writer said; return the numbers that it kept."""
    numbers = set()
    for row in text.splitlines():
        what, seconds, words = row.split("\t", 2)
        found.tried += 1
        found.took(float(seconds), keeping.name)
        if what.isdecimal():
            numbers.add(int(what))
        elif what == "told":
            found.refused += 1
        else:
            found.fail(f"{keeping.name}: {words}")
        if float(seconds) > MOST_SECONDS:
            found.fail(f"{keeping.name}: a write took {float(seconds):.1f} s")
    return numbers


def _write(keeping: Keeping, folder: Path, who: str, count: int, pipe: int) -> None:
    """Write so many things; one that is refused is tried again, as its words ask for."""
    try:
        for number in range(count):
            for _ in range(20):
                row = _try(keeping, folder, who, number)
                os.write(pipe, row.encode())
                if not row.startswith("told"):
                    break
    finally:
        os._exit(0)


def _try(keeping: Keeping, folder: Path, who: str, number: int) -> str:
    """Write one thing; return what is to be said of it."""
    begun, what, words = time.perf_counter(), str(number), ""
    try:
        keeping.write(folder, who, number)
    except TheoryError as error:
        wrong = ", ".join(faults_of_refusal(error))
        what, words = ("failed", wrong) if wrong else ("told", str(error))
    except Exception as error:  # whatever is no refusal is a failure
        what, words = "failed", repr(error)
    return f"{what}\t{time.perf_counter() - begun}\t{' '.join(words.split())[:300]}\n"
