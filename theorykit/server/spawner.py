"""Warm servers: what the hub starts, follows and ends for each student."""

from __future__ import annotations

import asyncio
import os
import pwd
import socket
import subprocess
import sys
import time
from contextlib import suppress
from pathlib import Path
from typing import Any

from jupyterhub.spawner import LocalProcessSpawner
from traitlets import Unicode

from theorykit.server.provisioner import SOCKET
from theorykit.server.warm_request import Child, ask, follow, reaches

START = 120  # seconds that a warm process may take to import everything
_WARMED: dict[str, subprocess.Popen[bytes]] = {}  # by socket; each ends when the hub does
_DOORS: dict[tuple[str, str], socket.socket] = {}  # by student and server, until the hub ends


class WarmSpawner(LocalProcessSpawner):
    """What asks a warm process for a student's server; the student is a user of the machine.

    The hub starts the warm process when it is first needed, and anew if it has died.
    """

    warm = Unicode("/run/theorykit/warm", help="the socket of the warm process").tag(config=True)
    groups = Unicode("", help="where control groups can be made; empty for none").tag(config=True)
    _child: Child | None = None

    async def start(self) -> tuple[str, int]:
        """Start the server of a student and return where it listens."""
        door = self._bound()
        self.port: int = door.getsockname()[1]
        env = {**self.get_env(), SOCKET: self.warm}
        await self._warmed()
        self.log.info("A server for %s, on port %s", self.user.name, self.port)
        loop = asyncio.get_running_loop()
        arguments = [*self.cmd, *self.get_args()]
        self._child = await loop.run_in_executor(
            None,
            lambda: ask(
                self.warm,
                "server",
                arguments,
                env=env,
                folder=env["HOME"],
                user=self.user.name,
                door=door.fileno(),
            ),
        )
        self.pid = self._child.pid
        return self.ip or "127.0.0.1", self.port

    async def poll(self) -> int | None:
        """Return None while the server runs."""
        if self._child is None and self.pid:
            self._child = self._followed(self.pid)  # it was there before the hub
        if self._child is not None and self._child.is_alive:
            return None
        if self._child is not None:
            self._child.close()
            self._child = None
        self.clear_state()
        return 0

    def _followed(self, pid: int) -> Child | None:
        """Return the process of a number, None where it is not this student's.

        After the machine has started anew, another one can have the number.
        """
        found = follow(pid)
        with suppress(OSError, KeyError):
            if found and os.stat(f"/proc/{pid}").st_uid == pwd.getpwnam(self.user.name).pw_uid:
                return found
        if found:
            found.close()
        return None

    async def _signal(self, sig: int) -> bool:
        """Send a signal, to this server and never to another process of its number."""
        if self._child is None or not self._child.is_alive:
            return False
        self._child.send(sig)
        return True

    def _bound(self) -> socket.socket:
        """Return the socket of this student's servers: it listens before there is a server.

        It stays ours when a server ends, so that nobody else answers there while visits come in.
        """
        whose = (self.user.name, self.name)
        if whose not in _DOORS:
            _DOORS[whose] = socket.create_server((self.ip or "127.0.0.1", 0), backlog=128)
        return _DOORS[whose]

    async def _warmed(self) -> None:
        """Start the warm process if none answers, and wait until one does."""
        until = time.monotonic() + START
        loop = asyncio.get_running_loop()
        while not await loop.run_in_executor(None, reaches, self.warm):
            found = _WARMED.get(self.warm)
            if found is None or found.poll() is not None:
                _WARMED[self.warm] = _begin(self.warm, self._limits())
            if time.monotonic() > until:
                raise TimeoutError("the warm process does not answer")
            await asyncio.sleep(0.1)

    def _limits(self) -> dict[str, Any]:
        """Return the limits of a student as the environment names them."""
        named = {
            "THEORYKIT_MEMORY_MB": self.mem_limit and self.mem_limit / 1_000_000,
            "THEORYKIT_PROCESSORS": self.cpu_limit,
            "THEORYKIT_GROUPS": self.groups,
            **{name: os.environ.get(name) for name in ("THEORYKIT_FILE_MB", "THEORYKIT_THREADS")},
        }
        return {name: str(value) for name, value in named.items() if value}


def _begin(place: str, limits: dict[str, str]) -> subprocess.Popen[bytes]:
    """Start a warm process that knows nothing of the hub's secrets and ends with the hub."""
    Path(place).parent.mkdir(mode=0o755, parents=True, exist_ok=True)
    kept = {name: os.environ[name] for name in ("PATH", "LANG", "PYTHONPATH") if name in os.environ}
    # One thread for arithmetic: a process with several cannot be forked safely, and thirty
    # students share the processors anyway. Large pieces of memory that are free are given back.
    alone = {"OPENBLAS_NUM_THREADS": "1", "OMP_NUM_THREADS": "1", "MALLOC_ARENA_MAX": "2"}
    alone |= dict.fromkeys(("MALLOC_MMAP_THRESHOLD_", "MALLOC_TRIM_THRESHOLD_"), "131072")
    command = [sys.executable, "-m", "theorykit.server.warm", place]
    return subprocess.Popen(
        command, stdin=subprocess.PIPE, env={**kept, **alone, **limits}, cwd="/"
    )
