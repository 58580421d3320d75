"""Memory over many changes of a page: after a warm-up it stays flat.

A page is changed again and again by the same seeded steps; the resident set is read after garbage
was collected. What counts is the slope of a line through the later half of the readings.
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

__all__ = ["BOUND", "weighed"]

PAGES = ("explorer", "line_desk", "tune_desk")
BOUND = 10_000  # bytes a change: a thousand changes may cost 10 MB, which an evening does not feel
EVERY = 20  # changes between two readings
WARM = 0.4  # the share of the changes in which caches fill


def weighed(count: int, seed: int, step: Callable[[int], None] = lambda _: None) -> Account:
    """Change each page so often; return its slope in bytes a change."""
    found, begun = Account("memory"), time.perf_counter()
    for name in PAGES:
        with at_home():
            readings = _readings(name, count, seed, found, step)
        warm = [(at, size) for at, size in readings if at >= WARM * count]
        slope = linear_regression(*zip(*warm, strict=True)).slope
        found.figures[f"{name}, bytes a change"] = round(slope)
        found.figures[f"{name}, MB at the end"] = round(readings[-1][1] / 1e6, 1)
        if slope > BOUND:
            found.fail(f"{name}: {slope:,.0f} bytes more with each change (at most {BOUND:,})")
    found.figures["bound, bytes a change"] = BOUND
    found.seconds = time.perf_counter() - begun
    return found


def _readings(
    name: str, count: int, seed: int, found: Account, step: Callable[[int], None]
) -> list[tuple[int, int]]:
    """Change a page and read the resident set on the way."""
    page, readings = opened(name), []
    for number in range(count):
        begun = time.perf_counter()
        said = _change(page, Random(f"{seed} memory {name} {number}"))
        found.tried += 1
        found.took(time.perf_counter() - begun, f"{name}, {said}")
        if number % EVERY == 0 or number == count - 1:
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
