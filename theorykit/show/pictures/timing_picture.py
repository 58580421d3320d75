"""The picture of early and late notes: a column for each note, above the line early, below late."""

from __future__ import annotations

from theorykit.show.pictures.marks import Area, Label, Mark, Marker, Picture, Stroke, legend
from theorykit.show.pictures.picture_colours import BLUE, FADED, GREEN, INK, LINE, TINT, VERMILLION
from theorykit.views.played import NoteTiming, TimingView

COLUMN, MOST = 36.0, 24  # width of a note's column; notes in a row
LEFT, RIGHT = 72.0, 16.0
HALF, RADIUS = 56.0, 7.0  # from the middle to the farthest note; of a mark
TITLE, NAME, SMALL = 14.0, 12.0, 11.0
NAMES = 38.0  # from the farthest note down to the names
TOP, ROW = 64.0, 2 * HALF + NAMES + 38.0  # of the first row; from row to row
LEAST_WIDTH = 460.0  # for title and legend
MARKS = {"early": ("house", BLUE), "in time": ("circle", GREEN), "late": ("diamond", VERMILLION)}


def timing_picture(view: TimingView) -> Picture:
    """Return the marks of the picture of a take's timing.

    >>> from theorykit.views.played import NoteTiming, TimingView
    >>> note = NoteTiming("A4", "bar 1, beat 2", 1, 62, "late")
    >>> picture = timing_picture(TimingView("Early and late notes", (note,), 50, 100))
    >>> [mark.text for mark in picture.marks if isinstance(mark, Label)][:4]
    ['Early and late notes', 'early', 'in time', 'late']
    """
    rows = [view.notes[at : at + MOST] for at in range(0, len(view.notes), MOST)]
    longest = max((len(row) for row in rows), default=0)
    width = max(LEAST_WIDTH, LEFT + COLUMN * longest + RIGHT)
    marks: list[Mark] = [Label(16, 24, view.title, TITLE, INK, anchor="start")]
    bar = 0
    for number, row in enumerate(rows):
        marks += _row(view, row, TOP + ROW * number, bar)
        bar = row[-1].bar
    foot = TOP + ROW * max(1, len(rows)) + 2
    entries = [
        (Marker(0, 0, RADIUS, *MARKS["early"]), "early"),
        (Marker(0, 0, RADIUS, *MARKS["in time"]), f"within {view.within} ms"),
        (Marker(0, 0, RADIUS, *MARKS["late"]), "late"),
    ]
    marks += legend(entries, 16, foot, width - 32)
    return Picture(width, foot + 14, tuple(marks), view.alt)


def _row(view: TimingView, notes: tuple[NoteTiming, ...], top: float, bar: int) -> list[Mark]:
    """Return a row of notes; ``bar`` is that of the note before it."""
    middle, right = top + HALF, LEFT + COLUMN * len(notes)
    band = HALF * view.within / view.reach
    marks: list[Mark] = [
        Area(_corners(LEFT, middle - band, right, middle + band), TINT),
        Stroke(((LEFT, middle), (right, middle)), LINE, 1.0),
        Label(LEFT - 8, top + 12, "early", SMALL, FADED, bold=False, anchor="end"),
        Label(LEFT - 8, middle + 4, "in time", SMALL, FADED, bold=False, anchor="end"),
        Label(LEFT - 8, middle + HALF, "late", SMALL, FADED, bold=False, anchor="end"),
    ]
    for place, note in enumerate(notes):
        x = LEFT + COLUMN * place
        if note.bar != bar:
            bar = note.bar
            marks.append(
                Stroke(((x, top - 22), (x, top + 2 * HALF + NAMES)), LINE, 1.0, (3.0, 3.0))
            )
            marks.append(Label(x + 3, top - 14, f"bar {bar}", SMALL, FADED, False, "start"))
        marks += _note(view, note, x + COLUMN / 2, middle)
    return marks


def _note(view: TimingView, note: NoteTiming, x: float, middle: float) -> list[Mark]:
    """Return the mark of a note with its name, and its milliseconds where it was not in time."""
    share = max(-1.0, min(1.0, note.late / view.reach))
    y = middle + share * HALF
    marks: list[Mark] = [
        Stroke(((x, middle), (x, y)), LINE, 1.0),
        Marker(x, y, RADIUS, *MARKS[note.side]),
        Label(x, middle + HALF + NAMES, note.name, NAME, INK),
    ]
    if note.side in ("early", "late"):
        beside = y - 12 if share < 0 else y + 21
        marks.append(Label(x, beside, str(abs(note.late)), SMALL, INK, bold=False))
    return marks


def _corners(left: float, top: float, right: float, foot: float) -> tuple[tuple[float, float], ...]:
    """Return the corners of a rectangle."""
    return ((left, top), (right, top), (right, foot), (left, foot))
