"""Pairs of ii and V: the spans of a tune as a ring, and the ii that each of its dominants has.

A ii is a minor seventh or half-diminished chord, or a minor triad or sixth; it stands a fourth
below its V, or a half step above the substitute of that V (common practice). Between the two may
stand what itself leads to the V: the V of the V with or without its own ii, the substitute a half
step above, the minor subdominant, the diminished chord on the leading note. In a minor tune i and
IV7 stand a fourth apart as well and are no ii-V unless they lead to an I or to a ii-V.
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

__all__ = ["FULL", "LEADS", "NONE", "SUBDOMINANT", "Blues", "Ring"]

NONE = -1
SUBDOMINANT = frozenset((MINOR_7, HALF, MINOR, DIM_TRIAD))
FULL = frozenset((DOMINANT, SUSPENDED))
LEADS = frozenset((DOMINANT, SUSPENDED, AUGMENTED))
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
            and (self.is_landing(after) or self.is_dark_fall(before, after))
        )

    def is_dark_fall(self, ii: int, target: int) -> bool:
        """Tell whether a half-diminished ii and a substitute go to a minor chord that moves on."""
        return self.families[ii] == HALF and self.families[target] == MINOR_7

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
