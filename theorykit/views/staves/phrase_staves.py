"""Staves of phrases: degrees, the colour over V, the landing."""

from __future__ import annotations

from collections.abc import Container, Iterator, Mapping, Sequence
from dataclasses import replace
from fractions import Fraction

from theorykit.harmony.chord_families import CHORD_TONE, OUTSIDE, standings
from theorykit.harmony.colours import Colour
from theorykit.harmony.tensions import LANDING, degrees_over, mark_of, role_over
from theorykit.lines.reading import LineReading, NoteReading, read_line
from theorykit.lines.text import Line, TimedNote
from theorykit.notes.chord import Chord
from theorykit.notes.reader import READERS, Reader
from theorykit.views.staves.staff import (
    COLOURING,
    ROLE_WORDS,
    StaffView,
    labelled_as_written,
    staff_of_line,
)

# What notes do that come between others.
BETWEEN = ("passing", "neighbour", "chromatic approach", "enclosure")
OCTAVE = 12  # half steps
SHORT = Fraction(1)  # beats: the moving notes over V are shorter than this


def phrase_staff(
    line: Line, over_v: Colour | None = None, *, reader: Reader = READERS[0]
) -> StaffView:
    """Return the staff of a line: under each note its degree over the chord of the moment.

    The tensions of the colour over a dominant are marked, long or short, and the note that follows
    over the next chord as the landing. A tension that the colour has not is plain, and a short
    word tells what it does; so it does under a note whose letter is that of no degree. ``over_v``
    is the colour, by default the one that the line spells. Where it spells none, moving notes that
    the chord does not hold are marked.

    >>> from theorykit.lines.demonstration import demonstration
    >>> view = phrase_staff(demonstration("C", "long", "b9 13"))
    >>> [(note.labels[0], note.mark) for note in view.notes][-3:]
    [('13', 'colour'), ('♭9', 'colour'), ('5', 'landing')]
    """
    reading = read_line(line, over_v)
    rows = [_row_over(reading, note, over_v) for note in reading.notes]
    found = labelled_as_written(
        _told_staff(reading, rows, {}, reader, chosen=over_v is not None), rows
    )
    return _with_words(found, reading)


def _with_words(view: StaffView, reading: LineReading) -> StaffView:
    """Return a staff on which no note between others is without a word under it."""
    notes = (
        replace(note, labels=("", ROLE_WORDS[read.role]))
        if not note.labels and read.role in BETWEEN
        else note
        for note, read in zip(view.notes, reading.notes, strict=True)
    )
    return replace(view, notes=tuple(notes))


def degree_staff(
    line: Line,
    over_v: Colour | None = None,
    *,
    reader: Reader = READERS[0],
    page: Line | None = None,
) -> StaffView:
    """Return what ``phrase_staff`` does, each degree told by its sound, whatever letter it has.

    What rubs against the chord that follows is marked so, as on the keyboard: the 13 before a
    minor tonic. ``page`` is the line as the reader has it, where that is known already.

    >>> from theorykit.tunes.progression import two_five_one
    >>> line = Line.parse("half A4 8th Db5 F4 D4 B3 | whole C4", two_five_one("C", "short"))
    >>> [view(line).notes[1].labels for view in (degree_staff, phrase_staff)]
    [('♯11',), ('♭5',)]
    """
    reading = read_line(line, over_v)
    rows = [_row_over(reading, note, over_v) for note in reading.notes]
    chords = line.progression.chords
    targets = {one.start: one.chord for one in chords}
    return _told_staff(reading, rows, targets, reader, chosen=over_v is not None, page=page)


def _told_staff(
    reading: LineReading,
    rows: Sequence[Colour | None],
    targets: Mapping[Fraction, Chord],
    reader: Reader,
    *,
    chosen: bool,
    page: Line | None = None,
) -> StaffView:
    """Return the staff of a reading; ``targets`` are the chords by where they begin.

    ``chosen`` tells that the colour over V was asked for: what follows V is the landing then.
    """
    held = {note.semitone for note in reading.line.progression.key.notes}
    labels = tuple(
        (*_degree(note), *_does(note, row, held))
        for note, row in zip(reading.notes, rows, strict=True)
    )
    marks = tuple(_marks(reading, rows, targets, chosen=chosen))
    return staff_of_line(reading.line, labels=labels, marks=marks, reader=reader, page=page)


def _row_over(reading: LineReading, note: NoteReading, over_v: Colour | None) -> Colour | None:
    """Return the colour over the dominant under a note: the chosen one, or the one it spells."""
    if not note.chord.kind.is_dominant:
        return None
    spelled = (
        found.colour
        for found in reading.dominants
        if found.is_exact and found.chord.start <= note.note.start < found.chord.end
    )
    return over_v or next(spelled, None)


def _marks(
    reading: LineReading,
    rows: Sequence[Colour | None],
    targets: Mapping[Fraction, Chord],
    *,
    chosen: bool,
) -> Iterator[str]:
    """Run through the mark of each note."""
    moving = on_v = False
    for note, row in zip(reading.notes, rows, strict=True):
        over_v = note.chord.kind.is_dominant
        is_short = note.note.beats < SHORT
        coloured = row is not None and _is_of(note, row)
        lands = (moving or (on_v and chosen)) and not over_v
        moving, on_v = over_v and (is_short or coloured), over_v
        if lands or not moving:
            yield LANDING if lands else ""
        elif row is None:
            yield _mark_over_v(reading.line, note.note)
        else:
            end = reading.line.progression.chord_at(note.note.start).end
            yield _colour_mark(note, row, targets.get(end))


def _is_of(note: NoteReading, row: Colour) -> bool:
    """Tell whether a note is a tension of a colour."""
    degree = note.degree
    return degree is not None and any(degree.semitone == d.semitone for d in row.tensions)


def _colour_mark(note: NoteReading, row: Colour, target: Chord | None) -> str:
    """Return the mark of a note over a dominant that has a colour: what only passes has none."""
    if note.degree is None or not (_is_of(note, row) or note.role in (*COLOURING, "outside")):
        return ""
    mark = mark_of(role_over(note.chord, note.degree, target, row.degrees))
    return mark if _is_of(note, row) or mark != "colour" else ""


def _does(note: NoteReading, row: Colour | None, held: Container[int]) -> tuple[str, ...]:
    """Return the short word for what a foreign note does: to the colour over V, else to the chord.

    Over a minor chord a major 3rd that passes is so told from a 3rd. ``held`` are the pitch classes
    of the key.
    """
    if note.role in ("", CHORD_TONE):
        return ()
    told = _is_outside(note, held) if row is None else not _is_of(note, row)
    return (ROLE_WORDS[note.role],) if told else ()


def _is_outside(note: NoteReading, held: Container[int]) -> bool:
    """Tell whether a note is foreign to a chord that is no dominant, or comes between in no key."""
    midi, own = note.note.pitch.midi, note.chord.kind
    if own.is_dominant:
        return False
    foreign = standings(own)[(midi - note.chord.root.semitone) % OCTAVE] == OUTSIDE
    return foreign or (note.role in BETWEEN and midi % OCTAVE not in held)


def _mark_over_v(line: Line, note: TimedNote) -> str:
    """Return the mark of a moving note over a dominant; the others there say what is wanted."""
    placed = line.progression.chord_at(note.start)
    near = [
        n.pitch.note for n in line.notes if placed.start <= n.start < placed.end and n.beats < SHORT
    ]
    wanted = degrees_over(placed.chord, near)
    chords = line.progression.chords
    after = next((one.chord for one in chords if one.start == placed.end), None)
    degree = degrees_over(placed.chord, [note.pitch.note])[0]
    return mark_of(role_over(placed.chord, degree, after, wanted))


def _degree(note: NoteReading) -> tuple[str, ...]:
    """Return the degree of a note over the chord of the moment, nothing over N.C."""
    return ("",) if note.degree is None else (note.degree.pretty,)
