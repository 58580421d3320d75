"""Warm kernels: a kernel that a warm process forks for the student whose server asks."""

from __future__ import annotations

import asyncio
import os
import signal
from importlib.metadata import EntryPoint
from pathlib import Path
from typing import Any

from jupyter_client.provisioning.factory import KernelProvisionerFactory
from jupyter_client.provisioning.local_provisioner import LocalProvisioner

from theorykit.server.warm_request import Child, ask

SOCKET = "THEORYKIT_WARM"  # names the socket of the warm process
NAME = "theorykit-warm"
_LAUNCHER = "ipykernel_launcher"


class WarmKernels(LocalProvisioner):
    """What starts, follows and ends a kernel; without a warm process it starts one as usual."""

    async def launch_kernel(self, cmd: list[str], **wishes: Any) -> Any:
        """Ask for a kernel, and return how to reach it."""
        place = os.environ.get(SOCKET, "")
        if not place or _LAUNCHER not in cmd:
            return await super().launch_kernel(cmd, **wishes)
        folder = wishes.get("cwd") or Path.cwd()
        env = wishes.get("env") or os.environ
        arguments = cmd[cmd.index(_LAUNCHER) :]
        loop = asyncio.get_running_loop()
        try:
            child = await loop.run_in_executor(
                None, lambda: ask(place, "kernel", arguments, env=env, folder=folder)
            )
        except OSError as wrong:
            self.log.warning("no warm kernel (%s); a cold one is started", wrong)
            return await super().launch_kernel(cmd, **wishes)
        self.process = _Followed(child)  # type: ignore[assignment]
        self.pid, self.pgid, self.cwd = child.pid, child.pid, folder
        return self.connection_info


def register() -> None:
    """Let the server of this process start its kernels so."""
    entry = EntryPoint(
        NAME, f"{__name__}:{WarmKernels.__name__}", KernelProvisionerFactory.GROUP_NAME
    )
    KernelProvisionerFactory.provisioners[NAME] = entry
    os.environ[KernelProvisionerFactory.default_provisioner_name_env] = NAME


class _Followed:
    """A child as the kernel's manager wants to see a process."""

    stdout = stderr = stdin = None

    def __init__(self, child: Child) -> None:
        self.child, self.pid = child, child.pid

    def poll(self) -> int | None:
        """Return None while it runs."""
        return self.child.poll()

    def wait(self) -> int:
        """Stop following what has ended."""
        self.child.close()
        return 0

    def send_signal(self, number: int) -> None:
        """Send a signal."""
        self.child.send(number)

    def kill(self) -> None:
        """End it at once."""
        self.child.send(signal.SIGKILL)

    def terminate(self) -> None:
        """End it."""
        self.child.send(signal.SIGTERM)
