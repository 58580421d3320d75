"""The staff of a phrase: the degree under each note, and what stands out."""

from __future__ import annotations

from fractions import Fraction

from theorykit.harmony.tensions import degrees_over
from theorykit.lines.line import Line, TimedNote
from theorykit.notes.instruments import READERS, Reader
from theorykit.views.staff import StaffView, staff_of_line

__all__ = ["phrase_staff"]

SHORT = Fraction(1)  # beats: the moving notes over V are shorter than this


def phrase_staff(line: Line, *, reader: Reader = READERS[0]) -> StaffView:
    """Return the staff of a line: under each note its degree over the chord of the moment.

    The moving notes over a dominant are marked as colour, the note after them as the landing.

    >>> from theorykit.lines.demonstration import demonstration
    >>> view = phrase_staff(demonstration("C", "long", "b9 13"))
    >>> [(note.labels[0], note.mark) for note in view.notes][-3:]
    [('13', 'colour'), ('♭9', 'colour'), ('5', 'landing')]
    """
    moving = [_moves_over_dominant(line, note) for note in line.notes]
    marks = [
        "colour" if now else "landing" if before else ""
        for before, now in zip([False, *moving], moving, strict=False)
    ]
    labels = tuple((_degree(line, note),) for note in line.notes)
    return staff_of_line(line, labels=labels, marks=tuple(marks), reader=reader)


def _moves_over_dominant(line: Line, note: TimedNote) -> bool:
    """Tell whether a note is a moving one over a dominant."""
    chord = line.progression.chord_at(note.start).chord
    return note.beats < SHORT and chord.kind.is_dominant


def _degree(line: Line, note: TimedNote) -> str:
    """Return the degree of a note over the chord of the moment, nothing over N.C."""
    chord = line.progression.chord_at(note.start).chord
    return "" if chord.is_silent else degrees_over(chord, [note.pitch.note])[0].pretty
