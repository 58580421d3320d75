"""What a note does: its role, judged by the notes around it and by the beat.

The names and their meaning are those of any handbook on melody (Ligon, *Connecting Chords with
Linear Harmony*, and Coker, *Elements of the Jazz Language*, both from memory): a passing note goes
on by step, a neighbour steps away and back or leans on a chord tone, an approach leads by a half
step, an enclosure closes in from both sides, an anticipation brings a note of the next chord early.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from theorykit.lines.placed import OFF_BEAT, PlacedNote, over
from theorykit.lines.standing import ALTERATION, CHORD_TONE, OUTSIDE, RUB, TENSION

__all__ = ["ROLES", "approaches", "closes_in", "moves", "roles"]

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

    >>> from theorykit.lines.line import Line
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
    if note.standing in (TENSION, ALTERATION):
        return note.standing
    if note.standing == OUTSIDE and approaches(notes, i):
        return APPROACH
    out = moves(notes, i)[1]
    leans = 0 < abs(out) <= STEP and notes[i + 1].standing == CHORD_TONE
    if leans:
        return NEIGHBOUR
    return TENSION if note.standing == RUB else OUTSIDE


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
