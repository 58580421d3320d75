"""Goals of a V: key, mode and chord, the length of its cadence, and the reasons."""

from __future__ import annotations

from dataclasses import dataclass

from theorykit.errors import TheoryError
from theorykit.notes.degree import plain_root
from theorykit.notes.key import Key
from theorykit.notes.note import Note
from theorykit.tunes.cadences.analysis import Analysis
from theorykit.tunes.cadences.targets import STAND_INS, is_stand_in, target_of
from theorykit.tunes.dominant_moves import BACKDOOR, PLAIN, TRITONE
from theorykit.tunes.families import (
    AUGMENTED,
    DIMINISHED,
    DOMINANT,
    HALF,
    MAJOR,
    MINOR,
    MINOR_7,
    SUS_TRIAD,
    SUSPENDED,
)
from theorykit.tunes.home_key import key_of_state

_NONE = -1
_FIFTHS = {PLAIN: -1, TRITONE: 5, BACKDOOR: 2}  # from V to its I on the line of fifths
_RISES = {PLAIN: 5, TRITONE: 11, BACKDOOR: 2}  # the same in half steps


@dataclass(frozen=True, slots=True)
class Goal:
    """What one V aims at. ``landing`` and ``target`` are spans, -1 for none."""

    key: Key
    mode: str
    way: str
    landing: int
    target: int
    deceptive: bool


def goal_of(found: Analysis, v: int) -> Goal:
    """Return what one V aims at."""
    landing = found.moves.landing[v]
    if landing is not None:
        target = found.spans[landing.span]
        mode = {DOMINANT: "blues", MINOR: "minor", MINOR_7: "minor"}.get(target.family, "major")
        key = spelled_key(target.note, "minor" if mode == "minor" else "major")
        return Goal(key, mode, landing.way, landing.span, landing.span, False)
    last = found.again[v]
    way = found.ways[last]
    root = (found.spans[v].root + _RISES[way]) % 12
    deceives = is_stand_in(found, last, root)
    mode = _mode_of_deception(found, last, root) if deceives else ""
    mode = mode or _mode_without_landing(found, last, root)
    key = spelled_key(_tonic_note(found, last, way), mode)
    later = _NONE if deceives else target_of(found, last)
    return Goal(key, mode, way, _NONE, found.after(last) if later == _NONE else later, deceives)


def _tonic_note(found: Analysis, v: int, way: str) -> Note:
    """Spell the tonic that does not come: as the tune does, else counted from the V."""
    counted = _moved(found.spans[v].note, _FIFTHS[way])
    if counted.semitone == found.chart.key.tonic.semitone:
        return found.chart.key.tonic
    later = found.links[v]
    near = [found.after(v), later] if later != _NONE else [found.after(v)]
    notes = [found.spans[n].note for n in near if found.spans[n].root == counted.semitone]
    if not notes and way != PLAIN:
        notes = [span.note for span in found.spans if span.root == counted.semitone][:1]
    return notes[0] if notes else counted


def _moved(note: Note, fifths: int) -> Note:
    """Move along the line of fifths, turning enharmonically where names run out."""
    place = note.fifths + fifths
    place -= 12 * (place > 11) - 12 * (place < -11)
    return Note.from_fifths(place)


def spelled_key(tonic: Note, mode: str) -> Key:
    """Return the key on a note, or the enharmonic one where no signature writes it.

    >>> str(spelled_key(Note.parse("G#"), "major")), str(spelled_key(Note.parse("G#"), "minor"))
    ('Ab major', 'G# minor')
    """
    try:
        return Key(tonic, mode)
    except TheoryError:
        return key_of_state(tonic.semitone + 12 * (mode == "minor"))


def _mode_of_deception(found: Analysis, v: int, root: int) -> str:
    """Tell the mode of the I from the key around, or from what stands for it; empty for neither.

    A minor chord on the iii or the vi of major stands for a major I (common practice), whatever
    the same V leads to later, unless the tune is in that minor key.
    """
    around, then = found.path[v], found.after(v)
    is_minor = found.spans[then].family in (MINOR_7, MINOR)
    if is_minor and (found.spans[then].root - root) % 12 in (4, 9) and found.home != root + 12:
        return "major"
    return ("minor" if around >= 12 else "major") if around % 12 == root else ""


def _mode_without_landing(found: Analysis, v: int, root: int) -> str:
    """Tell the mode of the I that does not come.

    What the V leads to on that root tells it; else the key around, whose ii, iii and vi are minor,
    as i, iv and v of a minor one are; else a half-diminished ii.
    """
    target = target_of(found, v)
    if target != _NONE and found.spans[target].root == root:
        return "minor" if found.spans[target].family in (MINOR_7, HALF, MINOR) else "major"
    around = found.path[v]
    if around % 12 == root:
        return "minor" if around >= 12 else "major"
    ii = found.moves.ii[v]
    half = ii != _NONE and found.spans[ii].family == HALF
    is_own = (root - around) % 12 in (_MINOR_OF_MINOR if around >= 12 else _MINOR_OF_MAJOR)
    return "minor" if half or is_own else "major"


# Half steps above the tonic of the degrees whose own chords are minor (common practice).
_MINOR_OF_MAJOR, _MINOR_OF_MINOR = (2, 4, 9), (0, 5, 7)


def is_told(found: Analysis, v: int) -> bool:
    """Tell whether a span is the V of a cadence that is told."""
    if found.moves.ii[v] != _NONE:
        return _is_told_with_ii(found, v)
    if found.spans[v].family not in (DOMINANT, SUSPENDED, AUGMENTED):
        return False
    landing = found.moves.landing[v]
    if landing is None:
        return _is_bare_deception(found, v)
    if found.is_at_rest(v) or _is_second_self(found, v):
        return False
    if found.spans[v].family == AUGMENTED:
        return found.up(found.after(v, -1), v) != 0
    if landing.other != _NONE:  # the later dominant tells it, unless that is a mere substitute
        return found.up(v, landing.other) == 6 and landing.way == PLAIN
    return True


def _is_told_with_ii(found: Analysis, v: int) -> bool:
    """Tell a ii-V from triads that stand a fourth apart and land nowhere."""
    leads = found.moves.landing[v] is not None or found.links[v] != _NONE
    return leads or found.spans[v].family not in (SUS_TRIAD, MAJOR)


def _is_second_self(found: Analysis, v: int) -> bool:
    """Tell whether a dominant only takes over from the one before it, to the same I."""
    before = v - 1
    landing, earlier = found.moves.landing[v], found.moves.landing[before]
    return (
        before >= 0
        and found.is_v(before)
        and found.up(before, v) in (3, 6)
        and landing is not None
        and earlier is not None
        and earlier.span == landing.span
    )


def _is_bare_deception(found: Analysis, v: int) -> bool:
    """Tell whether the V of the home key, without a ii, goes to vi or to flat VI instead of I."""
    span, then = found.spans[v], found.after(v)
    root = (span.root + 5) % 12
    if span.family != DOMINANT or root != found.home % 12 or found.links[v] != _NONE:
        return False
    steps = (found.spans[then].root - root) % 12
    if found.moves.landing[then] is not None or found.moves.is_ii[then]:
        return False
    return steps in (8, 9) and found.spans[then].family in STAND_INS[steps]


# === Lengths ===


def length_of(found: Analysis, ii: int, v: int) -> str:
    """Return the length of ii and V: a bar each is long, half a bar each is short.

    A substitute that takes over from its V belongs to it. Without a ii the V alone is measured.
    """
    bar = float(found.bars[found.chart.played[found.spans[v].first].written].metre.beats)
    second = _beats_of_v(found, v)
    if ii < 0:
        return _length_of_one(second, bar)
    first = found.spans[ii].beats
    if first == second == bar:
        return "long"
    if (first + second == bar and abs(first - second) <= 1) or first == second == bar / 2:
        return "short"
    if first == 1.5 * bar and second == 0.5 * bar:
        return "split"
    return f"{_count(second, bar)} each" if first == second else "mixed"


def _beats_of_v(found: Analysis, v: int) -> float:
    """Return the beats of a V with the substitute that follows it, if one does."""
    beats = found.spans[v].beats
    landing = found.moves.landing[v]
    takes_over = landing is not None and landing.other == v + 1 and found.up(v, v + 1) in (3, 6)
    if takes_over and found.moves.ii[v + 1] < 0:
        beats += found.spans[v + 1].beats
    return beats


def _length_of_one(beats: float, bar: float) -> str:
    """Return the length of a V alone."""
    if beats == bar:
        return "long"
    return "short" if beats == bar / 2 else _count(beats, bar)


def _count(beats: float, bar: float) -> str:
    """Say a length in bars, or in beats."""
    number, unit = (beats / bar, "bar") if beats % bar == 0 else (beats, "beat")
    return f"{number:g} {unit}" + ("" if number == 1 else "s")


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
        self.next_place = found.after(found.again[v])
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
        """Return the name of the dominant a tritone away, a fifth above what both lead to."""
        return plain_root(_moved(self.goal.key.tonic, 1)).pretty + "7"

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
        following = self.name(self.next_place)
        if later != _NONE and self.found.moves.ii[later] == self.next_place:
            return f"{following} is the ii of the next ii-V"
        if later == self.next_place:
            return f"{following} is the next dominant"
        return f"{following} follows and no {self.one}"

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
