"""Why a cadence was taken for one, in words."""

from __future__ import annotations

from theorykit.notes.note import Note
from theorykit.notes.spelling import plain_root
from theorykit.tunes.analysis import Analysis
from theorykit.tunes.families import DIMINISHED, HALF
from theorykit.tunes.goals import Goal
from theorykit.tunes.moves import BACKDOOR, TRITONE

__all__ = ["why"]

_NONE = -1


def why(found: Analysis, ii: int, v: int, goal: Goal) -> str:
    """Return the sentences that give the reason, with the signs ♭ and ♯."""
    words = _Words(found, ii, v, goal)
    reasons = [words.lead(), words.delay(), words.way_back(), words.chain()]
    return " ".join(reason for reason in reasons if reason)


class _Words:
    """The names of the chords of one cadence, and what can be said of them."""

    def __init__(self, found: Analysis, ii: int, v: int, goal: Goal) -> None:
        self.found, self.ii_place, self.v_place, self.goal = found, ii, v, goal
        self.v = self.name(v)
        self.ii = self.name(ii) if ii >= 0 else ""
        self.target = self.name(goal.target)
        self.key = goal.key.pretty

    def name(self, place: int) -> str:
        """Return the symbol of a span as the eye wants it."""
        return self.found.name(place)

    def lead(self) -> str:
        """Say what the chords are."""
        if self.goal.way == TRITONE:
            return self.tritone()
        if self.goal.way == BACKDOOR:
            return self.backdoor()
        return self.plain_pair() if self.ii else self.plain_v()

    def plain_pair(self) -> str:
        """Speak of a ii and its V."""
        pair = f"{self.ii} and {self.v} are ii and V of {self.goal.key.tonic.pretty}"
        if self.goal.landing == _NONE:
            return f"{pair}, but {self.what_comes()}."
        is_half = self.found.spans[self.ii_place].family == HALF
        if self.goal.mode == "blues":
            return f"{pair}, and {self.target} is a dominant seventh at rest, as in a blues."
        if is_half and self.goal.mode == "major":
            return f"{pair}, the ii borrowed from minor; the tonic is major, {self.target}."
        if not is_half and self.goal.mode == "minor":
            return f"{pair}, the ii as in major; the tonic is minor, {self.target}."
        return f"{pair}, and {self.target} is the {self.one}."

    @property
    def one(self) -> str:
        """The numeral of the tonic: ``I``, or ``i`` of a minor key."""
        return "i" if self.goal.mode == "minor" else "I"

    def plain_v(self) -> str:
        """Speak of a V without a ii."""
        if self.goal.landing == _NONE:
            return f"{self.v} is the V of {self.key}, but {self.what_comes()}."
        rest = ", a dominant seventh at rest" if self.goal.mode == "blues" else ""
        return f"{self.v} falls a fifth to {self.target}{rest}; no ii stands before it."

    def tritone(self) -> str:
        """Speak of a tritone substitute."""
        plain = self.plain_dominant()
        if not self.ii:
            lead = f"{self.v} stands for {plain}, a tritone away"
        elif self.found.up(self.ii_place, self.v_place) == 5:
            lead = f"{self.v} stands for {plain}, a tritone away, and brings its own ii, {self.ii}"
        else:
            lead = f"{self.ii} is the ii; {self.v} stands for the V, {plain}"
        if self.goal.landing == _NONE:
            return f"{lead}; {self.what_comes()}."
        return f"{lead}; it falls a half step to {self.target}."

    def plain_dominant(self) -> str:
        """Return the name of the dominant a tritone away."""
        note = self.found.spans[self.v_place].note
        place = note.fifths + (6 if note.fifths <= 0 else -6)
        return plain_root(Note.from_fifths(place)).pretty + "7"

    def backdoor(self) -> str:
        """Speak of a backdoor dominant."""
        both = f"{self.ii} and {self.v} are iv and ♭VII" if self.ii else f"{self.v} is ♭VII"
        if self.goal.landing == _NONE:
            return f"{both} of {self.key}; {self.what_comes()}."
        return f"{both} of {self.key}: {self.target} is reached through the back door."

    def what_comes(self) -> str:
        """Say what comes instead of the I."""
        later = self.found.links[self.found.again[self.v_place]]
        if self.goal.deceptive:
            return f"{self.target} comes in place of the {self.one}: a deceptive move"
        if later != _NONE and self.found.moves.ii[later] == self.goal.target:
            return f"{self.target} is the ii of the next ii-V"
        if later == self.goal.target:
            return f"{self.target} is the next dominant"
        return f"{self.target} follows and no {self.one}"

    def delay(self) -> str:
        """Say what stands between the V and the I."""
        landing = self.found.moves.landing[self.v_place]
        if landing is None or landing.through == _NONE:
            return ""
        between = self.name(landing.through)
        if self.found.spans[landing.through].family == DIMINISHED:
            return f"{between} in between only passes."
        if landing.other == _NONE:
            return f"What begins with {between} in between only delays it."
        steps = self.found.up(self.v_place, landing.other)
        other = self.name(landing.other)
        if steps == 0:
            return f"{other} at bar {self.bar(landing.other)} prepares it once more."
        return f"{other} takes over from {self.v} before it comes."

    def bar(self, place: int) -> int:
        """Return the bar of a span, from 1."""
        return self.found.chart.played[self.found.spans[place].first].bar + 1

    def way_back(self) -> str:
        """Say so where the end of the form leads to its top."""
        is_back = _NONE < self.goal.landing < self.v_place
        return "The end of the form leads back to its top." if is_back else ""

    def chain(self) -> str:
        """Name the chain that a V is part of."""
        chain = self.found.chains.get(self.v_place, ())
        if not chain:
            return ""
        names = [self.name(place) for place in chain]
        told = names if len(names) < 9 else [*names[:4], "...", *names[-3:]]
        return f"The dominants {', '.join(told)} form a chain."
