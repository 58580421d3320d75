"""Charts with the job of every chord, read from the file of labels, and what is counted in them."""

from __future__ import annotations

import re
from typing import NamedTuple

from house import ROOT

from theorykit.tunes.charts import Chart

FILE = ROOT / "tests" / "tunes" / "cadences" / "jobs.txt"
ROLES = {
    "T": "tonic",
    "S": "subdominant",
    "ii": "the ii of",
    "V": "the V of",
    "tt": "tritone substitute for the V of",
    "bd": "backdoor",
    "rest": "dominant at rest",
    "pass": "passing",
    "ln": "leading-note diminished",
    "ct": "common-tone diminished",
    "ped": "pedal",
    "bor": "borrowed",
    "line": "line",
    "nc": "silent",
}
LEADING = {ROLES[code] for code in ("ii", "V", "tt", "bd", "pass", "ln", "ct")}
Label = tuple[str, "int | None"]  # a role, and the index of the chord that it leads to


class JobCase(NamedTuple):
    """A chart, what it shows, and for each played chord the labels that a musician accepts."""

    what: str
    chart: Chart
    labels: tuple[tuple[Label, ...], ...]
    held_out: bool


def job_cases() -> tuple[JobCase, ...]:
    """Read the file; every third chart was held out while the rules were written."""
    text = re.sub(r"^#.*\n", "", FILE.read_text(encoding="utf-8"), flags=re.MULTILINE)
    blocks = [block.strip().splitlines() for block in re.split(r"\n\s*\n", text) if block.strip()]
    return tuple(_case(number, *block) for number, block in enumerate(blocks))


def _case(number: int, head: str, bars: str, line: str) -> JobCase:
    """Read one chart."""
    what, key, *metre = (part.strip() for part in head.split(";"))
    chart = Chart.parse(f"key: {key}\nmetre: {metre[0] if metre else '4/4'}\n{bars}")
    names = [str(played.chord) for played in chart.played]
    codes: list[str] = []
    for code in line.split():
        codes.append(codes[-1] if code == "=" else code)
    if len(codes) != len(names):
        raise ValueError(f"{what}: {len(codes)} labels for {len(names)} chords")
    bare = [_read(code, names, index) for index, code in enumerate(codes)]
    return JobCase(what, chart, tuple(bare), number % 3 == 2)


def _read(codes: str, names: list[str], index: int) -> tuple[Label, ...]:
    """Read the labels of one chord; a slash parts them where it does not part chord and bass."""
    found = []
    for code in re.split(r"/(?=(?:T|S|bor|ii>)(?:/|$|>|[A-G]))", codes):
        role, _, name = code.partition(">")
        found.append((ROLES[role], _ahead(names, index, name) if name else None))
    return tuple(found)


def _ahead(names: list[str], index: int, name: str) -> int:
    """Return the next place of a chord, by the first of those where it is only held."""
    ring = [(index + steps) % len(names) for steps in range(1, len(names) + 1)]
    return next(place for place in ring if names[place] == name)


def is_dominant(case: JobCase, index: int) -> bool:
    """Tell whether a chord is written as a dominant seventh, suspended or not."""
    kind = case.chart.played[index].chord.kind
    return kind.is_dominant


def starts(case: JobCase) -> list[int]:
    """Return the places where a chord is not merely said again."""
    played = case.chart.played
    return [n for n in range(len(played)) if n == 0 or played[n].chord != played[n - 1].chord]
