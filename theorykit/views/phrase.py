"""The staff of a phrase: the degree under each note, and what stands out."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from theorykit.harmony.tensions import degrees_over
from theorykit.lines.line import Line, TimedNote
from theorykit.notes.instruments import READERS, Reader
from theorykit.views.staff import StaffView, staff_of_line

__all__ = ["phrase_staff"]

SHORT = Fraction(1)  # beats: the moving notes over V are shorter than this


def phrase_staff(line: Line, *, reader: Reader = READERS[0]) -> StaffView:
    """Return the staff of a line: under each note its degree over the chord of the moment.

    Moving notes over a dominant that the chord does not hold are marked as colour, and the note
    that follows them over the next chord as the landing; a long note over the dominant itself is
    none.

    >>> from theorykit.lines.demonstration import demonstration
    >>> view = phrase_staff(demonstration("C", "long", "b9 13"))
    >>> [(note.labels[0], note.mark) for note in view.notes][-3:]
    [('13', 'colour'), ('♭9', 'colour'), ('5', 'landing')]
    """
    labels = tuple((_degree(line, note),) for note in line.notes)
    return staff_of_line(line, labels=labels, marks=tuple(_marks(line)), reader=reader)


def _marks(line: Line) -> Iterator[str]:
    """Run through the mark of each note."""
    moving = False
    for note in line.notes:
        over_v = line.progression.chord_at(note.start).chord.kind.is_dominant
        lands, moving = moving and not over_v, over_v and note.beats < SHORT
        yield "landing" if lands else "colour" if moving and _is_foreign(line, note) else ""


def _is_foreign(line: Line, note: TimedNote) -> bool:
    """Tell whether the chord of the moment does not hold a note."""
    chord = line.progression.chord_at(note.start).chord
    return note.pitch.note.semitone not in {tone.semitone for tone in chord.notes}


def _degree(line: Line, note: TimedNote) -> str:
    """Return the degree of a note over the chord of the moment, nothing over N.C."""
    chord = line.progression.chord_at(note.start).chord
    return "" if chord.is_silent else degrees_over(chord, [note.pitch.note])[0].pretty
