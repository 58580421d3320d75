"""Moves of dominants: the ii that each has, the chord that each lands on, and what delays that.

A ii is a minor seventh or half-diminished chord, or a minor triad or sixth; it stands a fourth
below its V, or a half step above the substitute of that V (common practice). Between the two may
stand what itself leads to the V: the V of the V with or without its own ii, the substitute a half
step above, the minor subdominant, the diminished chord on the leading note. In a minor tune i and
IV7 stand a fourth apart as well and are no ii-V unless they lead to an I or to a ii-V.

The rules, each of common practice:

* A V lands a fifth below, a tritone substitute a half step below, a backdoor dominant a whole step
  above; on a major or minor chord. In a blues the I7 and the IV7 are landings too.
* A minor seventh chord that is itself the ii of the next V is no landing.
* What only delays the landing is looked through: a passing diminished chord, the same V prepared
  again, its substitute with or without the ii of that, a chromatic ii-V, the V over a pedal on I.
* A V that turns away may come again after a detour of dominants, as in V-III-VI-II-V: it lands
  nowhere, and leads to where it leads then.
* The end of the form leads back to its top.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from theorykit.tunes.families import (
    DIMINISHED,
    DOMINANT,
    FULL,
    HALF,
    LEADS,
    MAJOR,
    MINOR,
    MINOR_7,
    OPEN,
    PEDAL,
    SUBDOMINANT,
    SUS_TRIAD,
    Span,
)

__all__ = ["BACKDOOR", "PLAIN", "TRITONE", "Blues", "Moves", "moves_of"]

NONE = -1
FARTHEST = 6  # spans that are looked back over for a ii


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
        """Return the ii a fourth below a V, or -1."""
        before = self.after(v, -1)
        if self.is_fourth(before, v):
            is_pair = self.can_be_v(v) and not self.is_tonic_and_fourth(before, v)
            return self.first_of_ii(before) if is_pair else NONE
        return self.far_ii(v) if self.families[v] in FULL else NONE

    def far_ii(self, v: int) -> int:
        """Return the ii of a V where what stands between the two leads to that V itself."""
        for steps in range(1, min(FARTHEST, self.count - 1)):
            place = self.after(v, -steps)
            if steps > 1 and self.is_fourth(place, v):
                is_home = self.blues.is_minor and self.roots[place] == self.blues.tonic
                return NONE if is_home else self.first_of_ii(place)
            if not self.serves(place, v):
                return NONE
        return NONE

    def serves(self, place: int, v: int) -> bool:
        """Tell whether a chord between a ii and its V only leads to that V.

        That is its own V or the substitute of it, the ii of its own V, the minor subdominant, the
        diminished chord a half step below.
        """
        steps, family = self.up(v, place), self.families[place]
        if family == DOMINANT:
            return steps in (1, 7)
        if family in (MINOR, MINOR_7) and steps == 10:
            return True
        if family == DIMINISHED:
            return steps == 11
        after = self.after(place)
        is_v_of_v = self.families[after] == DOMINANT and self.up(v, after) == 7
        return is_v_of_v and self.is_fourth(place, after)

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
        is_chain = self.up(v, then) == 5 and self.families[then] in FULL
        return not (lands or is_chain or (goes_on and then != i))

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
            and (self.is_landing(after) or self.is_fall_that_goes_on(before, after))
        )

    def is_fall_that_goes_on(self, ii: int, target: int) -> bool:
        """Tell whether ii and substitute go to a chord that moves on: a dark m7, the tune's I7."""
        is_i7 = self.families[target] == DOMINANT and self.roots[target] == self.blues.tonic
        return is_i7 or (self.families[ii] == HALF and self.families[target] == MINOR_7)

    def first_of_ii(self, ii: int) -> int:
        """Return the m7 where a ii goes on to its own m6, m(maj7) or m7b5 before the V."""
        before = self.after(ii, -1)
        darkens = self.families[ii] == HALF and not self.is_chord_of_its_own(before, ii)
        same = self.families[before] == MINOR_7 and (self.families[ii] == MINOR or darkens)
        return before if same and self.up(ii, before) == 0 else ii

    def is_chord_of_its_own(self, minor: int, half: int) -> bool:
        """Tell whether a m7 is brought by its own V and lasts longer than the m7b5 after it."""
        before = self.after(minor, -1)
        is_brought = self.families[before] in FULL and self.up(before, minor) == 5
        return is_brought and self.spans[minor].beats > self.spans[half].beats

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
# === Landings ===

_STEPS = {5: PLAIN, 11: TRITONE, 2: BACKDOOR}  # half steps from V up to the landing
LONGEST_DETOUR = 9  # spans


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
    """For each span: its ii if it is a V (or -1), whether it is a ii, where it lands (or None).

    ``reprise`` is the same V again after a detour, for a V that turns away from its I, or -1.
    """

    ii: list[int]
    is_ii: list[bool]
    landing: list[Landing | None]
    reprise: list[int]


def moves_of(spans: Sequence[Span], blues: Blues | None = None) -> Moves:
    """Return the ii and the landing of every dominant."""
    walk = _Walk(spans, blues or Blues())
    return Moves(walk.ii, walk.is_ii, walk.landing, walk.reprise)


class _Walk(Ring):
    """The ring of spans with what is found out about the landing of each V."""

    def __init__(self, spans: Sequence[Span], blues: Blues) -> None:
        super().__init__(spans, blues)
        self.landing: list[Landing | None] = [None] * self.count
        self.reprise = [NONE] * self.count
        self.land()

    def land(self) -> None:
        """Find where each V lands, from the end back; twice, for the end leads to the top."""
        for _ in range(2):
            for v in range(self.count - 1, -1, -1):
                if self.landing[v] is None and (self.families[v] in LEADS or self.ii[v] != NONE):
                    self.landing[v] = self.find_landing(v)
        for v in range(self.count - 1, -1, -1):
            if self.landing[v] is None:
                then = self.end_of_detour(v)
                later = self.reprise[then] if then > v else NONE
                self.reprise[v] = then if later in (NONE, v) else later

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
            is_colour = self.ii[v] == NONE and self.is_fourth_to_third(v, target)
            return None if is_colour else way
        has_ii = self.ii[v] != NONE and self.up(self.ii[v], v) == 5
        is_home = self.roots[target] == self.blues.tonic
        if self.families[target] == DOMINANT:
            return way if is_home and (has_ii or self.is_at_rest(target)) else None
        return way if self.families[target] == MAJOR and (has_ii or is_home) else None

    def is_fourth_to_third(self, v: int, target: int) -> bool:
        """Tell whether IV7 goes to iii of a major tune: without a ii a colour of IV."""
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
        if family in (DIMINISHED, PEDAL):
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

    def end_of_detour(self, v: int) -> int:
        """Return the same V again, where all between is on its way and V goes to nothing of it."""
        if not self.turns_away(v):
            return NONE
        for steps in range(1, min(LONGEST_DETOUR, self.count)):
            place = self.after(v, steps)
            if self.families[place] in FULL and self.is_again(v, place):
                return place
            if not self.is_moving(place, v) or self.landing[place] is not None:
                return NONE
        return NONE

    def is_again(self, v: int, other: int) -> bool:
        """Tell whether a V is the same as one before, or its substitute that lands on its I."""
        landing = self.landing[other]
        if landing is not None and self.up(v, other) == 6:
            return self.up(v, landing.span) == 5
        return self.up(v, other) == 0

    def is_moving(self, place: int, v: int) -> bool:
        """Tell whether a chord of a detour is on its way: a ii, a V, a diminished chord."""
        family = self.families[place]
        if self.is_ii[place] or family == DIMINISHED:
            return True
        is_ii_of_v = family in SUBDOMINANT and self.up(v, place) == 7
        return is_ii_of_v or (family == DOMINANT and not self.is_at_rest(place))

    def turns_away(self, v: int) -> bool:
        """Tell whether a V falls neither to the next chord nor to the V of the next ii."""
        if self.families[v] not in FULL or (self.is_at_rest(v) and self.ii[v] == NONE):
            return False
        then, later = self.after(v), self.after(v, 2)
        falls = self.up(v, then) in (0, 5, 11)
        return not falls and not (self.ii[later] == then and self.up(v, later) in (5, 11))

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
