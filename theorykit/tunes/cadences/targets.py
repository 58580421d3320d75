"""Targets: the chord that each dominant leads to, near or after a detour."""

from __future__ import annotations

from theorykit.tunes.cadences.analysis import Analysis
from theorykit.tunes.dominant_moves import PLAIN
from theorykit.tunes.families import (
    DIM_TRIAD,
    DIMINISHED,
    DOMINANT,
    HALF,
    MAJOR,
    MINOR,
    MINOR_7,
    PEDAL,
    SUSPENDED,
)

_NONE = -1
# Chords that stand for the I where a V deceives: half steps above the I, and the families.
STAND_INS = {
    9: (MINOR_7, MINOR),  # vi
    8: (MAJOR,),  # flat VI
    4: (MINOR_7, MINOR, HALF),  # iii
    3: (MAJOR,),  # flat III, of minor
    5: (MAJOR, MINOR),  # IV instead of I
    6: (HALF,),  # raised iv, half-diminished
}
_FALLEN_TO = frozenset((MINOR_7, MINOR, HALF, MAJOR, DOMINANT, SUSPENDED, DIM_TRIAD))


def target_of(found: Analysis, v: int) -> int:
    """Return the span that a dominant leads to, or -1.

    That is where it lands; else the chord a fifth or a half step below, or the next V whose ii
    comes first; else what the same V leads to after a detour; else a chord that stands for the I.
    """
    seen = {v}  # a form may go round
    while found.moves.landing[v] is None and found.links[v] == _NONE:
        last = found.again[v]
        again = found.moves.reprise[v] if last == v else last
        if again == _NONE or again in seen:
            return _target_alone(found, v)
        v = again
        seen.add(v)
    landing = found.moves.landing[v]
    return _target_of_link(found, v) if landing is None else landing.span


def _target_of_link(found: Analysis, v: int) -> int:
    """Return the next chord where a V falls to it, else the next V, whose ii comes first.

    Where the next ii-V only stands between a V and the chord a fifth below, it is that chord.
    """
    then = found.after(v)
    if found.spans[then].family in (DIMINISHED, PEDAL):
        then = found.after(then)
    if found.up(v, then) in (5, 11) or found.is_back_door_to_iii(v):
        return then
    beyond = found.after(found.links[v])
    is_chromatic = found.up(v, found.links[v]) == 11 and found.ways[v] == PLAIN
    return beyond if is_chromatic and found.up(v, beyond) == 5 else found.links[v]


def _target_alone(found: Analysis, v: int) -> int:
    """Return the target of a V that is in no chain and lands nowhere."""
    then = found.after(v)
    family, steps = found.spans[then].family, found.up(v, then)
    if then == v or (rests(found, v) and found.moves.ii[v] == _NONE):
        return _NONE
    is_fall = steps == 5 or (steps == 11 and found.spans[v].family == DOMINANT)
    if is_fall and family in _FALLEN_TO and not found.is_at_rest(then):
        return then
    if found.ways[v] != PLAIN:
        is_home = steps == 2 and family == MAJOR
        return then if is_home or found.is_back_door_to_iii(v) else _NONE
    for find in (_of_other_self, _of_stand_in, _by_way_of_iv, _by_back_door):
        later = find(found, v, then)
        if later != _NONE:
            return later
    return _NONE


def _by_back_door(found: Analysis, v: int, then: int) -> int:
    """Return the major chord that a dominant rises to by a whole step; the V of home does not."""
    is_home = found.up(v, then) == 2 and found.spans[then].family == MAJOR
    is_v = found.spans[v].family != DOMINANT or (found.spans[v].root + 5 - found.home) % 12 == 0
    return then if is_home and not is_v and found.moves.ii[v] == _NONE else _NONE


def _of_other_self(found: Analysis, v: int, then: int) -> int:
    """Return the target of the substitute that takes over from a V, with or without its ii."""
    other = found.v_of.get(then, then)
    if other == v or not found.is_v(other) or found.up(v, other) != 6:
        return _NONE
    near = found.after(other)
    return near if found.up(v, near) == 5 else _NONE


def _of_stand_in(found: Analysis, v: int, then: int) -> int:
    """Return the chord that stands for the I of a V, a diminished chord passed over."""
    if found.spans[then].family == DIMINISHED:
        steps = (found.up(v, found.after(then)) - 5) % 12
        then = found.after(then)
        return then if steps == 9 and found.spans[then].family in STAND_INS[9] else _NONE
    return then if is_stand_in(found, v, (found.spans[v].root + 5) % 12) else _NONE


def _by_way_of_iv(found: Analysis, v: int, iv: int) -> int:
    """Return the I where V goes to it by way of IV, as in the last bars of a blues."""
    i = found.after(iv)
    is_iv = found.up(v, iv) == 10 and found.spans[iv].family in (DOMINANT, MAJOR, MINOR)
    return i if is_iv and i != v and found.up(v, i) == 5 else _NONE


def rests(found: Analysis, v: int) -> bool:
    """Tell whether a dominant that leads nowhere is at rest: on I or IV of the key around it.

    The V of the tune's own key never is.
    """
    if found.is_at_rest(v):
        return True
    if (found.spans[v].root + 5 - found.home) % 12 == 0:
        return False
    degree = (found.spans[v].root - found.path[v]) % 12
    return found.spans[v].family == DOMINANT and degree in (0, 5)


def is_stand_in(found: Analysis, v: int, root: int) -> bool:
    """Tell whether a V goes to a chord that stands for its I.

    The vi and the flat VI tell that by themselves; the others only where the key is around. The
    IV stands for the ii of the key around, whose flat III it is, where V is written dark.
    """
    then = found.after(v)
    steps = (found.spans[then].root - root) % 12
    known = root in (found.path[v] % 12, found.home % 12)
    known = known or (steps == 3 and found.spans[v].dark and (root - found.path[v]) % 12 == 2)
    plain = steps in (8, 9) and not found.moves.is_ii[then]
    return (known or plain) and found.spans[then].family in STAND_INS.get(steps, ())
