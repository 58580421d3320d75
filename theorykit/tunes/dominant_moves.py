"""Moves of dominants: the ii that each has, and the chord that each lands on.

A ii is a minor seventh or half-diminished chord, or a minor triad or sixth; it stands a fourth
below its V, or a half step above the substitute of that V (common practice). In a minor tune i and
IV7 stand a fourth apart as well and are no ii-V unless they lead to an I or to a ii-V.

The rules, each of common practice:

* A V lands a fifth below, a tritone substitute a half step below, a backdoor dominant a whole step
  above; on a major or minor chord. In a blues the I7 and the IV7 are landings too.
* A minor seventh chord that is itself the ii of the next V is no landing.
* What only delays the landing is looked through: a passing diminished chord, the same V prepared
  once more, its substitute with or without the ii of that, a chromatic ii-V.
* The end of the form leads back to its top.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from theorykit.tunes.families import (
    AUGMENTED,
    DIM_TRIAD,
    DIMINISHED,
    DOMINANT,
    HALF,
    MAJOR,
    MINOR,
    MINOR_7,
    OPEN,
    SUS_TRIAD,
    SUSPENDED,
    Span,
)

__all__ = ["BACKDOOR", "PLAIN", "TRITONE", "Blues", "Moves", "moves_of"]

NONE = -1
SUBDOMINANT = frozenset((MINOR_7, HALF, MINOR, DIM_TRIAD))
FULL = frozenset((DOMINANT, SUSPENDED))
LEADS = frozenset((DOMINANT, SUSPENDED, AUGMENTED))


class Blues(NamedTuple):
    """What is known of the tune as a whole before its cadences are sought.

    ``tonic`` is the home tonic as a number, or -1 where it is not known yet; ``rests`` are the
    roots whose dominant seventh chords are at rest: I and IV in a blues. ``is_minor`` tells
    whether the tonic is that of a minor key.
    """

    tonic: int = NONE
    rests: frozenset[int] = frozenset()
    is_minor: bool = False


class Ring:
    """The spans as a ring, and what has been found out about them."""

    def __init__(self, spans: Sequence[Span], blues: Blues) -> None:
        self.count = len(spans)
        self.roots = [span.root for span in spans]
        self.families = [span.family for span in spans]
        self.spans = spans
        self.blues = blues
        self.ii = [NONE] * self.count
        self.is_ii = [False] * self.count
        self.pair()

    def up(self, low: int, high: int) -> int:
        """Return the half steps from the root of one span up to that of another."""
        return (self.roots[high] - self.roots[low]) % 12

    def after(self, place: int, steps: int = 1) -> int:
        """Return the span so many steps later; the end leads back to the top."""
        return (place + steps) % self.count

    def pair(self) -> None:
        """Find the ii of each V; those of substitutes last, from the end back."""
        if self.count < 2:
            return
        for v in range(self.count):
            self.join(v, self.plain_ii(v))
        for v in range(self.count - 1, -1, -1):
            if self.ii[v] == NONE and self.is_substitute_after_ii(v):
                self.join(v, self.first_of_ii(self.after(v, -1)))

    def join(self, v: int, ii: int) -> None:
        """Note the ii of a V down."""
        if ii != NONE:
            self.ii[v] = ii
            self.is_ii[ii] = True

    def plain_ii(self, v: int) -> int:
        """Return the ii a fourth below a V, or -1; a neighbour of the V may stand between."""
        before, earlier = self.after(v, -1), self.after(v, -2)
        if self.is_fourth(before, v):
            is_pair = self.can_be_v(v) and not self.is_tonic_and_fourth(before, v)
            return self.first_of_ii(before) if is_pair else NONE
        is_neighbour = self.families[before] == DOMINANT and self.up(v, before) == 1
        if self.count > 2 and is_neighbour and self.is_fourth(earlier, v):
            return self.first_of_ii(earlier) if self.families[v] in FULL else NONE
        return NONE

    def is_fourth(self, ii: int, v: int) -> bool:
        """Tell whether a chord that can be a ii stands a fourth below another chord."""
        return self.families[ii] in SUBDOMINANT and self.up(ii, v) == 5

    def is_tonic_and_fourth(self, i: int, v: int) -> bool:
        """Tell whether two chords are i and IV7 of a minor tune: they lead to no I and no ii-V."""
        if not self.blues.is_minor or self.roots[i] != self.blues.tonic:
            return False
        if self.families[i] not in (MINOR, MINOR_7):
            return False
        then, later = self.after(v), self.after(v, 2)
        lands = self.up(v, then) in (5, 11) and self.families[then] in (MAJOR, MINOR, MINOR_7)
        leads = self.up(v, then) in (0, 5, 11) or self.up(v, later) == 11
        goes_on = leads and self.is_fourth(then, later) and self.families[later] in FULL
        return not (lands or (goes_on and then != i))

    def can_be_v(self, v: int) -> bool:
        """Tell whether a chord a fourth above a ii is its V: a triad only where it lands."""
        family = self.families[v]
        if family in LEADS:
            return True
        after = self.after(v)
        is_triad = family == SUS_TRIAD or (family == MAJOR and self.spans[v].bare)
        return is_triad and self.up(v, after) == 5 and self.families[after] in (MAJOR, MINOR)

    def is_substitute_after_ii(self, v: int) -> bool:
        """Tell whether a dominant is the tritone substitute after the plain ii, and lands."""
        before, after = self.after(v, -1), self.after(v)
        return (
            self.families[v] == DOMINANT
            and self.families[before] in SUBDOMINANT
            and self.up(before, v) == 11
            and self.up(v, after) == 11
            and self.is_landing(after)
        )

    def first_of_ii(self, ii: int) -> int:
        """Return the m7 where a ii goes on to its own m6 or m(maj7) before the V."""
        before = self.after(ii, -1)
        same = self.families[ii] == MINOR and self.families[before] == MINOR_7
        return before if same and self.up(ii, before) == 0 else ii

    def is_landing(self, target: int) -> bool:
        """Tell whether a chord can be landed on."""
        family = self.families[target]
        if family == MINOR_7:
            return not self.is_ii[target]
        return family in (MAJOR, MINOR, OPEN) or self.is_at_rest(target)

    def is_at_rest(self, place: int) -> bool:
        """Tell whether a dominant seventh is I7 or IV7 of a blues, or a last chord on I."""
        if self.families[place] != DOMINANT or self.blues.tonic == NONE:
            return False
        root = self.roots[place]
        if root in self.blues.rests:
            return True
        return root == self.blues.tonic and place == self.count - 1


PLAIN, TRITONE, BACKDOOR = "", "tritone", "backdoor"
_STEPS = {5: PLAIN, 11: TRITONE, 2: BACKDOOR}  # half steps from V up to the landing


class Landing(NamedTuple):
    """Where a V lands: the span, and how (plain, tritone, backdoor).

    ``through`` is the first span in between, or -1; ``other`` is the later dominant whose landing
    this is, or -1.
    """

    span: int
    way: str
    through: int = NONE
    other: int = NONE


class Moves(NamedTuple):
    """For each span: its ii if it is a V (or -1), whether it is a ii, where it lands (or None)."""

    ii: list[int]
    is_ii: list[bool]
    landing: list[Landing | None]


def moves_of(spans: Sequence[Span], blues: Blues | None = None) -> Moves:
    """Return the ii and the landing of every dominant."""
    walk = _Walk(spans, blues or Blues())
    return Moves(walk.ii, walk.is_ii, walk.landing)


class _Walk(Ring):
    """The ring of spans with what is found out about the landing of each V."""

    def __init__(self, spans: Sequence[Span], blues: Blues) -> None:
        super().__init__(spans, blues)
        self.landing: list[Landing | None] = [None] * self.count
        self.land()

    def land(self) -> None:
        """Find where each V lands, from the end back; twice, for the end leads to the top."""
        for _ in range(2):
            for v in range(self.count - 1, -1, -1):
                if self.landing[v] is None and (self.families[v] in LEADS or self.ii[v] != NONE):
                    self.landing[v] = self.find_landing(v)

    def find_landing(self, v: int) -> Landing | None:
        """Return where one V lands."""
        if self.count < 2:
            return None
        after = self.after(v)
        way = self.direct(v, after)
        if way is not None:
            return Landing(after, way)
        if self.count < 3:
            return None
        return self.through_one(v, after) or self.through_pair(v, after)

    def direct(self, v: int, target: int) -> str | None:
        """Return the way in which ``v`` lands on ``target``, or None."""
        way = _STEPS.get(self.up(v, target))
        if way is None or v == target:
            return None
        if not self.is_landing(target):
            return way if way == PLAIN and self.is_blue(v, target) else None
        if way == PLAIN:
            return way if self.families[target] != DOMINANT or self.may_rest(v, target) else None
        if self.families[v] != DOMINANT:
            return None
        if way == TRITONE:
            return None if self.is_fourth_to_third(v, target) else way
        has_ii = self.ii[v] != NONE and self.up(self.ii[v], v) == 5
        is_home = self.roots[target] == self.blues.tonic
        is_bright = self.families[target] in (MAJOR, DOMINANT)
        sure = has_ii if self.families[target] == MAJOR else has_ii and is_home
        return way if is_bright and (sure or (is_home and self.families[target] == MAJOR)) else None

    def is_fourth_to_third(self, v: int, target: int) -> bool:
        """Tell whether IV7 goes to iii of a major tune: a colour of IV, not a substitute."""
        is_iv = (self.roots[v] - self.blues.tonic) % 12 == 5 and not self.blues.is_minor
        return is_iv and self.blues.tonic != NONE and self.families[target] == MINOR_7

    def is_blue(self, v: int, target: int) -> bool:
        """Tell whether a ii-V goes to a I7 or IV7 of a major tune that does not move on as a V."""
        degree = (self.roots[target] - self.blues.tonic) % 12
        has_ii = self.ii[v] != NONE and self.up(self.ii[v], v) == 5
        is_major = self.blues.tonic != NONE and not self.blues.is_minor
        moves_on = self.up(target, self.after(target)) == 5
        is_here = self.families[target] == DOMINANT and degree in (0, 5)
        return has_ii and is_major and is_here and not moves_on

    def may_rest(self, v: int, target: int) -> bool:
        """Tell whether a V lands on a dominant: I7 to IV7 needs a ii, for I7 is at rest."""
        return self.ii[v] != NONE or not self.is_at_rest(v)

    def through_one(self, v: int, after: int) -> Landing | None:
        """Look through one chord: a diminished one, the V's other self, a neighbour of the V."""
        beyond = self.after(after)
        family, steps = self.families[after], self.up(v, after)
        is_same_v = beyond != v and self.up(v, beyond) == 0 and self.families[beyond] in FULL
        if family == DIMINISHED:
            if is_same_v:
                return self.same(v, beyond)
            return self.beyond(v, beyond)
        if family in FULL and steps in (3, 6):  # the back door or the substitute takes over
            return self.same(v, after)
        if family == DOMINANT and steps in (1, 7) and is_same_v:
            return self.same(v, beyond)
        if family == MAJOR and steps == 6:
            return self.beyond(v, beyond)
        return None

    def through_pair(self, v: int, first: int) -> Landing | None:
        """Look through one ii-V: the same again, that of the substitute, a chromatic one."""
        second = self.after(first)
        if second == v or self.ii[second] != first or self.up(first, second) != 5:
            return None
        steps = self.up(v, second)
        if steps in (0, 6):
            return self.same(v, second)
        beyond = self.after(second)
        if steps in (1, 11):
            return self.beyond(v, beyond) or self.again(v, beyond)
        if steps == 3 and self.up(v, beyond) == 5:
            return self.same(v, second)
        return None

    def again(self, v: int, first: int) -> Landing | None:
        """Return the landing of the same ii-V that follows a chromatic one."""
        second = self.after(first)
        if second == v or self.ii[second] != first or self.up(v, second) != 0:
            return None
        return self.same(v, second)

    def beyond(self, v: int, target: int) -> Landing | None:
        """Land by a fifth or a half step on a chord that is not the next."""
        way = self.direct(v, target)
        return Landing(target, way, self.after(v)) if way in (PLAIN, TRITONE) else None

    def same(self, v: int, other: int) -> Landing | None:
        """Land where another dominant of the same target lands."""
        found = self.landing[other]
        if found is None or found.span == v:
            return None
        way = _STEPS.get(self.up(v, found.span))
        return None if way is None else Landing(found.span, way, self.after(v), other)
