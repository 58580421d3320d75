"""Turns: of a class that presses at once a few kernels work at a time, and the others wait.

Where thirty share two processors, all have their answer at the end. In turns half of them have it
in half that time. A turn is a lock on a file (flock(2)): who waits longest has it next, and of a
kernel that ends the system takes it back.
"""

from __future__ import annotations

import fcntl
import os
import signal
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

WORKS = 0.25  # seconds of a turn; who needs more works on beside the next
WAITS = 1.0  # seconds that anyone waits for a turn
PAUSE = 10.0  # seconds without turns, after one did not come: somebody may keep it


def make_turns(folder: Path) -> Path:
    """Make the files of the turns, which everyone may read and nobody change, and return where.

    There is one more than processors, for what a kernel waits for others.
    """
    folder.mkdir(mode=0o755, exist_ok=True)
    for number in range((os.cpu_count() or 1) + 1):
        (folder / str(number)).touch(mode=0o444)
    return folder


class Turns:
    """The turns of one kernel: always those of the same file in a folder."""

    def __init__(self, folder: Path) -> None:
        files = sorted(folder.iterdir())
        self._file = os.open(files[os.getpid() % len(files)], os.O_RDONLY | os.O_CLOEXEC)
        self._without = 0.0

    @contextmanager
    def taken(self) -> Iterator[None]:
        """Do what is within in a turn; without one where it does not come, or in another thread."""
        if threading.current_thread() is not threading.main_thread():
            yield  # signals are for the main one
            return
        if time.monotonic() > self._without:
            self._wait()
        try:
            with _after(WORKS, self._give_back):
                yield
        finally:
            self._give_back()

    def _wait(self) -> None:
        """Take the lock, or do without for a while."""
        try:
            with _after(WAITS, _give_up):
                fcntl.flock(self._file, fcntl.LOCK_EX)
        except TimeoutError:
            self._without = time.monotonic() + PAUSE

    def _give_back(self) -> None:
        fcntl.flock(self._file, fcntl.LOCK_UN)


@contextmanager
def _after(seconds: float, call: Callable[[], None]) -> Iterator[None]:
    """Call something where what is within takes longer."""
    before = signal.signal(signal.SIGALRM, lambda *_: call())
    signal.setitimer(signal.ITIMER_REAL, seconds)
    try:
        yield
    finally:
        signal.setitimer(signal.ITIMER_REAL, 0)
        signal.signal(signal.SIGALRM, before)


def _give_up() -> None:
    raise TimeoutError


def kernel_in_turns(turns: Turns) -> type[Any]:
    """Return a kernel that answers what is pressed on a page in its turn; cells run as they come.

    The library is imported here: whoever imports it has its widgets answer to it from then on.
    """
    from ipykernel.ipkernel import IPythonKernel

    class KernelInTurns(IPythonKernel):
        def __init__(self, **wishes: Any) -> None:
            super().__init__(**wishes)
            handler = self.shell_handlers["comm_msg"]

            def answer(*message: Any) -> Any:
                with turns.taken():
                    return handler(*message)

            self.shell_handlers["comm_msg"] = answer

    return KernelInTurns
