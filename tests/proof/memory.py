"""Memory over many changes of a page: after a warm-up it stays flat.

A page goes through the same seeded changes round and round, so that caches are full after the first
rounds; the resident set is read after garbage was collected. Charts and sounds come and go by many
megabytes, so what counts is the floor: the least of the last quarter against that of the second.
"""

from __future__ import annotations

import ctypes
import gc
import time
from collections.abc import Callable
from contextlib import suppress
from pathlib import Path
from random import Random
from statistics import linear_regression
from typing import Any

import ipywidgets as ipw

from tests.proof.accounts import Account
from tests.proof.pages import act, controls, opened
from tests.proof.walks import at_home, come_to_rest

__all__ = ["weighed"]

PAGES = ("explorer", "line_desk", "tune_desk")
MOST_GROWN = 5_000_000  # bytes from the second quarter to the last, which no evening feels
ROUNDS, READINGS = 10, 60  # of the changes of a page, of its memory
# A round turns its switches over, so two rounds meet all; the second quarter begins after them.


def weighed(count: int, seed: int, step: Callable[[int], None] = lambda _: None) -> Account:
    """Change each page so often; return its slope in bytes a change."""
    found, begun = Account("memory"), time.perf_counter()
    for name in PAGES:
        with at_home():
            readings = _readings(name, count, seed, found, step)
        slope, line = floor_slope(readings, count), linear_regression(*zip(*readings, strict=True))
        found.figures[f"{name}, bytes a change"] = round(slope)
        found.figures[f"{name}, of a line through all readings"] = round(line.slope)
        found.figures[f"{name}, MB at the end"] = round(readings[-1][1] / 1e6, 1)
        found.figures[f"{name}, MB grown"] = round(slope * count / 2e6, 2)
        if slope * count / 2 > MOST_GROWN:
            found.fail(
                f"{name}: {slope:,.0f} bytes more with each change, "
                f"{slope * count / 2e6:.1f} MB in all (at most {MOST_GROWN / 1e6:g})"
            )
    found.figures["bound, MB grown"] = MOST_GROWN / 1e6
    found.seconds = time.perf_counter() - begun
    return found


def floor_slope(readings: list[tuple[int, int]], count: int) -> float:
    """Return by how much the floor rises with each change after the first quarter.

    >>> floor_slope([(at, 1000 + 3 * at + 50 * (at % 2)) for at in range(100)], 100)
    3.0
    """
    second = min(size for at, size in readings if count / 4 <= at < count / 2)
    last = min(size for at, size in readings if at >= 3 * count / 4)
    return (last - second) / (count / 2)


def _readings(
    name: str, count: int, seed: int, found: Account, step: Callable[[int], None]
) -> list[tuple[int, int]]:
    """Change a page and read the resident set on the way."""
    page, readings = opened(name), list[tuple[int, int]]()
    a_round, every = max(1, count // ROUNDS), max(1, count // READINGS)
    for number in range(count):
        begun = time.perf_counter()
        said = _change(page, Random(f"{seed} memory {name} {number % a_round}"))
        found.tried += 1
        found.took(time.perf_counter() - begun, f"{name}, {said}")
        if number % every == 0:
            readings.append((number, resident()))
        step(1)
    page.close()
    found.by[name] = count
    return readings


def _change(page: Any, rng: Random) -> str:
    """Choose or move something, as one does all evening; nothing is typed, opened or pressed."""
    can = [
        one
        for one in controls(page)
        if not isinstance(one, (ipw.Button, ipw.Text, ipw.Textarea, ipw.FileUpload))
    ]
    found = act(rng.choice(can), rng)
    if found is None:
        raise RuntimeError("a control of an unknown kind")
    said, deed = found
    deed()
    come_to_rest(page)
    return said


def resident() -> int:
    """Return the bytes that this process holds in memory, after what is free was given back."""
    gc.collect()
    with suppress(OSError, AttributeError):
        ctypes.CDLL("libc.so.6").malloc_trim(0)
    pages = int(Path("/proc/self/statm").read_text().split()[1])
    return pages * 4096
