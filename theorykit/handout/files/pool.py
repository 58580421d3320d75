"""Jobs on several processor cores at once, this process among those that work.

Each other process is a Python of its own that runs ``theorykit.handout.files.worker``: verovio's
toolkit serves one thread of one process. The standard library's process pool would run the
teacher's own script again in every process, where that script does not guard against it.
"""

from __future__ import annotations

import os
import pickle
import subprocess
import sys
import tempfile
from collections import deque
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import Future, ThreadPoolExecutor
from contextlib import ExitStack, suppress
from queue import SimpleQueue
from typing import Any, Protocol

from theorykit.errors import TheoryError

PATIENCE = 5  # seconds that a process has to end by itself
TAIL = 2_000  # characters of what it wrote before it ended


class Job(Protocol):
    """Work that can be sent to another process."""

    def run(self) -> Any:
        """Do it and return what came of it."""


def results(jobs: Sequence[Job], *, processes: int) -> Iterator[Any]:
    """Yield what comes of each job, in the order in which they are done.

    Other processes begin with the first jobs, this one with the last. A ``TheoryError`` of a job is
    raised here. With fewer than two processes no other is started.
    """
    others = min(processes, len(jobs)) - 1
    if others < 1:
        yield from (job.run() for job in jobs)
        return
    waiting = deque(jobs)
    done: SimpleQueue[Future[Any]] = SimpleQueue()
    with ExitStack() as stack:
        workers = [stack.enter_context(_Worker()) for _ in range(others)]
        threads = ThreadPoolExecutor(others)
        stack.callback(threads.shutdown, wait=False, cancel_futures=True)
        for worker in workers:
            threads.submit(_work_off, worker, waiting, done)
        left = len(jobs)
        while left:
            while not done.empty():
                left -= 1
                yield done.get().result()
            mine = _taken(waiting.pop)
            if mine is not None:
                left -= 1
                yield mine.run()
            elif left:
                left -= 1
                yield done.get().result()


def _taken(take: Callable[[], Job]) -> Job | None:
    """Take a job from one end; None where no one is left."""
    try:
        return take()
    except IndexError:
        return None


def _work_off(worker: _Worker, waiting: deque[Job], done: SimpleQueue[Future[Any]]) -> None:
    """Give a process one job after the other, and note down what comes of each."""
    while (job := _taken(waiting.popleft)) is not None:
        found: Future[Any] = Future()
        try:
            found.set_result(worker.do(job))
        except Exception as error:
            found.set_exception(error)
        done.put(found)


class _Worker:
    """A process, from this end."""

    def __enter__(self) -> _Worker:
        self.said = tempfile.TemporaryFile()
        self.process = subprocess.Popen(
            [sys.executable, "-m", "theorykit.handout.files.worker"],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=self.said,
            env={**os.environ, "PYTHONPATH": os.pathsep.join(filter(None, sys.path))},
        )
        return self

    def __exit__(self, *_: object) -> None:
        """End the process: what it has not sent by now is not wanted."""
        self.process.kill()
        self.process.wait(PATIENCE)
        for stream in (self.process.stdin, self.process.stdout, self.said):
            if stream is not None:
                with suppress(BrokenPipeError):  # a job that was being sent when it ended
                    stream.close()

    def do(self, job: Job) -> Any:
        """Send a job and wait for the answer."""
        put, take = self.process.stdin, self.process.stdout
        if put is None or take is None:
            raise RuntimeError("a process without an input or an output")
        try:
            pickle.dump(job, put)
            put.flush()
            how, what = pickle.load(take)
        except (EOFError, OSError, pickle.UnpicklingError) as error:
            raise RuntimeError(f"a process ended in its work: {self._last()}") from error
        if how == "refused":
            raise TheoryError(what)
        if how == "failed":
            raise RuntimeError(what)
        return what

    def _last(self) -> str:
        """Return the last that the process wrote."""
        self.said.seek(0)
        return self.said.read().decode("utf-8", "replace")[-TAIL:]
