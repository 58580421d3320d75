"""The proof: nothing is lost, nothing hangs, nothing fails in silence.

``python -m tests.proof`` goes through all parts in full: a million hostile inputs, a thousand
killed writers, several writers at once, a full disk, a thousand steps through every page with and
without a browser, memory over a thousand changes. It prints a report and writes it as text and as
JSON. Half of everything that is drawn comes from a fixed seed, half from a fresh one.
"""

from __future__ import annotations

import argparse
import faulthandler
import os
import shutil
import signal
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path
from random import SystemRandom
from threading import RLock

ROOT = Path(__file__).resolve().parents[2]
sys.path[:0] = [str(ROOT), str(ROOT / "tests/helpers")]
FIXED = 1  # the seed that is the same on every day
# How many of each part are tried: in full, and in a short look.
FULL = {
    "inputs": 1_000_000, "kills": 1000, "writers": 100, "disk": 13, "pages": 1000, "browser": 1000,
    "memory": 1000,
}  # fmt: skip
SHORT = {
    "inputs": 4000, "kills": 60, "writers": 8, "disk": 3, "pages": 15, "browser": 5, "memory": 120,
}  # fmt: skip


def asked_for(arguments: list[str] | None) -> argparse.Namespace:
    """Read the command line."""
    parser = argparse.ArgumentParser(prog="python -m tests.proof", description=__doc__)
    parser.add_argument(
        "parts", nargs="*", metavar="PART", help=f"{', '.join(FULL)}; all by default"
    )
    parser.add_argument("--count", type=int, help="how many of each part, in place of the full")
    parser.add_argument("--short", action="store_true", help="a short look at each part")
    parser.add_argument(
        "--seed", type=int, help="one seed for all, in place of a fixed and a fresh"
    )
    parser.add_argument("--processes", type=int, default=os.cpu_count() or 1, help="for the inputs")
    parser.add_argument("--reader", default="", help="inputs for this reader alone")
    parser.add_argument("--number", type=int, help="one input of that reader, by its number")
    parser.add_argument("--page", default="", help="steps through this page alone")
    parser.add_argument("--report", type=Path, help="folder for report.txt and report.json")
    asked = parser.parse_args(arguments)
    if unknown := set(asked.parts) - set(FULL):
        parser.error(f"no such part: {', '.join(sorted(unknown))} (there are {', '.join(FULL)})")
    return asked


def main(arguments: list[str] | None = None) -> int:
    """Go through what was asked for; return 1 where anything failed or was lost."""
    asked = asked_for(arguments)
    home = tempfile.mkdtemp(prefix="theorykit-proof-home-")  # nobody's own files are touched
    os.environ |= {"XDG_DATA_HOME": home, "MPLBACKEND": "Agg", "MPLCONFIGDIR": f"{home}/mpl"}
    faulthandler.register(signal.SIGUSR1)  # kill -USR1 tells where a run stands
    try:
        return _report(asked)
    finally:
        shutil.rmtree(home, ignore_errors=True)


def _report(asked: argparse.Namespace) -> int:
    """Go through the parts, print the report and write it."""
    from tests.proof.accounts import Account, report_json, report_text

    if asked.number is not None:
        return _replay(asked)
    seeds = [asked.seed] if asked.seed is not None else [FIXED, SystemRandom().randrange(10**9)]
    found: list[Account] = []
    for part in asked.parts or FULL:
        count = asked.count or (SHORT if asked.short else FULL)[part]
        found.append(_part(part, count, seeds, asked))
        print(report_text(found[-1:]), flush=True)
    text = f"seeds {', '.join(map(str, seeds))}\n\n{report_text(found)}\n"
    print(f"\n{text}")
    if asked.report:
        asked.report.mkdir(parents=True, exist_ok=True)
        (asked.report / "report.txt").write_text(text, encoding="utf-8", errors="replace")
        (asked.report / "report.json").write_text(report_json(found), encoding="utf-8")
    return 0 if all(one.is_good for one in found) else 1


def _part(part: str, count: int, seeds: list[int], asked: argparse.Namespace):
    """Go through one part, half of it with each seed, with a bar."""
    from tqdm import tqdm

    tqdm.set_lock(RLock())  # its own lock is shared with forked processes, which are killed
    tqdm.monitor_interval = 0
    begun, whole = time.perf_counter(), None
    with tqdm(desc=part, total=_size(part, count, seeds, asked), smoothing=0.05) as bar:
        for seed in seeds:
            one = _work(part)(max(1, count // len(seeds)), seed, bar.update, asked)
            if whole is None:
                whole = one
            else:
                whole.add(one)
    whole.seconds = time.perf_counter() - begun
    return whole


def _size(part: str, count: int, seeds: list[int], asked: argparse.Namespace) -> int | None:
    """Return how many steps the bar of a part has, None where that is not known before."""
    from tests.proof.memory import PAGES
    from tests.proof.pages import MAKERS

    pages = 1 if asked.page else len(MAKERS)
    return {
        "inputs": count, "kills": count, "pages": count * pages, "browser": count * pages,
        "memory": count * len(PAGES),
    }.get(part)  # fmt: skip


def _work(part: str) -> Callable:
    """Return what goes through one part."""
    from tests.proof import browser_walks, full_disk, inputs, kills, memory, several_writers, walks

    return {
        "inputs": lambda n, seed, step, asked: inputs.all_tried(
            n, seed, step, only=asked.reader, processes=asked.processes
        ),
        "kills": lambda n, seed, step, asked: kills.killed(n, seed, step),
        "writers": lambda n, seed, step, asked: several_writers.written_at_once(n, seed, step),
        "disk": lambda n, seed, step, asked: full_disk.filled(n, seed, step),
        "pages": lambda n, seed, step, asked: walks.walked(n, seed, step, asked.page),
        "browser": lambda n, seed, step, asked: browser_walks.browsed(n, seed, step, asked.page),
        "memory": lambda n, seed, step, asked: memory.weighed(n, seed, step),
    }[part]


def _replay(asked: argparse.Namespace) -> int:
    """Try one input again and say what came of it."""
    from tests.proof.inputs import READINGS, drawn, try_one

    reading = READINGS[asked.reader]
    given = drawn(reading, asked.seed if asked.seed is not None else FIXED, asked.number)
    wrong, seconds, refused = try_one(reading, given)
    print(
        f"{given!r:.2000}\n{wrong or ('refused in words' if refused else 'read')}, {seconds:.3f} s"
    )
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main())
