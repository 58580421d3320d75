"""What a V aims at: the key, its mode, the way, the chord it reaches; and which V's are told."""

from __future__ import annotations

from dataclasses import dataclass

from theorykit.errors import TheoryError
from theorykit.notes.key import Key
from theorykit.notes.note import Note
from theorykit.tunes.analysis import Analysis
from theorykit.tunes.families import (
    AUGMENTED,
    DOMINANT,
    HALF,
    MAJOR,
    MINOR,
    MINOR_7,
    SUS_TRIAD,
    SUSPENDED,
)
from theorykit.tunes.fit import key_of_state
from theorykit.tunes.moves import BACKDOOR, PLAIN, TRITONE

__all__ = ["Goal", "goal_of", "is_told", "spelled_key"]

_NONE = -1
_FIFTHS = {PLAIN: -1, TRITONE: 5, BACKDOOR: 2}  # from V to its I on the line of fifths
_RISES = {PLAIN: 5, TRITONE: 11, BACKDOOR: 2}  # the same in half steps
# Chords that stand for the I where a V deceives: half steps above the I, and the families.
_STAND_INS = {
    9: (MINOR_7, MINOR),  # vi
    8: (MAJOR,),  # flat VI
    4: (MINOR_7, MINOR, HALF),  # iii
    3: (MAJOR,),  # flat III, of minor
    5: (MAJOR, MINOR),  # IV instead of I
    6: (HALF,),  # raised iv, half-diminished
}


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
    mode = _mode_without_landing(found, last, root)
    key = spelled_key(_tonic_note(found, last, way), mode)
    return Goal(key, mode, way, _NONE, found.after(last), _deceives(found, last, root))


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


def _mode_without_landing(found: Analysis, v: int, root: int) -> str:
    """Tell the mode of the I that does not come: from what stands there, the region, the ii."""
    then = found.after(v)
    if found.spans[then].root == root and found.spans[then].family in (MINOR_7, HALF, MINOR):
        return "minor"
    if found.path[v] % 12 == root:
        return "minor" if found.path[v] >= 12 else "major"
    ii = found.moves.ii[v]
    half = ii != _NONE and found.spans[ii].family == HALF
    return "minor" if half else "major"


def _deceives(found: Analysis, v: int, root: int) -> bool:
    """Tell whether a V goes to a chord that stands for its I.

    The vi and the flat VI tell that by themselves; the others only where the key is around.
    """
    then = found.after(v)
    families = _STAND_INS.get((found.spans[then].root - root) % 12, ())
    steps = (found.spans[then].root - root) % 12
    known = root in (found.path[v] % 12, found.home % 12)
    plain = steps in (8, 9) and not found.moves.is_ii[then]
    return (known or plain) and found.spans[then].family in families


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
    return steps in (8, 9) and found.spans[then].family in _STAND_INS[steps]
