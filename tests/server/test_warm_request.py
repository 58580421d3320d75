"""Requests to a warm process: what the one that asks gets, however quick the child is."""

from __future__ import annotations

import os
import socket
import subprocess
import sys
import threading
from collections.abc import Iterator
from pathlib import Path
from types import SimpleNamespace

import pytest

pytest.importorskip("fcntl")

import fcntl
import resource

from theorykit.server.warm_request import Child, ask

pytestmark = pytest.mark.skipif(not hasattr(socket, "SO_PEERCRED"), reason="Linux only")


class Quick:
    """A child that answers and is gone before the one that asks goes on."""

    def __init__(self, place: Path) -> None:
        self.door = socket.socket(socket.AF_UNIX, socket.SOCK_STREAM)
        self.door.bind(str(place))
        self.door.listen()
        self.heard = b""
        self.gone = threading.Event()
        self.thread = threading.Thread(target=self._answer, daemon=True)
        self.thread.start()

    def _answer(self) -> None:
        guest, _ = self.door.accept()
        guest.sendall(b"%d\n" % os.getpid())
        while not self.heard.endswith(b"\n"):
            self.heard += guest.recv(65536)
        guest.sendall(b"ok\n")
        guest.close()
        self.gone.set()


@pytest.fixture
def quick(tmp_path: Path, monkeypatch) -> Iterator[Quick]:
    child = Quick(tmp_path / "warm")
    send = socket.send_fds

    def slowly(*given):
        sent = send(*given)
        child.gone.wait(10)
        return sent

    monkeypatch.setattr(socket, "send_fds", slowly)
    yield child
    child.door.close()


def test_a_process_ends_with_another_whatever_it_is_doing():
    program = (
        "import sys; from theorykit.server.warm_request import end_with\n"
        "end_with(int(sys.argv[1]))\nprint('follows', flush=True)\nwhile True: pass"
    )
    with subprocess.Popen([sys.executable, "-c", "input()"], stdin=subprocess.PIPE) as other:
        command = [sys.executable, "-c", program, str(other.pid)]
        with subprocess.Popen(command, stdout=subprocess.PIPE, text=True) as follower:
            assert follower.stdout is not None
            assert follower.stdout.readline() == "follows\n"
            assert follower.poll() is None
            other.kill()
            assert follower.wait(120) == 1
    with subprocess.Popen(command, stdout=subprocess.PIPE, text=True) as late:
        assert late.wait(120) == 1  # the other has ended long ago


def test_a_child_that_answers_at_once_is_had(quick: Quick, tmp_path: Path):
    child = ask(tmp_path / "warm", "kernel", ["a"], env={"B": "c"}, folder=tmp_path)
    assert child.is_alive
    child.close()
    assert b'"arguments": ["a"]' in quick.heard


def test_a_child_is_followed_by_a_file_of_any_number():
    """A hub of a large class has more files than the older call can ask for."""
    with subprocess.Popen([sys.executable, "-c", "input()"], stdin=subprocess.PIPE) as process:
        end = os.pidfd_open(process.pid)
        soft, hard = resource.getrlimit(resource.RLIMIT_NOFILE)
        resource.setrlimit(resource.RLIMIT_NOFILE, (max(soft, 2048), hard))
        high = fcntl.fcntl(end, fcntl.F_DUPFD, 1100)
        resource.setrlimit(resource.RLIMIT_NOFILE, (soft, hard))
        os.close(end)
        child = Child(process.pid, high)
        assert child.is_alive
        process.communicate(b"\n")
        child.wait()
        assert not child.is_alive
        child.close()


def test_a_process_of_another_user_is_never_taken_for_the_students(monkeypatch):
    spawner = pytest.importorskip("theorykit.server.spawner", exc_type=ImportError)
    with subprocess.Popen([sys.executable, "-c", "input()"], stdin=subprocess.PIPE) as process:
        asks = spawner.WarmSpawner._followed
        for uid, found in ((os.getuid(), True), (os.getuid() + 1, False)):
            row = SimpleNamespace(pw_uid=uid)
            monkeypatch.setattr(spawner.pwd, "getpwnam", lambda _, row=row: row)
            student = SimpleNamespace(user=SimpleNamespace(name="ida"))
            child = asks(student, process.pid)
            assert (child is not None) is found
            if child is not None:
                child.close()
        process.communicate(b"\n")
