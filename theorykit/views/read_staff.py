"""The staff of a line that was read: under each note its degree, and a short word for its role."""

from __future__ import annotations

from collections.abc import Container, Iterable

from theorykit.harmony.colours import Colour
from theorykit.lines.readings import LineReading, NoteReading
from theorykit.lines.timed import TimedNote
from theorykit.notes.chord import Chord
from theorykit.notes.degree import Degree
from theorykit.notes.instruments import READERS, Reader
from theorykit.views.staff import StaffView, staff_of_line

__all__ = ["ROLE_WORDS", "legend", "read_staff"]

# Under a note there is room for four letters. CT, PT and NT are what analysts write for chord tone,
# passing and neighbour tone (common practice); the others are the words themselves, cut short.
ROLE_WORDS = {
    "chord tone": "CT",
    "tension": "T",
    "alteration": "alt",
    "passing": "PT",
    "neighbour": "NT",
    "chromatic approach": "appr",
    "enclosure": "enc",
    "anticipation": "ant",
    "outside": "out",
}
COLOURING = ("tension", "alteration")


def read_staff(
    reading: LineReading, over_v: Colour | None = None, *, reader: Reader = READERS[0]
) -> StaffView:
    """Return the staff of a reading, written for a reader.

    Tensions over a dominant are marked as colour, those of ``over_v`` too where they only pass, and
    the note that lands on the chord after it.

    >>> from theorykit.lines.line import Line
    >>> from theorykit.lines.reading import read_line
    >>> from theorykit.tunes.progression import two_five_one
    >>> text = "8th F5 E5 D5 C5 B4 E5 Ab4 B4 | whole C5"
    >>> view = read_staff(read_line(Line.parse(text, two_five_one("C", "short"))))
    >>> [(*note.labels, note.mark) for note in view.notes][-4:]
    [('13', 'T', 'colour'), ('♭9', 'alt', 'colour'), ('3', 'CT', ''), ('1', 'CT', 'landing')]
    """
    landed, spelled = _landings(reading), _spelled(reading)
    wanted = over_v.tensions if over_v else ()
    labels = tuple(map(_labels, reading.notes))
    marks = (
        "landing" if note.note in landed else "colour" if _colours(note, spelled, wanted) else ""
        for note in reading.notes
    )
    return staff_of_line(reading.line, labels=labels, marks=tuple(marks), reader=reader)


def legend(roles: Iterable[str]) -> str:
    """Return what the short words under some notes mean, in the order of the table.

    >>> legend(["passing", "chord tone", "passing", ""])
    'CT chord tone · PT passing'
    """
    used = set(roles)
    return " · ".join(f"{short} {role}" for role, short in ROLE_WORDS.items() if role in used)


def _labels(note: NoteReading) -> tuple[str, ...]:
    """Return the two lines under a note; none over N.C."""
    return () if note.degree is None else (note.degree.pretty, ROLE_WORDS[note.role])


def _landings(reading: LineReading) -> set[TimedNote]:
    """Return the notes that land on the chord after a dominant."""
    ending = {placed.end: placed.chord for placed in reading.line.progression.chords}
    return {
        change.first.note
        for change in reading.changes
        if change.meets and change.first is not None and ending[change.chord.start].kind.is_dominant
    }


def _spelled(reading: LineReading) -> set[tuple[Chord, Degree]]:
    """Return the tensions of each colour that is spelled exactly, with its chord."""
    exact = (found for found in reading.dominants if found.is_exact)
    return {(d.chord.chord, degree) for d in exact if d.colour for degree in d.colour.tensions}


def _colours(note: NoteReading, spelled: Container[object], wanted: Container[Degree]) -> bool:
    """Tell whether a note brings a tension over a dominant."""
    if not note.chord.kind.is_dominant or note.degree is None or note.role == "chord tone":
        return False
    bends = note.role in COLOURING or note.degree in wanted
    return bends or (note.chord, note.degree) in spelled
