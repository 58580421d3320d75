"""Limits: how much memory, processor and disk one student may use."""

from __future__ import annotations

import os
import resource
from collections.abc import Iterator, Mapping
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path

from theorykit.errors import TheoryError, shown

MEGABYTE = 1_000_000
_PERIOD = 100_000  # microseconds over which the share of a processor is measured
_ENVIRONMENT = {
    "memory": "THEORYKIT_MEMORY_MB",
    "processors": "THEORYKIT_PROCESSORS",
    "file": "THEORYKIT_FILE_MB",
    "threads": "THEORYKIT_THREADS",
}


@dataclass(frozen=True, slots=True)
class Limits:
    """What all processes of one student may use, or each of them where the system cannot add up.

    ``memory`` and ``file`` are megabytes, ``processors`` a number of them; ``groups`` is where the
    system keeps control groups that we may make, None where it has none.

    >>> Limits(memory=500).told
    'memory 500 MB a process, files of 200 MB, 400 threads'
    """

    memory: float = 600
    processors: float = 1
    file: float = 200
    threads: float = 400  # a kernel has 15; a student opens every chapter
    groups: Path | None = None

    @classmethod
    def from_environment(cls, given: Mapping[str, str] = os.environ) -> Limits:
        """Return the limits that the environment names.

        >>> Limits.from_environment({"THEORYKIT_MEMORY_MB": "800"}).memory
        800.0
        """
        named = {name: _number(given[key]) for name, key in _ENVIRONMENT.items() if key in given}
        place = given.get("THEORYKIT_GROUPS", "")
        return cls(**named, groups=Path(place) if place else None)

    @property
    def told(self) -> str:
        """The limits in words."""
        whole = [f"memory {self.memory:g} MB"]
        whole[0] += " a student" if self.groups else " a process"
        if self.groups:
            whole.append(f"processors {self.processors:g}")
        return ", ".join([*whole, f"files of {self.file:g} MB", f"{self.threads:g} threads"])

    def enter(self, user: int) -> None:
        """Put this process under the limits of a user; what it starts stays under them."""
        _limit(resource.RLIMIT_FSIZE, self.file * MEGABYTE)
        _limit(resource.RLIMIT_NPROC, self.threads)
        if self.groups is None or not self._join(user):
            _limit(resource.RLIMIT_DATA, self.memory * MEGABYTE)
            os.nice(1)  # a student's work waits for the hub's

    def _join(self, user: int) -> bool:
        """Put this process into the control groups of a user, and tell whether all limit it."""
        joined, is_limited = [], False
        for place, texts in self._settings(user):
            joined.append(False)
            is_limited |= any(name.startswith("memory") for name in texts)
            with suppress(OSError):
                place.mkdir(parents=True, exist_ok=True)
                for name, text in texts.items():
                    (place / name).write_text(text, encoding="utf-8")
                (place / "cgroup.procs").write_text(str(os.getpid()), encoding="utf-8")
                joined[-1] = True
        return is_limited and all(joined)

    def _settings(self, user: int) -> Iterator[tuple[Path, Mapping[str, str]]]:
        """Yield the folders of a user's control group, and what is written into each."""
        assert self.groups is not None
        memory, share = str(int(self.memory * MEGABYTE)), int(self.processors * _PERIOD)
        if (self.groups / "cgroup.controllers").exists():  # one tree for everything
            yield self.groups / f"student-{user}", {
                "memory.max": memory, "cpu.max": f"{share} {_PERIOD}",
                "pids.max": str(int(self.threads)),
            }  # fmt: skip
            return
        older = {
            "memory": {"memory.limit_in_bytes": memory},
            "cpu": {"cpu.cfs_period_us": str(_PERIOD), "cpu.cfs_quota_us": str(share)},
        }
        for tree, texts in older.items():
            if (self.groups / tree).is_dir():
                yield self.groups / tree / f"student-{user}", texts


def own_groups(tree: Path = Path("/sys/fs/cgroup")) -> Path | None:
    """Return where this process may make control groups (cgroups(7)), None where it may not.

    Where one tree holds everything, its part must be handed to us (``Delegate=`` of systemd). This
    process then moves into a leaf, because what has groups below it holds no process.

    >>> own_groups(Path("no such folder"))
    """
    with suppress(OSError):
        if (tree / "cgroup.controllers").exists():
            path = next(row for row in _membership() if row.startswith("0::")).partition("::")[2]
            base = tree / path.strip().lstrip("/")
            if base == tree:
                return None
            (base / "hub").mkdir(exist_ok=True)
            for one in (base / "cgroup.procs").read_text(encoding="utf-8").split():
                (base / "hub" / "cgroup.procs").write_text(one, encoding="utf-8")
            (base / "cgroup.subtree_control").write_text("+memory +cpu +pids", encoding="utf-8")
            return base
        if (tree / "memory" / "cgroup.procs").exists() and os.access(tree / "memory", os.W_OK):
            return tree
    return None


def _membership() -> list[str]:
    """Return which groups this process is in."""
    return Path("/proc/self/cgroup").read_text(encoding="utf-8").splitlines()


def _limit(what: int, most: float) -> None:
    """Set a limit that cannot be raised again."""
    hard = resource.getrlimit(what)[1]
    value = int(most) if hard == resource.RLIM_INFINITY else min(int(most), hard)
    resource.setrlimit(what, (value, value))


def _number(text: str) -> float:
    """Return a positive number."""
    with suppress(ValueError):
        if (number := float(text)) > 0:
            return number
    raise TheoryError(f"not a limit: {shown(text)} (want a number above 0)")
