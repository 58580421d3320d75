"""Requests to a warm process: what the one that asks gets, however quick the child is."""

from __future__ import annotations

import os
import socket
import subprocess
import sys
import threading
from collections.abc import Iterator
from pathlib import Path

import pytest

from theorykit.server.warm_request import ask

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
