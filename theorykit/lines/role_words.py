"""Why a note has its role, in words, where the degree does not say it all."""

from __future__ import annotations

from collections.abc import Sequence

from theorykit.harmony.wording import STEPS, ordinal
from theorykit.lines.changes import beat_words
from theorykit.lines.placed import PlacedNote, over
from theorykit.lines.roles import (
    ANTICIPATION,
    APPROACH,
    ENCLOSURE,
    NEIGHBOUR,
    PASSING,
    approaches,
    closes_in,
    moves,
)
from theorykit.lines.standing import ALTERATION, OUTSIDE, RUB, TENSION

__all__ = ["role_words"]

Notes = Sequence[PlacedNote]
ELEVEN = 5  # half steps above the root


def role_words(notes: Notes, i: int, role: str) -> str:
    """Return what a note does in a clause; the empty text for a chord tone, which needs none."""
    explain = _WORDS.get(role)
    return explain(notes, i) if explain else ""


def _name(note: PlacedNote) -> str:
    """Return a note's name for the eye."""
    return note.note.pitch.note.pretty


def _goal(note: PlacedNote) -> str:
    """Name a note with its degree and chord."""
    if note.degree is None:
        return _name(note)
    return f"{_name(note)}, the {ordinal(note.degree)} of {note.chord.chord.pretty}"


def _tension(notes: Notes, i: int) -> str:
    """Say what colours the chord, or what rubs."""
    note = notes[i]
    name = note.chord.chord.pretty
    if note.standing != RUB or note.degree is None:
        return f"colours {name} and can stay"
    rubbed = f"the 3rd of {name}" if note.degree.semitone == ELEVEN else name
    return f"rubs against {rubbed}: let it move on"


def _alteration(notes: Notes, i: int) -> str:
    """Say where an altered note goes."""
    note, out = notes[i], moves(notes, i)[1]
    name = note.chord.chord.pretty
    if not out or abs(out) > 2:
        return f"bends {name}"
    verb = "rises" if out > 0 else "falls"
    return f"bends {name} and {verb} {STEPS[abs(out)]} to {_name(notes[i + 1])}"


def _passing(notes: Notes, i: int) -> str:
    """Say between which notes a note passes."""
    return f"passes from {_name(notes[i - 1])} to {_name(notes[i + 1])}"


def _neighbour(notes: Notes, i: int) -> str:
    """Say whose neighbour a note is."""
    into, out = moves(notes, i)
    after = notes[i + 1]
    side = "below" if out > 0 else "above"
    if into == -out:
        return f"steps away from {_name(after)} and back"
    return f"leans on {_goal(after)} from {side}"


def _approach(notes: Notes, i: int) -> str:
    """Say where a half step leads."""
    far, out = approaches(notes, i), moves(notes, i)[1]
    side = "below" if out > 0 else "above"
    steps = "a half step" if far == 1 else "two half steps"
    return f"leads by {steps} from {side} to {_goal(notes[i + far])}"


def _enclosure(notes: Notes, i: int) -> str:
    """Say what two notes close in on."""
    far = closes_in(notes, i)
    other, target = notes[i - 1 if far == 1 else i + 1], notes[i + far]
    return f"closes in with {_name(other)} on {_goal(target)}"


def _anticipation(notes: Notes, i: int) -> str:
    """Say which note of the next chord comes early."""
    note = notes[i]
    following = note.next_chord.chord if note.next_chord else note.chord.chord
    degree = over(following, note.midi)[0]
    goal = f"the {ordinal(degree)} of {following.pretty}" if degree else following.pretty
    return f"is already {goal}, on {beat_words(note.beat)} before the change"


def _outside(notes: Notes, i: int) -> str:
    """Say that nothing explains a note."""
    name, out = notes[i].chord.chord.pretty, moves(notes, i)[1]
    if 0 < abs(out) <= 2:
        return f"stands outside {name} and leads to {_name(notes[i + 1])}, which is no chord tone"
    return f"stands outside {name} and no step leads it on"


_WORDS = {
    TENSION: _tension,
    ALTERATION: _alteration,
    PASSING: _passing,
    NEIGHBOUR: _neighbour,
    APPROACH: _approach,
    ENCLOSURE: _enclosure,
    ANTICIPATION: _anticipation,
    OUTSIDE: _outside,
}
