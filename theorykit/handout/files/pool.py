"""Jobs on several processor cores at once, this process among those that work.

Each other process is a Python of its own, because verovio's toolkit serves one thread of one
process. It is started by loky, which joblib carries; unlike the standard library's pool, loky does
not run the teacher's own script again in every process.
"""

from __future__ import annotations

import os
import time
import warnings
from collections import deque
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import BrokenExecutor, Executor, Future
from contextlib import suppress
from queue import Empty, SimpleQueue
from threading import RLock, Thread
from traceback import format_exception
from typing import Any, Protocol

from theorykit.errors import TheoryError

IDLE = 60  # seconds that a process without a job stays; a job here may hold up the next one there
HANDED_ON = 1  # seconds within which a job that was given is with a process
LOOKS = 0.2  # seconds after which somebody who waits asks whether to go on
Between = Callable[[], object]


class Stopped(Exception):
    """Nobody wants what is being made any more."""


def go_on() -> None:
    """What is asked between the parts of a job where nothing stops it."""


class Job(Protocol):
    """Work that can be sent to another process."""

    def run(self, *, between: Between = go_on) -> Any:
        """Do it and return what came of it; ``between`` is called between its parts."""


def results(jobs: Sequence[Job], *, processes: int, between: Between = go_on) -> Iterator[Any]:
    """Yield what comes of each job, in the order in which they are done.

    Other processes begin with the first jobs, this one with the last. A ``TheoryError`` of a job is
    raised here. With fewer than two processes no other is started. Whoever stops in the middle ends
    the other processes in the midst of their jobs; so does ``between``, which is called between the
    parts of the jobs in this process and while it waits, if it raises ``Stopped``.
    """
    others = min(processes, len(jobs)) - 1
    pool = _pool(others)
    if pool is None:
        yield from (job.run(between=between) for job in jobs)
        return
    work = _Shared(pool, deque(jobs))
    try:
        for _ in range(others):
            work.give()
        for _ in jobs:
            mine = work.taken() if work.done.empty() else None
            yield _result(work.next(between)) if mine is None else mine.run(between=between)
    finally:
        work.end()


class _Shared:
    """Jobs that other processes take from the front and this one from the back."""

    def __init__(self, pool: Executor, waiting: deque[Job]) -> None:
        """Begin with every job waiting."""
        self.pool, self.waiting = pool, waiting
        self.done: SimpleQueue[Future[Any]] = SimpleQueue()
        self.given: list[Future[Any]] = []
        self._giving = RLock()  # a future that is done at once gives the next job in the same call

    def taken(self) -> Job | None:
        """Take the last job; None where no one is left."""
        with self._giving:
            return self.waiting.pop() if self.waiting else None

    def give(self) -> None:
        """Give a process the first job, and another one when that is done."""
        with self._giving, suppress(RuntimeError, IndexError):  # no process, or no job any more
            future = self.pool.submit(self.waiting.popleft().run)
            self.given.append(future)
            future.add_done_callback(self._noted)

    def _noted(self, found: Future[Any]) -> None:
        """Hand on what is done."""
        self.done.put(found)
        self.give()

    def next(self, between: Between) -> Future[Any]:
        """Wait for what is done next in another process."""
        while True:
            with suppress(Empty):
                return self.done.get(timeout=LOOKS)
            between()

    def end(self) -> None:
        """End the other processes in the midst of their jobs.

        loky's own thread stumbles over a job that was submitted and has not been handed on yet when
        the processes are killed; so that one is waited for.
        """
        with self._giving:
            self.waiting.clear()
        until = time.monotonic() + HANDED_ON
        while not all(one.running() or one.done() for one in self.given):
            if time.monotonic() > until:
                break
            time.sleep(0.001)
        self.pool.shutdown(kill_workers=True)  # type: ignore[call-arg]  # loky's own


def _pool(others: int) -> Any:
    """Return other processes; None where none is wanted, or the system has no locks to share."""
    if others < 1:
        return None
    try:
        from joblib.externals.loky import ProcessPoolExecutor  # late: it takes a tenth of a second

        # A process that has grown is ended between two jobs and replaced, as it should be.
        warnings.filterwarnings("ignore", "A worker stopped while some jobs", UserWarning)
        pool = ProcessPoolExecutor(
            others, timeout=IDLE, initializer=_ends_with, initargs=(os.getpid(),)
        )
        pool.submit(int)  # starts them, and asks for all the locks that they share
        return pool
    except (ImportError, OSError):  # a browser, or a full /dev/shm
        return None


def _ends_with(parent: int) -> None:
    """End this process within a second of its parent, and of the job in hand.

    loky would leave it where the parent was killed. On Windows, where a process keeps the number of
    a parent that is gone, ``IDLE`` ends it.
    """

    def watch() -> None:
        while os.getppid() == parent:
            time.sleep(1)
        os._exit(1)

    Thread(target=watch, daemon=True).start()


def _result(found: Future[Any]) -> Any:
    """Return what came of a job in another process, or raise what went wrong there."""
    try:
        return found.result()
    except TheoryError:
        raise
    except BrokenExecutor as error:
        raise RuntimeError(f"a process ended in its work: {error}") from error
    except Exception as error:
        raise RuntimeError("".join(format_exception(error))) from error
