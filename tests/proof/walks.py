"""Walks through every page: random steps, each seeded and written down, and what came of them.

Nothing may be raised, nothing may be told as a thing that the program did not expect, nothing that
was typed may become markup, and after every step the page has come to rest.
"""

from __future__ import annotations

import gc
import io
import logging
import os
import re
import threading
import time
import warnings
from collections import deque
from collections.abc import Callable, Iterator
from contextlib import contextmanager, redirect_stderr
from pathlib import Path
from random import Random
from tempfile import TemporaryDirectory
from typing import Any

import ipywidgets as ipw
from traitlets.log import get_logger

from tests.proof.accounts import Account
from tests.proof.pages import MAKERS, act, controls, everything_in, opened

__all__ = ["at_home", "come_to_rest", "walked"]

UNEXPECTED = re.compile(r"did not expect|the work broke off")
RAW = re.compile(r"<img[^>]* onerror|<script(?![^>]* type=.application/(?:json|ld))", re.IGNORECASE)
RESTS = 40.0  # seconds within which a page comes to rest
LOGGERS = (logging.getLogger(), get_logger())
STOPS = 3.0  # seconds after which *stop* is pressed, where there is one


@contextmanager
def at_home() -> Iterator[Path]:
    """Run a block in a folder of its own, where relative paths and ``~`` lead into it."""
    before, home = os.getcwd(), os.environ.get("HOME")
    with TemporaryDirectory(prefix="theorykit-walk-") as name:
        os.chdir(name)
        os.environ["HOME"] = name
        try:
            yield Path(name)
        finally:
            os.chdir(before)
            os.environ.pop("HOME") if home is None else os.environ.update(HOME=home)


def walked(
    count: int, seed: int, step: Callable[[int], None] = lambda _: None, only: str = ""
) -> Account:
    """Walk so many steps through each page."""
    found, begun = Account("steps on pages"), time.perf_counter()
    for name in MAKERS:
        if only in ("", name):
            with at_home():
                _walk(name, count, seed, found, step)
    found.seconds = time.perf_counter() - begun
    return found


class Watcher:
    """Hears what a page does not tell: faults in threads, in logs, on the error stream."""

    def __init__(self) -> None:
        self.heard: list[str] = []
        self._stream = io.StringIO()

    @contextmanager
    def listening(self) -> Iterator[None]:
        """Listen for the length of the block."""
        before = threading.excepthook
        threading.excepthook = lambda args: self.heard.append(f"in a thread: {args.exc_value!r}")
        handler = logging.Handler(logging.WARNING)
        handler.emit = self._logged  # type: ignore[method-assign]
        for logger in LOGGERS:  # what breaks in a press is logged there, and raised nowhere
            logger.addHandler(handler)
        try:
            with redirect_stderr(self._stream), warnings.catch_warnings():
                warnings.filterwarnings("error", module="theorykit")
                yield
        finally:
            threading.excepthook = before
            for logger in LOGGERS:
                logger.removeHandler(handler)

    def _logged(self, record: logging.LogRecord) -> None:
        """Hear what is logged: errors, and exceptions of any level."""
        if record.exc_info or record.levelno >= logging.ERROR:
            wrong = record.exc_info[1] if record.exc_info else ""
            self.heard.append(f"logged: {record.getMessage()} {wrong!r}")

    def faults(self) -> list[str]:
        """Return what was heard since the last time."""
        said = self._stream.getvalue()
        self._stream.seek(0)
        self._stream.truncate()
        heard, self.heard = self.heard, []
        return heard + ([f"said: {said[-500:]}"] if "Traceback" in said else [])


def _walk(name: str, count: int, seed: int, found: Account, step: Callable[[int], None]) -> None:
    """Walk through one page; where it is broken, go on with a new one."""
    page, lately = None, deque[str](maxlen=6)
    watcher = Watcher()
    for number in range(count):
        rng = Random(f"{seed} {name} {number}")
        begun = time.perf_counter()
        with watcher.listening():
            try:
                page = opened(name) if page is None or number % 250 == 0 else page
                said, deed = _chosen(page, rng)
                lately.append(f"{number}: {said}")
                deed()
                wrong = come_to_rest(page) + _said_wrong(page)
            except Exception as error:  # nothing may be raised
                wrong = [f"{type(error).__name__}: {error}"]
            wrong += watcher.faults()
        found.tried += 1
        found.took(time.perf_counter() - begun, f"{name}, {lately[-1] if lately else 'opening'}")
        for one in wrong:
            found.fail(f"{name}, seed {seed}: {one[:300]} <- {ascii('; '.join(lately))[:900]}")
        if wrong and not any("late" in one for one in wrong):
            page = None
            lately.clear()
        step(1)
    found.by[name] = found.by.get(name, 0) + count
    if page is not None:
        page.close_all() if hasattr(page, "close_all") else page.close()
    gc.collect()


def _chosen(page: Any, rng: Random) -> tuple[str, Callable[[], None]]:
    """Return what is done next, to one of the controls that can be touched now."""
    can = controls(page)
    if not can:
        raise RuntimeError("no control can be touched")
    found = act(rng.choice(can), rng)
    if found is None:
        raise RuntimeError("a control of an unknown kind")
    return found


def come_to_rest(page: Any) -> list[str]:
    """Wait until the threads of the page have ended; press *stop* where it takes long."""
    begun, pressed = time.perf_counter(), False
    while _working():
        passed = time.perf_counter() - begun
        if passed > STOPS and not pressed:
            pressed = True
            for one in controls(page):
                if isinstance(one, ipw.Button) and one.description.startswith("stop"):
                    one.click()
        if passed > RESTS:
            return [f"busy after {RESTS:.0f} s: {[one.name for one in _working()]}"]
        time.sleep(0.002)
    return []


BEFORE = frozenset(threading.enumerate())


def _working() -> list[threading.Thread]:
    """Return the threads that work for a page; a timer only waits."""
    return [
        one
        for one in threading.enumerate()
        if one not in BEFORE
        and not isinstance(one, threading.Timer)
        and getattr(getattr(one, "_target", None), "__module__", "").startswith("theorykit.widgets")
    ]


def _said_wrong(page: Any) -> list[str]:
    """Return what a page says that it must not say."""
    wrong = []
    for one, _ in everything_in(page):
        if isinstance(one, (ipw.HTML, ipw.HTMLMath)):
            text = one.value
            if met := UNEXPECTED.search(text):
                at = max(0, met.start() - 150)
                wrong.append(f"a fault is told: {_plain(text[at : met.end() + 400])}")
            if RAW.search(text):
                wrong.append(f"what was typed became markup: {text[:200]}")
    return wrong


def _plain(text: str) -> str:
    """Return markup as text."""
    return " ".join(re.sub(r"<[^>]*>", " ", text).split())
