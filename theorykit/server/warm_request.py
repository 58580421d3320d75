"""Asking a warm process for a child of one's own, and following that child to its end."""

from __future__ import annotations

import json
import os
import select
import signal
import socket
import threading
from collections.abc import Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path

PATIENCE = 60  # seconds that a warm process may take to fork


@dataclass(slots=True)
class Child:
    """A process that a warm one has forked: its number, and a file that tells its end."""

    pid: int
    _end: int

    @property
    def is_alive(self) -> bool:
        """Whether it still runs."""
        return self._end >= 0 and not self._has_ended(0)

    def wait(self) -> None:
        """Wait until it has ended."""
        self._has_ended(None)

    def _has_ended(self, patience: int | None) -> bool:
        """Tell whether it ends within some milliseconds; None waits. Its file may be a high one."""
        asked = select.poll()
        asked.register(self._end, select.POLLIN)
        return bool(asked.poll(patience))

    def poll(self) -> int | None:
        """Return None while it runs, and 0 when it has ended."""
        return None if self.is_alive else 0

    def send(self, signal_number: int) -> None:
        """Send a signal to it; to one that has ended nothing is sent, and to no other process."""
        with suppress(ProcessLookupError):
            if self.is_alive:
                signal.pidfd_send_signal(self._end, signal_number)

    def close(self) -> None:
        """Stop following it."""
        if self._end >= 0:
            os.close(self._end)
            self._end = -1


def follow(pid: int) -> Child | None:
    """Return a process by its number, None where there is none."""
    with suppress(ProcessLookupError):
        return Child(pid, os.pidfd_open(pid))
    return None


def end_with(pid: int) -> None:
    """Let this process end as soon as another one has ended, at once if it has already."""
    other = follow(pid)
    if other is None:
        os._exit(1)
    threading.Thread(target=_end_after, args=(other,), name="ends with", daemon=True).start()


def _end_after(other: Child) -> None:
    """Wait for the end of another process, and end."""
    other.wait()
    os._exit(1)


def reaches(place: str | Path) -> bool:
    """Tell whether a warm process answers at a socket."""
    with socket.socket(socket.AF_UNIX, socket.SOCK_STREAM) as line:
        line.settimeout(PATIENCE)
        try:
            line.connect(str(place))
            return bool(_line(line))
        except OSError:
            return False


def ask(
    place: str | Path,
    work: str,
    arguments: Sequence[str],
    *,
    env: Mapping[str, str],
    folder: str | Path,
    user: str = "",
    door: int | None = None,
) -> Child:
    """Return a child of the warm process at a socket, which does a ``work`` for this user.

    ``user`` names another one, and only root is listened to. ``door`` is a file of ours, a socket
    that listens; a server answers there.
    """
    asked = {"work": work, "arguments": [*arguments], "env": {**env}, "folder": str(folder)}
    text = json.dumps({**asked, "user": user}).encode() + b"\n"
    with socket.socket(socket.AF_UNIX, socket.SOCK_STREAM) as line:
        line.settimeout(PATIENCE)
        line.connect(str(place))
        number = int(_line(line))
        child = Child(number, os.pidfd_open(number))  # while it waits for us, it is that process
        try:
            files = [1, 2, *([] if door is None else [door])]
            sent = socket.send_fds(line, [text[:60_000]], files)
            if more := text[sent:]:  # to send nothing fails where the child has its answer sent
                line.sendall(more)
            if _line(line) != "ok":
                raise ConnectionError("the warm process did not do what it was asked")
        except BaseException:
            child.close()
            raise
    return child


def _line(line: socket.socket) -> str:
    """Return the next line that is sent."""
    data = b""
    while not data.endswith(b"\n"):
        more = line.recv(64)
        if not more:
            raise ConnectionError("the warm process forked nothing (are there too many already?)")
        data += more
    return data.decode().strip()
