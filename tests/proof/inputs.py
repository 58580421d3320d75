"""Hostile inputs over every reader: a value that reads back, or a refusal in words, in two seconds.

An input is drawn from the seed, the name of its reader and its number, so that each can be made
again: ``python -m tests.proof inputs --reader NAME --seed SEED --number NUMBER``.
"""

from __future__ import annotations

import signal
import time
import warnings
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from random import Random
from typing import Any

from tests.proof.accounts import Account, faults_of_refusal
from tests.proof.class_read import CLASS
from tests.proof.drafts_read import DRAFTS
from tests.proof.files_read import FILES
from tests.proof.texts_read import TEXTS, Reading
from theorykit.errors import TheoryError, shown

__all__ = ["READINGS", "all_tried", "drawn", "tried", "try_one"]

READINGS = {one.name: one for one in (*TEXTS, *FILES, *DRAFTS, *CLASS)}
MOST_SECONDS = 2.0  # for one input
PATIENCE = 30  # seconds of work after which an input is taken for one that never ends
WAITING = 300  # seconds of waiting, on a machine that may be busy, after which it is as well
MOST_OF_ONE = 5  # failures of one kind at one reader that are told


class Endless(BaseException):
    """Raised where an input takes so long that nobody waits for its end."""


def _endless(*_: object) -> None:
    raise Endless


@contextmanager
def watched() -> Iterator[None]:
    """Run a block that is broken off after ``PATIENCE``; warnings of the library are errors."""
    before = {one: signal.signal(one, _endless) for one in (signal.SIGPROF, signal.SIGALRM)}
    signal.setitimer(signal.ITIMER_PROF, PATIENCE)
    signal.alarm(WAITING)
    try:
        with warnings.catch_warnings():
            warnings.filterwarnings("error", module="theorykit")
            yield
    finally:
        signal.setitimer(signal.ITIMER_PROF, 0)
        signal.alarm(0)
        for one, handler in before.items():
            signal.signal(one, handler)


def drawn(reading: Reading, seed: int, number: int) -> Any:
    """Return one input."""
    return reading.draw(Random(f"{seed} {reading.name} {number}"))


def clock() -> float:
    """Return seconds that pass for this thread, less those in line for a processor."""
    try:
        waited = int(Path("/proc/thread-self/schedstat").read_text().split()[1]) / 1e9
    except (OSError, IndexError):  # told by Linux only
        waited = 0.0
    return time.perf_counter() - waited


def outcome(reading: Reading, given: Any) -> tuple[str, float, bool]:
    """Return what is wrong with one input, its seconds, and whether it was refused."""
    wrong, refused = "", False
    begun = clock()
    ended = None
    try:
        with watched():
            value = reading.read(given)
            ended = clock()
            if not reading.keeps(value):
                wrong = "does not read back"
    except TheoryError as error:
        if ended is None:
            refused = True
            wrong = ", ".join(f"the refusal {one}" for one in faults_of_refusal(error))
        else:
            wrong = f"what was read is refused when it is read back: {error}"
    except Endless:
        wrong = "never ends"
    except Exception as error:  # every other exception is what the proof looks for
        wrong = f"{type(error).__name__}: {error}"
    return wrong, (ended or clock()) - begun, refused


def try_one(reading: Reading, given: Any) -> tuple[str, float, bool]:
    """Return what is wrong with one input; one that took long is measured again.

    The machine may have been busy with something else, so the shorter time counts.
    """
    wrong, seconds, refused = outcome(reading, given)
    if seconds > MOST_SECONDS and wrong != "never ends":
        seconds = min(seconds, outcome(reading, given)[1])
    if not wrong and seconds > MOST_SECONDS:
        wrong = f"takes {seconds:.1f} s"
    return wrong, seconds, refused


def tried(name: str, seed: int, first: int, last: int) -> Account:
    """Try the inputs of one reader with some numbers."""
    reading, found, kinds = READINGS[name], Account("inputs"), dict[str, int]()
    for number in range(first, last):
        given = drawn(reading, seed, number)
        wrong, seconds, refused = try_one(reading, given)
        found.tried += 1
        found.refused += refused
        found.took(seconds, f"{name}, seed {seed}, number {number}")
        if wrong:
            kind = wrong.partition(":")[0]
            kinds[kind] = kinds.get(kind, 0) + 1
            found.failed += 1
            if kinds[kind] <= MOST_OF_ONE:
                less = smaller(reading, given, kind)
                words = f"{name}, seed {seed}, number {number}: {wrong[:400]} <- {shown(less)}"
                found.failures.append(words)
    found.by[name] = found.tried
    return found


def smaller(reading: Reading, given: Any, kind: str) -> Any:
    """Return a part of a text, or of bytes, that fails in the same way."""
    if not isinstance(given, (str, bytes)) or kind in ("never ends", "takes"):
        return given

    def fails(part: Any) -> bool:
        return outcome(reading, part)[0].partition(":")[0] == kind

    return _cut(given, fails)


def _cut(given: Any, fails: Callable[[Any], bool]) -> Any:
    """Cut out as much as can be cut."""
    size, tries = max(1, len(given) // 2), 0
    while size and tries < 300:
        at = 0
        while at < len(given) and tries < 300:
            tries += 1
            less = given[:at] + given[at + size :]
            if fails(less):
                given = less
            else:
                at += size
        size //= 2
    return given


BATCH = 250  # inputs that a process tries at a time


def all_tried(
    total: int,
    seed: int,
    step: Callable[[int], None] = lambda _: None,
    *,
    only: str = "",
    processes: int = 1,
) -> Account:
    """Try so many inputs over all readers, or over one, in some processes."""
    found, begun = Account("inputs"), time.perf_counter()
    batches = list(_batches(total, only))
    Random(seed).shuffle(batches)  # so that the slow readers come all along
    for one in _done(batches, seed, processes):
        found.add(one)
        step(one.tried)
    found.seconds = time.perf_counter() - begun
    return found


def _done(batches: list[tuple[str, int, int]], seed: int, processes: int) -> Iterator[Account]:
    """Yield the account of each batch as it is done."""
    if processes == 1:
        for name, first, last in batches:
            yield tried(name, seed, first, last)
        return
    from joblib import Parallel, delayed

    work = Parallel(n_jobs=processes, return_as="generator_unordered", batch_size=1)
    yield from work(delayed(tried)(name, seed, first, last) for name, first, last in batches)


def _batches(total: int, only: str) -> Iterator[tuple[str, int, int]]:
    """Yield readers with the numbers of inputs that are tried together."""
    for name, count in counts(total, only).items():
        for first in range(0, count, BATCH):
            yield name, first, min(count, first + BATCH)


def counts(total: int, only: str = "") -> dict[str, int]:
    """Return how many inputs each reader gets, at least one."""
    asked = {name: one.share for name, one in READINGS.items() if only in ("", name)}
    whole = sum(asked.values())
    return {name: max(1, total * share // whole) for name, share in asked.items()}
