"""Limits of a student: what is written for the system, and what a process may not do any more."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path
from types import SimpleNamespace

import pytest

from theorykit import TheoryError

if not sys.platform.startswith("linux"):
    pytest.skip("limits of a student are those of Linux", allow_module_level=True)

from theorykit.server.limits import Limits, own_groups
from theorykit.server.spawner import WarmSpawner

MEGABYTE = 1_000_000


def test_one_tree_is_told_all_limits(tmp_path: Path):
    """Names and forms: cgroup-v2, Linux documentation (2015, Tejun Heo)."""
    (tmp_path / "cgroup.controllers").write_text("cpu memory pids")
    assert Limits(memory=500, processors=0.5, groups=tmp_path)._join(1001)
    made = tmp_path / "student-1001"
    assert (made / "memory.max").read_text(encoding="utf-8") == str(500 * MEGABYTE)
    assert (made / "cpu.max").read_text(encoding="utf-8") == "50000 100000"
    assert (made / "cgroup.procs").read_text(encoding="utf-8").isdigit()


def test_older_trees_are_told_theirs(tmp_path: Path):
    """Names: memory and cpu controllers, cgroup-v1, Linux documentation (2004)."""
    (tmp_path / "memory").mkdir()
    (tmp_path / "cpu").mkdir()
    assert Limits(memory=500, processors=2, groups=tmp_path)._join(1001)
    memory = tmp_path / "memory" / "student-1001" / "memory.limit_in_bytes"
    assert memory.read_text(encoding="utf-8") == str(500 * MEGABYTE)
    quota = tmp_path / "cpu" / "student-1001" / "cpu.cfs_quota_us"
    assert quota.read_text(encoding="utf-8") == "200000"


def test_where_no_group_can_be_made_nothing_is_limited_by_one(tmp_path: Path):
    assert not Limits(groups=tmp_path)._join(1001)
    assert own_groups(tmp_path) is None


def test_a_group_for_the_processor_alone_is_no_limit_of_memory(tmp_path: Path):
    (tmp_path / "cpu").mkdir()
    assert not Limits(groups=tmp_path)._join(1001)  # there is no tree for memory
    (tmp_path / "memory").write_text("")  # and one that cannot be entered
    assert not Limits(groups=tmp_path)._join(1001)
    (tmp_path / "memory").unlink()
    (tmp_path / "memory").mkdir()
    (tmp_path / "memory" / "student-1001").write_text("")
    assert not Limits(groups=tmp_path)._join(1001)


def test_limits_are_read_and_refused_in_words():
    read = Limits.from_environment({"THEORYKIT_MEMORY_MB": "700", "THEORYKIT_PROCESSORS": "0.5"})
    assert (read.memory, read.processors) == (700, 0.5)
    for wrong in ("much", "-1", "0", "nan", ""):
        with pytest.raises(TheoryError, match="not a limit"):
            Limits.from_environment({"THEORYKIT_MEMORY_MB": wrong})


def test_every_limit_that_the_hub_is_told_reaches_the_students(monkeypatch):
    monkeypatch.setenv("THEORYKIT_FILE_MB", "50")
    monkeypatch.setenv("THEORYKIT_THREADS", "300")
    hub = SimpleNamespace(mem_limit=700_000_000, cpu_limit=0.5, groups="")
    assert Limits.from_environment(WarmSpawner._limits(hub)) == Limits(700, 0.5, 50, 300)


def test_a_process_under_limits_is_refused_memory_and_long_files(tmp_path: Path):
    program = (
        "import sys; from theorykit.server.limits import Limits\n"
        "Limits(memory=300, file=1).enter(0)\n"
        "try: bytearray(400 * 10**6)\nexcept MemoryError: print('memory')\n"
        "try: open(sys.argv[1], 'wb').truncate(2 * 10**6)\nexcept OSError: print('file')"
    )
    command = [sys.executable, "-c", program, str(tmp_path / "long")]
    done = subprocess.run(command, capture_output=True, text=True)
    assert done.stdout.split() == ["memory", "file"], done.stderr
