"""Passes through a chart with a jump: the bars before it, and after it.

The first pass takes every repeat, up to the jump the last time that it is met. The second begins
at the top or at the segno, takes no repeat again but plays each once with its last ending, and
goes on until the fine, or to the coda and from there to the end (common practice).
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field

from theorykit.tunes.bars import JUMP_MARKS, ChartBar, jump_mark

JumpFault = tuple[int, str, str]  # the written bar, the mark there, and what is wrong with it
_JUMPS = tuple(mark.name for mark in JUMP_MARKS if mark.back)


@dataclass(frozen=True, slots=True)
class Form:
    """The bars of a chart without its jumps.

    ``first`` is their order with every repeat taken, ``once`` the order with each repeat once and
    its last ending; ``inside`` are the bars that stand in a repeat after its first bar.
    """

    first: Sequence[int]
    once: Sequence[int]
    inside: frozenset[int]


@dataclass(slots=True)
class _Route:
    """The marks of a chart, each with the bar where it stands first."""

    form: Form
    jump: str
    at: Mapping[str, int]
    until: str = field(init=False)  # fine, coda or nothing
    places: dict[int, int] = field(init=False)  # of bars in the second pass, played whole

    def __post_init__(self) -> None:
        """Say until where the second pass goes."""
        plain = "coda" if {"coda", "to coda"} & self.at.keys() else "fine"
        self.until = jump_mark(self.jump).until or (plain if plain in _asked(self.at) else "")
        self.places = {bar: place for place, bar in enumerate(self.form.once)}

    @property
    def start(self) -> int:
        """The bar where the second pass begins."""
        return self.at["segno"] if jump_mark(self.jump).back == "segno" else 0

    def meets(self, bar: int) -> bool:
        """Tell whether the second pass, if nothing ended it, would meet a bar."""
        return bar in self.places and bar >= self.start

    def order(self) -> list[int]:
        """Return the bars as they are played."""
        first, once = self.form.first, self.form.once
        last = max(place for place, bar in enumerate(first) if bar == self.at[self.jump])
        played = [*first[: last + 1]]
        ends = self.at[{"coda": "to coda", "fine": "fine", "": self.jump}[self.until]]
        end = self.places.get(ends, len(once) - 1)
        played += once[self.places[self.start] : end + 1]
        return played + self.coda() if self.until == "coda" else played

    def coda(self) -> list[int]:
        """Return the bars of the coda, its repeats taken, up to the fine if it has one."""
        rest = [*self.form.first[self.form.first.index(self.at["coda"]) :]]
        if "fine" not in self.at:
            return rest
        return rest[: max(place for place, bar in enumerate(rest) if bar == self.at["fine"]) + 1]


def _asked(at: Mapping[str, int]) -> set[str]:
    """Return the marks of a chart, ``coda`` where anything speaks of one."""
    return {"coda" if name == "to coda" else name for name in at}


def follow_jumps(bars: Sequence[ChartBar], form: Form) -> list[int]:
    """Return the indices of the bars of a chart without faults, in the order played."""
    at = _places(bars)
    jump = _jump(at)
    return _Route(form, jump, at).order() if jump else [*form.first]


def faults_of_jumps(bars: Sequence[ChartBar], form: Form) -> list[JumpFault]:
    """Return what is wrong with the jumps of a chart whose repeats are in order."""
    at = _places(bars)
    jump = _jump(at)
    faults = [*_again(bars)] or [*(_missing(at, jump) if jump else _without_jump(at))]
    if faults or not jump:
        return faults
    route = _Route(form, jump, at)
    return [*_astray(route)] or [*_unreached(route, len(bars))]


def _places(bars: Sequence[ChartBar]) -> dict[str, int]:
    """Return where each mark stands first."""
    at: dict[str, int] = {}
    for index, bar in enumerate(bars):
        for name in bar.marks:
            at.setdefault(name, index)
    return at


def _jump(at: Mapping[str, int]) -> str:
    """Return the name of the jump, or nothing."""
    return next((name for name in at if name in _JUMPS), "")


def _again(bars: Sequence[ChartBar]) -> Iterator[JumpFault]:
    """Find marks that stand in a chart twice."""
    seen: dict[str, int] = {}
    for index, bar in enumerate(bars):
        for name in bar.marks:
            kind = "jump" if name in _JUMPS else name
            if kind in seen:
                yield index, name, f"a second {kind}; bar {seen[kind] + 1} has one (want one)"
            seen.setdefault(kind, index)


def _without_jump(at: Mapping[str, int]) -> Iterator[JumpFault]:
    """Find the first mark of a chart in which nobody jumps."""
    wanted = {"segno": "D.S.", "fine": "D.C. al fine or D.S. al fine"}
    for name, index in list(at.items())[:1]:
        want = wanted.get(name, "D.C. al coda or D.S. al coda")
        yield index, name, f"{name} without a jump (want {want} at the end of a bar)"


def _missing(at: Mapping[str, int], jump: str) -> Iterator[JumpFault]:
    """Find what a jump asks for and the chart lacks, and marks that it never asks for."""
    here, row, asked = at[jump], jump_mark(jump), _asked(at)
    if row.back == "segno" and "segno" not in at:
        yield here, jump, f"{jump} without segno (want segno at the head of the bar it goes to)"
    if row.back == "top" and "segno" in at:
        yield at["segno"], "segno", f"segno, but {jump} goes to the top (want D.S. to go here)"
    if row.until == "fine" and "fine" not in at:
        yield here, jump, f"{jump} without fine (want fine at the end of the last bar played)"
    if row.until == "fine" and "coda" in asked:
        name = "to coda" if "to coda" in at else "coda"
        want = f"{jump[:4]} al coda"
        yield at[name], name, f"{name}, but {jump} goes to no coda (want {want})"
    elif row.until == "coda" or "coda" in asked:
        yield from _missing_coda(at, jump)


def _missing_coda(at: Mapping[str, int], jump: str) -> Iterator[JumpFault]:
    """Find which of the two marks of a coda is not there."""
    if "to coda" not in at:
        name = jump if jump_mark(jump).until else "coda"
        want = "want to coda at the end of the bar where players leave"
        yield at[name], name, f"{name} without to coda ({want})"
    if "coda" not in at:
        name = jump if jump_mark(jump).until else "to coda"
        yield at[name], name, f"{name} without a coda (want coda at the head of its first bar)"


def _astray(route: _Route) -> Iterator[JumpFault]:
    """Find marks that stand where no pass can use them."""
    at, here = route.at, route.at[route.jump]
    if not route.meets(route.start) or route.start > here:
        want = "want it before the jump, and in no ending but the last"
        yield route.start, "segno", f"{route.jump} cannot go to this segno ({want})"
        return
    if route.until == "coda":
        yield from _astray_coda(at, here, route)
    if "fine" in at:
        coda = at["coda"] if route.until == "coda" else 0
        if at["fine"] < coda or (not coda and not route.meets(at["fine"])):
            yield at["fine"], "fine", "the second pass never meets this fine (want it on its way)"


def _astray_coda(at: Mapping[str, int], here: int, route: _Route) -> Iterator[JumpFault]:
    """Find a coda, or a way to it, where no pass can use it."""
    if at["coda"] <= here:
        yield at["coda"], "coda", "the coda stands before the jump (want it after all other bars)"
    elif at["coda"] in route.form.inside:
        yield at["coda"], "coda", "the coda begins inside a repeat (want |: at its head or later)"
    if not route.meets(at["to coda"]) or at["to coda"] >= max(at["coda"], here + 1):
        want = "want it on the way from segno or top to the coda"
        yield at["to coda"], "to coda", f"the second pass never meets this to coda ({want})"


def _unreached(route: _Route, count: int) -> Iterator[JumpFault]:
    """Find the first bar that is never played."""
    played = set(route.order())
    for index in range(count):
        if index not in played:
            want = f"want {route.jump} after it, or a coda that it belongs to"
            yield index, "", f"this bar is never played ({want})"
            return
