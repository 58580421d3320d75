"""In which way a V that does not land was going: plain, as a tritone substitute, as a backdoor."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Protocol

from theorykit.tunes.families import DOMINANT, HALF, MINOR, MINOR_7
from theorykit.tunes.moves import BACKDOOR, PLAIN, TRITONE, Moves
from theorykit.tunes.spans import Span

__all__ = ["Found", "ways_of"]

_NONE = -1


class Found(Protocol):
    """The part of an analysis that is known before this question."""

    spans: list[Span]
    moves: Moves
    path: list[int]
    home: int
    links: list[int]
    chains: dict[int, tuple[int, ...]]

    def up(self, low: int, high: int) -> int:
        """Return the half steps from the root of one span up to that of another."""

    def after(self, place: int, steps: int = 1) -> int:
        """Return the span so many steps later."""


def ways_of(found: Found) -> list[str]:
    """Return the way of each span, had it landed; it means something for dominants only.

    Along a chain it is found from the end back. D7 that leads to Db7, where Db7 stands for G7, is
    the plain V of that G7; leading to a plain Db7, it would be the substitute.
    """
    ways = [_way_alone(found, v) for v in range(len(found.spans))]
    for chain in set(found.chains.values()):
        _follow_back(found, chain, ways)
    return ways


def _way_alone(found: Found, v: int) -> str:
    """Return the way of a V that leads to no other."""
    landing = found.moves.landing[v]
    if landing is not None:
        return landing.way
    is_backdoor = _is_backdoor_here(found, v) or _is_backdoor_to_iii(found, v)
    return BACKDOOR if is_backdoor else PLAIN


def _follow_back(found: Found, chain: Sequence[int], ways: list[str]) -> None:
    """Find the ways along one chain."""
    for v in reversed(chain):
        later = found.links[v]
        if later == _NONE or _is_backdoor_to_iii(found, v):
            continue
        ways[v] = TRITONE if _falls_a_half_step(found, v, ways[later]) else PLAIN


def _is_backdoor_here(found: Found, v: int) -> bool:
    """Tell whether a dominant stands on the flat VII of the major key around it."""
    is_dominant = found.spans[v].family == DOMINANT
    return is_dominant and found.path[v] == (found.spans[v].root + 2) % 12


def _is_backdoor_to_iii(found: Found, v: int) -> bool:
    """Tell whether a backdoor dominant goes to the iii of the key around it or of the tune."""
    then = found.after(v)
    is_iii = found.up(v, then) == 6 and found.spans[then].family in (MINOR_7, MINOR)
    is_home = found.home == (found.spans[v].root + 2) % 12 and found.spans[v].family == DOMINANT
    return is_iii and (is_home or _is_backdoor_here(found, v))


def _falls_a_half_step(found: Found, v: int, later_way: str) -> bool:
    """Tell whether a V leads as a substitute to the V it is linked with, or to the ii of that.

    The V of the home key is that, wherever it turns; and no V substitutes for that of a
    half-diminished chord, which is no key's tonic.
    """
    if (found.spans[v].root + 5) % 12 == found.home % 12:
        return False
    later = found.links[v]
    between = found.moves.ii[later]
    steps = found.up(v, between) if between not in (_NONE, v) else _NONE
    if steps == 11:
        return found.spans[between].family != HALF
    return found.up(v, later) == 11 and steps != 5 and later_way != TRITONE
