"""Accounts of a proof: what was tried, refused in words, failed, lost, and what took longest."""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Iterable
from dataclasses import asdict, dataclass, field
from typing import Any

from theorykit.errors import TheoryError

__all__ = ["Account", "faults_of_refusal", "report_json", "report_text"]

MOST_KEPT = 200  # failures that are told in full
LONGEST_WORDS = 4000  # characters of one refusal
FEWEST_WORDS = 3


@dataclass
class Account:
    """What came of one part of the proof.

    ``lost`` counts what was kept and is gone, ``told`` what was refused because another writer was
    busy or the disk was full, which is a refusal as well.
    """

    part: str
    tried: int = 0
    refused: int = 0
    lost: int = 0
    longest: float = 0.0  # seconds
    longest_at: str = ""
    seconds: float = 0.0  # of the whole part
    failed: int = 0
    failures: list[str] = field(default_factory=list)
    figures: dict[str, Any] = field(default_factory=dict)
    by: dict[str, int] = field(default_factory=dict)  # how many of each kind were tried

    def fail(self, words: str) -> None:
        """Count a failure and keep its words."""
        self.failed += 1
        if len(self.failures) < MOST_KEPT:
            self.failures.append(words)

    def lose(self, words: str) -> None:
        """Count something that was kept and is gone."""
        self.lost += 1
        if len(self.failures) < MOST_KEPT:
            self.failures.append(f"lost: {words}")

    def took(self, seconds: float, what: str) -> None:
        """Take down how long one thing took."""
        if seconds > self.longest:
            self.longest, self.longest_at = seconds, what

    def add(self, other: Account) -> None:
        """Take in what another process counted for the same part."""
        self.tried += other.tried
        self.refused += other.refused
        self.lost += other.lost
        self.failed += other.failed
        self.failures = [*self.failures, *other.failures][:MOST_KEPT]
        self.took(other.longest, other.longest_at)
        self.by = dict(Counter(self.by) + Counter(other.by))
        for name, value in other.figures.items():
            here = self.figures.get(name, value)
            self.figures[name] = value if isinstance(value, str) else max(value, here)

    @property
    def is_good(self) -> bool:
        """True where nothing failed and nothing was lost."""
        return not self.failed and not self.lost


def faults_of_refusal(error: TheoryError) -> list[str]:
    """Return what is wrong with the words of a refusal: they are for the eyes of a reader."""
    words = str(error)
    found = []
    if len(words.split()) < FEWEST_WORDS:
        found.append("says nothing")
    if len(words) > LONGEST_WORDS:
        found.append(f"says too much, {len(words)} characters")
    if " object at 0x" in words or "Traceback" in words:
        found.append("speaks of the program")
    try:
        words.encode()
    except UnicodeEncodeError:
        found.append("cannot be shown on a page")
    return found


def report_text(accounts: Iterable[Account]) -> str:
    """Return a table of the parts, with their figures and failures below."""
    found = list(accounts)
    rows = [f"{'part':<22}{'tried':>10}{'refused':>10}{'failed':>8}{'lost':>6}  longest"]
    for one in found:
        longest = f"{one.longest:.3f} s {one.longest_at[:60]}"
        rows.append(
            f"{one.part:<22}{one.tried:>10,}{one.refused:>10,}{one.failed:>8,}{one.lost:>6,}"
            f"  {longest}"
        )
    for one in found:
        rows += ["", f"{one.part} ({one.seconds:.0f} s)"]
        rows += [f"  {name}: {value}" for name, value in one.figures.items()]
        if one.by:
            rows.append(
                "  " + ", ".join(f"{name} {count:,}" for name, count in sorted(one.by.items()))
            )
        rows += [f"  ! {words}" for words in one.failures]
    return "\n".join(rows)


def report_json(accounts: Iterable[Account]) -> str:
    """Return the accounts as JSON."""
    return json.dumps([asdict(one) for one in accounts], indent=1, ensure_ascii=True)
