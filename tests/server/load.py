"""A class that presses at once: ``python tests/server/load.py --students 30``, as root.

It makes students, starts a hub with a server and a kernel for each, runs chapter 01 in each, and
then changes the colour in every explorer, all in the same instant and at random. It prints how long
an answer took, how much was sent for it, and how much memory a student has (PSS: a page that
several processes share counts for each with its share). Everything is gone afterwards.
"""

from __future__ import annotations

import argparse
import asyncio
import json
import os
import random
import statistics
import sys
import time
from collections.abc import Iterator, Sequence
from contextlib import suppress
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from tornado.websocket import WebSocketClientConnection

ROOT = Path(__file__).resolve().parents[2]
sys.path.insert(0, str(ROOT / "tests" / "helpers"))

from classroom import PROXY, Classroom, classroom  # noqa: E402
from server_seat import line_to, said  # noqa: E402

CHAPTER = "workbook/01_motion_over_the_five.ipynb"
COLOUR = "colour over V"  # the label of the list of colours
PAUSE = 2.0  # seconds between two changes of one student, on average
TICK = os.sysconf("SC_CLK_TCK")


@dataclass
class Seat:
    """A student at work: a kernel behind the hub, as a page talks to it."""

    room: Classroom
    name: str
    line: WebSocketClientConnection | None = None
    widgets: dict[str, dict[str, Any]] = field(default_factory=dict)
    sizes: list[int] = field(default_factory=list)

    async def sit(self) -> float:
        """Start the server; return how many seconds it took."""
        began = time.monotonic()
        await asyncio.to_thread(self.room.start, self.name)
        return time.monotonic() - began

    async def open(self) -> float:
        """Start a kernel and run chapter 01; return how many seconds it took."""
        began = time.monotonic()
        base = f"/user/{self.name}/api"
        asked = {"path": CHAPTER, "type": "notebook", "name": "", "kernel": {"name": "python3"}}
        status, made = await asyncio.to_thread(self.room.ask, "POST", f"{base}/sessions", asked)
        assert status == 201, (status, self.room.log)
        self.line = await line_to(self.room, self.name, made["kernel"]["id"])
        for cell in cells():
            told = await self.say("execute_request", {"code": cell, "silent": False})
            wrong = [one for one in told if one["header"]["msg_type"] == "error"]
            assert not wrong, wrong
        return time.monotonic() - began

    async def press(self, label: str = COLOUR, steps: int | None = None) -> float:
        """Choose another colour in the explorer; return the seconds until the kernel is idle.

        ``label`` may name another list, and ``steps`` how far down it one goes.
        """
        key, state = next(
            (key, state)
            for key, state in self.widgets.items()
            if state.get("_model_name") == "DropdownModel" and state.get("description") == label
        )
        count = len(state["_options_labels"])
        by = random.randrange(1, count) if steps is None else steps
        state["index"] = (state["index"] + by) % count
        self.sizes.append(0)
        began = time.monotonic()
        change = {"method": "update", "state": {"index": state["index"]}, "buffer_paths": []}
        await self.say("comm_msg", {"comm_id": key, "data": change})
        return time.monotonic() - began

    async def say(self, kind: str, content: dict[str, Any]) -> list[dict[str, Any]]:
        """Send a message and return all that is told until the kernel is idle."""
        assert self.line is not None
        told = await said(self.line, kind, content, self.sizes or None)
        for one in told:
            self._learn(one)
        return told

    def _learn(self, one: dict[str, Any]) -> None:
        """Keep what widgets there are."""
        if one["header"]["msg_type"] == "comm_open":
            state = one["content"]["data"].get("state", {})
            self.widgets[one["content"]["comm_id"]] = dict(state)


def cells() -> Iterator[str]:
    """Yield the code of chapter 01."""
    for cell in json.loads((ROOT / CHAPTER).read_text(encoding="utf-8"))["cells"]:
        if cell["cell_type"] == "code":
            yield "".join(cell["source"])


# === What it costs ===


def pss(process: Path) -> float:
    """Return the megabytes of a process, shared pages by their share."""
    with suppress(OSError):
        for row in (process / "smaps_rollup").read_text(encoding="utf-8").splitlines():
            if row.startswith("Pss:"):
                return int(row.split()[1]) / 1000
    return 0.0


def seconds(process: Path) -> float:
    """Return the processor seconds of a process."""
    with suppress(OSError):
        fields = (process / "stat").read_text(encoding="utf-8").rpartition(")")[2].split()
        return (int(fields[11]) + int(fields[12])) / TICK
    return 0.0


def family(room: Classroom) -> list[Path]:
    """Return the hub, its proxy, its services and the warm process."""
    assert room.process is not None
    return [
        one
        for one in Path("/proc").glob("[0-9]*")
        if _session(one) == room.process.pid or _is_proxy(one, room)
    ]


def _is_proxy(process: Path, room: Classroom) -> bool:
    """Tell whether a process is the hub's proxy, which has a session of its own."""
    with suppress(OSError):
        said = (process / "cmdline").read_bytes()
        return bytes(PROXY) in said and str(room.port).encode() in said.split(b"\0")
    return False


def _session(process: Path) -> int:
    """Return the session that a process belongs to."""
    with suppress(OSError):
        return int((process / "stat").read_text(encoding="utf-8").rpartition(")")[2].split()[3])
    return 0


def spread(times: Sequence[float]) -> str:
    """Return median and 95th percentile of some seconds, in milliseconds."""
    ordered = sorted(times)
    late = ordered[min(len(ordered) - 1, int(0.95 * len(ordered)))]
    return f"median {1000 * statistics.median(ordered):.0f} ms, p95 {1000 * late:.0f} ms"


async def measured(room: Classroom, rounds: int, *, apart: bool) -> None:
    """Measure a class and print what was found; ``apart`` gives each student another key."""
    seats = [Seat(room, name) for name in room.students]
    count = len(seats)
    print(f"first server (the warm process gets warm): {await seats[0].sit():.1f} s", flush=True)
    began = time.monotonic()
    starts = await asyncio.gather(*(seat.sit() for seat in seats[1:]))
    if starts:
        print(
            f"{count - 1} servers at once: {time.monotonic() - began:.1f} s in all, "
            f"{min(starts):.1f} to {max(starts):.1f} s each", flush=True,
        )  # fmt: skip
    print(f"chapter 01, one alone: {await seats[0].open():.1f} s", flush=True)
    began = time.monotonic()
    opens = await asyncio.gather(*(seat.open() for seat in seats[1:]))
    if opens:
        print(f"chapter 01, {count - 1} at once: {time.monotonic() - began:.1f} s", flush=True)
    print(f"a colour, one alone: {spread([await seats[0].press() for _ in range(20)])}", flush=True)
    told(room, seats)
    for number, seat in enumerate(seats if apart else ()):
        await seat.press("key", number)
    spent = sum(seconds(one) for one in everything(room))
    together: list[float] = []
    for _ in range(rounds):
        together += await asyncio.gather(*(seat.press() for seat in seats))
        await asyncio.sleep(0.5)
    print(f"a colour, {count} in the same instant: {spread(together)}", flush=True)
    spent = sum(seconds(one) for one in everything(room)) - spent
    print(f"processor for one colour, all processes: {1000 * spent / len(together):.0f} ms")
    each = [one for row in await asyncio.gather(*map(at_random, seats)) for one in row]
    print(f"a colour, {count} every {PAUSE:.0f} s on average: {spread(each)}", flush=True)
    sizes = [size for seat in seats for size in seat.sizes]
    print(f"sent for a colour: median {statistics.median(sizes) / 1000:.0f} kB, "
          f"most {max(sizes) / 1000:.0f} kB")  # fmt: skip
    told(room, seats)


async def at_random(seat: Seat) -> list[float]:
    """Press for half a minute, each time after another pause."""
    until, found = time.monotonic() + 30, []
    await asyncio.sleep(random.uniform(0, PAUSE))
    while time.monotonic() < until:
        found.append(await seat.press())
        await asyncio.sleep(max(0.0, random.uniform(0, 2 * PAUSE) - found[-1]))
    return found


def everything(room: Classroom) -> list[Path]:
    """Return all processes of a class."""
    return [*family(room), *(p for name in room.students for p in room.processes(name))]


def told(room: Classroom, seats: Sequence[Seat]) -> None:
    """Print what a student costs in memory."""
    each = [sum(map(pss, room.processes(seat.name))) for seat in seats]
    whole = sum(map(pss, everything(room)))
    print(
        f"memory (PSS): {statistics.mean(each):.0f} MB a student, {max(each):.0f} at most; "
        f"{whole:.0f} MB in all, {whole / len(seats):.0f} a student with the hub's own", flush=True,
    )  # fmt: skip


def main() -> int:
    """Measure a class of as many students as are named."""
    parser = argparse.ArgumentParser(description="Measure a class on this machine.")
    parser.add_argument("--students", type=int, default=30)
    parser.add_argument("--rounds", type=int, default=10, help="how often all press at once")
    parser.add_argument(
        "--apart", action="store_true", help="each in another key, where nothing is ready yet"
    )
    given = parser.parse_args()
    names = [f"tkload{number:03}" for number in range(1, given.students + 1)]
    with classroom(names) as room:
        print(f"{given.students} students, {os.cpu_count()} processors", flush=True)
        asyncio.run(measured(room, given.rounds, apart=given.apart))
    return 0


if __name__ == "__main__":
    sys.exit(main())
