"""Turns of kernels: one works while the other waits, and nobody is held up for long."""

from __future__ import annotations

import os
import subprocess
import sys
import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

pytest.importorskip("fcntl")

import fcntl

from theorykit.server import turns
from theorykit.server.turns import Turns, make_turns

_KEEPS = "import fcntl,sys; f=open(sys.argv[1]); fcntl.flock(f,2); print('has it',flush=True); "


@pytest.fixture
def folder(tmp_path: Path, monkeypatch) -> Path:
    """One turn for all."""
    monkeypatch.setattr(os, "cpu_count", lambda: 1)
    (make_turns(tmp_path / "turns") / "1").unlink()
    return tmp_path / "turns"


@contextmanager
def somebody(file: Path, then: str) -> Iterator[subprocess.Popen[str]]:
    """Another process that has the turn, and does something then."""
    command = [sys.executable, "-c", _KEEPS + then, str(file)]
    with subprocess.Popen(
        command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True
    ) as child:
        assert child.stdout is not None
        assert child.stdout.readline() == "has it\n"
        yield child
        child.kill()


def is_free(file: Path) -> bool:
    with file.open() as other:
        try:
            fcntl.flock(other, fcntl.LOCK_EX | fcntl.LOCK_NB)
        except BlockingIOError:
            return False
        return True


def test_there_is_a_turn_more_than_processors_and_nobody_can_change_one(tmp_path, monkeypatch):
    monkeypatch.setattr(os, "cpu_count", lambda: 4)
    files = sorted(make_turns(tmp_path / "turns").iterdir())
    assert [one.stat().st_mode & 0o777 for one in files] == 5 * [0o444]
    assert make_turns(tmp_path / "turns")  # a second time is no error


def test_one_that_is_taken_is_waited_for(folder: Path, tmp_path: Path, monkeypatch):
    monkeypatch.setattr(turns, "WAITS", 60)
    mark = tmp_path / "done"
    ends = f"import time; time.sleep(.3); open({str(mark)!r},'w')"
    with somebody(folder / "0", ends), Turns(folder).taken():
        assert mark.exists()


def test_one_that_does_not_come_is_done_without(folder: Path, monkeypatch):
    monkeypatch.setattr(turns, "WAITS", 0.05)
    mine, done = Turns(folder), []
    with somebody(folder / "0", "sys.stdin.read()") as child:
        with mine.taken():
            done.append("late")
        monkeypatch.setattr(turns, "WAITS", 10_000)
        with mine.taken():  # for a while nobody waits again
            done.append("at once")
        assert child.poll() is None
    assert done == ["late", "at once"]


def test_long_work_gives_its_turn_to_the_next(folder: Path, monkeypatch):
    monkeypatch.setattr(turns, "WORKS", 0.05)
    until = time.monotonic() + 60
    with Turns(folder).taken():
        assert not is_free(folder / "0")
        while not is_free(folder / "0"):
            assert time.monotonic() < until
    assert is_free(folder / "0")


def test_a_turn_is_given_back_after_an_error(folder: Path):
    mine = Turns(folder)
    with pytest.raises(ZeroDivisionError), mine.taken():
        1 / 0  # noqa: B018
    assert is_free(folder / "0")


def test_other_threads_need_none(folder: Path):
    found: list[str] = []

    def work() -> None:
        with Turns(folder).taken():
            found.append("done")

    with somebody(folder / "0", "sys.stdin.read()"):
        thread = threading.Thread(target=work)
        thread.start()
        thread.join(60)
    assert found == ["done"]
