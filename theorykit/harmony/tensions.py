"""What a note is over a chord, and where it rubs."""

from __future__ import annotations

from collections.abc import Iterable

from theorykit.errors import TheoryError
from theorykit.notes.chord import Chord
from theorykit.notes.degree import Degree
from theorykit.notes.note import Note

__all__ = ["TENSION_NAMES", "degrees_over"]

# How a note is named over a chord that does not hold it: as a tension where the trade has one
# (common practice; the twelve names are those of the solo counts in harmony.evidence).
TENSION_NAMES = tuple(
    Degree.parse(name) for name in "1 b9 9 #9 3 11 #11 5 b13 13 b7 7".split()
)


def degrees_over(chord: Chord | str, notes: str | Iterable[Note | str]) -> tuple[Degree, ...]:
    """Return what each note is over a chord, in the order given.

    A note that the chord holds keeps the chord's own name (the b5 of a half-diminished chord);
    any other is named as a tension. The sound decides, not the spelling.

    >>> [str(d) for d in degrees_over("G7", "E G# B")], [str(d) for d in degrees_over("Cm7", "Eb F#")]
    (['13', 'b9', '3'], ['b3', '#11'])
    """
    over = Chord.parse(chord) if isinstance(chord, str) else chord
    if over.is_silent:
        raise TheoryError("no degrees over N.C. (want a chord with a root)")
    named = list(TENSION_NAMES)
    for degree in over.degrees:
        named[degree.semitone] = degree
    given = notes.split() if isinstance(notes, str) else notes
    root = over.root.semitone
    return tuple(named[(_as_note(note).semitone - root) % 12] for note in given)


def _as_note(note: Note | str) -> Note:
    """Read a note where text came."""
    return Note.parse(note) if isinstance(note, str) else note
