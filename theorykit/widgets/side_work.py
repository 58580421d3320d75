"""Work beside the page: a thread that can be stopped, with a time bound; work for a quiet moment.

What takes long stands outside the lock that answers controls, so that the page goes on answering.
"""

from __future__ import annotations

import ctypes
from collections.abc import Callable
from contextvars import copy_context
from threading import Lock, Thread, Timer
from time import sleep
from typing import Generic, TypeVar

from theorykit.widgets.controls import in_notebook

__all__ = ["Quiet", "SideWork"]

_Found = TypeVar("_Found")

LONGEST = 20.0  # seconds; what is read is counted first, so that this is for what nobody foresaw
STOPPED = "Stopped; nothing was changed."
TOO_LONG = "It took longer than {:g} seconds and was stopped; nothing was changed."


QUIET = 0.6  # seconds without a letter


class Quiet:
    """Work that waits for a quiet moment: what was answered quickly is then looked at again.

    Without a page nobody waits, and a page asks with ``at_once`` whether it is to do all at once.
    """

    def __init__(self, act: Callable[[], object]) -> None:
        self._act = act
        self._timer: Timer | None = None
        self.at_once = not in_notebook()

    def wait(self) -> None:
        """Do the work after a pause, which begins now."""
        self.cancel()
        self._timer = Timer(QUIET, self._act)
        self._timer.daemon = True
        self._timer.start()

    def cancel(self) -> None:
        """Let the work be: nothing is to be looked at again."""
        if self._timer is not None:
            self._timer.cancel()

    def join(self) -> None:
        """Come back when the work has been done, or was cancelled."""
        if self._timer is not None:
            self._timer.join()


class _Stop(BaseException):
    """Raised in the thread that is to stop; no library takes it for a fault of its own."""


class SideWork(Generic[_Found]):
    """One piece of work: ``find`` can be stopped, and ``take``, which gets what it found, not.

    ``failed`` is given what ``find`` or ``take`` raised, and ``stopped`` the words for a stop;
    ``ended`` is called at the end, however it came.

    >>> heard: list[object] = []
    >>> work = SideWork(lambda: 7, heard.append, heard.append, heard.append, lambda: None)
    >>> work.begin()
    >>> work.wait()
    >>> heard
    [7]
    """

    def __init__(
        self,
        find: Callable[[], _Found],
        take: Callable[[_Found], None],
        failed: Callable[[Exception], None],
        stopped: Callable[[str], None],
        ended: Callable[[], None],
        longest: float = LONGEST,
    ) -> None:
        self._find, self._take = find, take
        self._failed, self._stopped, self._ended = failed, stopped, ended
        self._turn, self._is_finding, self._why = Lock(), False, ""
        self._thread = Thread(target=copy_context().run, args=(self._run,), daemon=True)
        self._timer = Timer(longest, self.stop, (TOO_LONG.format(longest),))
        self._timer.daemon = True

    def begin(self) -> None:
        """Begin, and come back at once."""
        self._is_finding = True
        self._thread.start()
        self._timer.start()

    def stop(self, why: str = STOPPED) -> None:
        """Stop the work, unless it has found what it looked for."""
        with self._turn:
            if not self._is_finding:
                return
            self._is_finding, self._why = False, why
            name = ctypes.c_ulong(self._thread.ident or 0)
            ctypes.pythonapi.PyThreadState_SetAsyncExc(name, ctypes.py_object(_Stop))

    def wait(self) -> None:
        """Wait until the work has come to an end."""
        self._thread.join()

    def _run(self) -> None:
        """Find, then take; say what went wrong."""
        try:
            self._take(self._found())
        except _Stop:
            self._stopped(self._why)
        except Exception as wrong:  # in a thread nobody else would tell the reader
            self._failed(wrong)
        finally:
            self._timer.cancel()
            self._ended()

    def _found(self) -> _Found:
        """Return what is found, with every stop raised in here and none later."""
        try:
            return self._find()
        finally:
            with self._turn:
                self._is_finding = False
            sleep(0)  # a stop that came at the last moment is raised here
