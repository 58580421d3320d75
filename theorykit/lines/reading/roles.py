"""Roles: what each note of a line does, and why, in words.

The names and their meaning are those of any handbook on melody (Ligon, *Connecting Chords with
Linear Harmony*, and Coker, *Elements of the Jazz Language*, both from memory): a passing note goes
on by step, a neighbour steps away and back or leans on a chord tone, an approach leads by a half
step, an enclosure closes in from both sides, an anticipation brings a note of the next chord early.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from theorykit.harmony.chord_families import ALTERATION, CHORD_TONE, OUTSIDE, RUB, TENSION
from theorykit.harmony.tensions import why_it_rubs
from theorykit.harmony.wording import STEPS, ordinal
from theorykit.lines.placed import OFF_BEAT, PlacedNote, over

PASSING, NEIGHBOUR, APPROACH = "passing", "neighbour", "chromatic approach"
ENCLOSURE, ANTICIPATION = "enclosure", "anticipation"
ROLES = (
    CHORD_TONE, TENSION, ALTERATION, PASSING, NEIGHBOUR, APPROACH, ENCLOSURE, ANTICIPATION, OUTSIDE,
)  # fmt: skip
STEP = 2  # half steps: the widest step
EARLY = Fraction(1)  # beats: how early a note of the next chord may come and be an anticipation

Notes = Sequence[PlacedNote]


def roles(notes: Notes) -> tuple[str, ...]:
    """Return the role of each note, one of ``ROLES``; the empty text over N.C.

    >>> from theorykit.lines.text import Line
    >>> from theorykit.lines.placed import placed_notes
    >>> from theorykit.tunes.progression import two_five_one
    >>> line = Line.parse("8th F4 E4 D4 C#4 D4 F4 A4 C5 | B4 Ab4 F4 D4 F4 D#4 quarter E4",
    ...                   two_five_one("C", "short").transposed("C"))
    >>> for name, role in zip(line.text.split()[1:5], roles(placed_notes(line)), strict=False):
    ...     print(name, role)
    F4 chord tone
    E4 passing
    D4 chord tone
    C#4 neighbour
    """
    return tuple(_role(notes, i) for i in range(len(notes)))


def _role(notes: Notes, i: int) -> str:
    """Return the role of one note: the first rule that holds, else how it stands over its chord."""
    note = notes[i]
    if note.standing in ("", CHORD_TONE):
        return note.standing
    if _anticipates(notes, i):
        return ANTICIPATION
    if closes_in(notes, i):
        return ENCLOSURE
    if _decorates(note):
        into, out = moves(notes, i)
        if _passes(note, into, out):
            return PASSING
        if into == -out and 0 < abs(out) <= STEP:
            return NEIGHBOUR
    return _by_standing(notes, i)


def _by_standing(notes: Notes, i: int) -> str:
    """Return the role of a note that is no decoration of its neighbours."""
    note = notes[i]
    if note.standing == TENSION and approaches(notes, i) == 1 and _has_other_form(notes, i):
        return APPROACH
    if note.standing in (TENSION, ALTERATION):
        return note.standing
    if note.standing == OUTSIDE and approaches(notes, i):
        return APPROACH
    out = moves(notes, i)[1]
    leans = 0 < abs(out) <= STEP and notes[i + 1].standing == CHORD_TONE
    if leans:
        return NEIGHBOUR
    return TENSION if note.standing == RUB else OUTSIDE


def _has_other_form(notes: Notes, i: int) -> bool:
    """Tell whether a natural tension stands off the beat in a bar that has its altered form.

    Of 13 and ♭13 over one dominant the altered one is meant, and the other leads to a chord tone.
    """
    note = notes[i]
    if note.strength > OFF_BEAT or note.degree is None:
        return False
    return any(
        other.chord == note.chord
        and other.standing == ALTERATION
        and other.degree is not None
        and other.degree.number == note.degree.number
        for other in notes
    )


def moves(notes: Notes, i: int) -> tuple[int, int]:
    """Return the moves into and out of a note in half steps; 0 where its phrase has none."""
    into = notes[i].midi - notes[i - 1].midi if i and notes[i].follows else 0
    later = i + 1 < len(notes) and notes[i + 1].follows
    return into, notes[i + 1].midi - notes[i].midi if later else 0


def _decorates(note: PlacedNote) -> bool:
    """Tell whether a note can pass by: off the beat, or no member of the chord's sound at all."""
    return note.strength == OFF_BEAT or note.standing in (RUB, OUTSIDE)


def _passes(note: PlacedNote, into: int, out: int) -> bool:
    """Tell whether a note goes on by step; an alteration only where half steps slide through it."""
    widest = 1 if note.standing == ALTERATION else STEP
    return into * out > 0 and max(abs(into), abs(out)) <= widest


def _anticipates(notes: Notes, i: int) -> bool:
    """Tell whether a note is a tone of the next chord, come early and held or struck again."""
    note = notes[i]
    following, end = note.next_chord, note.chord.end
    if note.strength > OFF_BEAT or following is None or end - note.note.start > EARLY:
        return False
    later = notes[i + 1] if i + 1 < len(notes) else None
    again = later is not None and later.midi == note.midi and later.note.start == end
    is_tone = over(following.chord, note.midi)[1] == CHORD_TONE
    return is_tone and (note.note.end > end or again)


def closes_in(notes: Notes, i: int) -> int:
    """Return how many notes after this one the target of its enclosure is: 1, 2, or 0 for none.

    Two notes on either side of a chord tone, each within a whole step, lead to it on a beat.
    """
    for far in (1, 2):
        first, last = i + far - 2, i + far
        if (
            first < 0
            or last >= len(notes)
            or not all(n.follows for n in notes[first + 1 : last + 1])
        ):
            continue
        target = notes[last]
        upper, lower = (target.midi - notes[place].midi for place in (first, first + 1))
        both = upper * lower < 0 and max(abs(upper), abs(lower)) <= STEP
        if both and target.standing == CHORD_TONE and target.strength > notes[last - 1].strength:
            return far
    return 0


def approaches(notes: Notes, i: int) -> int:
    """Return how many half steps away the chord tone is that a note slides to, 0 for none."""
    out = moves(notes, i)[1]
    if abs(out) != 1:
        return 0
    if notes[i + 1].standing == CHORD_TONE:
        return 1
    sliding = moves(notes, i + 1)[1] == out and notes[i + 2].standing == CHORD_TONE
    return 2 if sliding else 0


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
    if against := _against_goal(note):
        return f"{against}: let it move on"
    if note.standing != RUB or note.degree is None:
        return f"colours {name} and can stay"
    rubbed = f"the 3rd of {name}" if note.degree.semitone == ELEVEN else name
    return f"rubs against {rubbed}: let it move on"


def _against_goal(note: PlacedNote) -> str:
    """Say against what in the next chord a tension of V speaks, as a verb and its object."""
    chord, following = note.chord.chord, note.next_chord
    if note.degree is None or following is None or not chord.kind.is_dominant:
        return ""
    if note.standing != TENSION or following.chord.is_silent:
        return ""
    return why_it_rubs(chord, note.degree.semitone, following.chord).partition(" ")[2]


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
    return f"is already {goal}, on {note.place} before the change"


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
