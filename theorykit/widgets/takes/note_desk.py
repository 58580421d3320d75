"""The desk for notes: one note of a line chosen on the staff or in a list, and ways to mend it."""

from __future__ import annotations

from collections.abc import Callable, Collection, Sequence
from functools import partial
from pathlib import Path
from typing import Any

import anywidget
import traitlets as t

from theorykit.errors import TheoryError
from theorykit.lines.reading import NoteReading, place_words
from theorykit.lines.taking import WAYS
from theorykit.lines.text import Line, TimedNote
from theorykit.notes.note import pretty_accidentals
from theorykit.show.html_text import sentences_html
from theorykit.widgets.controls import answer, button, choice, guarded, offer, panel, picture, put
from theorykit.widgets.faults import Page, noted

_HERE = Path(__file__).parent
NO_NOTE = ("no note yet", -1)
UNDO = "undo"
KEYS = (
    "Keys on a note of the staff: ← → another note; ↑ ↓ a half step, with Shift an octave; "
    ", earlier and . later; S split, J join with the next, Delete, U undo."
)


class NotePointer(anywidget.AnyWidget):
    """Buttons over the notes of the staff on the page; keys there are sent as ways to mend.

    ``notes`` has the name of each note and whether it is doubtful; ``chosen`` is a place, or -1.
    ``narrow`` is the width of the page in pixels where it is that of a telephone, else 0.
    """

    _esm = (_HERE / "note_pointer.js").read_text("utf-8")
    notes: t.List = t.List().tag(sync=True)
    chosen = t.Int(-1).tag(sync=True)
    narrow = t.Int(0).tag(sync=True)


class NoteDesk(Page):
    """A list of the notes, and a button for each way; ``mend`` is given a place and a way.

    >>> from theorykit.lines.demonstration import demonstration
    >>> from theorykit.lines.reading import read_line
    >>> line, done = demonstration("C", "short"), []
    >>> desk = NoteDesk(lambda place, way: done.append((place, way)), lambda: None)
    >>> desk.show(line, read_line(line).notes, line.notes[1:2])
    >>> desk.note.options[1][0]
    'C5, bar 1, beat 2 (doubtful)'
    >>> desk.buttons["octave up"].click()
    >>> done
    [(0, 'octave up')]
    """

    def __init__(self, mend: Callable[[int, str], None], undo: Callable[[], None]) -> None:
        self._mend, self._undo = mend, undo
        self.pointer = NotePointer()
        self.note = choice("note", [NO_NOTE], -1, "the note that the buttons mend")
        self.buttons = {way: button(way, partial(self._press, way)) for way in WAYS}
        self.problem, how = picture(), picture()
        put(how, sentences_html("", KEYS))
        super().__init__(
            [panel(self.note, *self.buttons.values()), self.problem, how, self.pointer]
        )
        self.note.observe(self._chosen, "value")
        self.pointer.observe(self._pointed, "chosen")
        self.pointer.on_msg(self._told)

    def show(
        self, line: Line, read: Sequence[NoteReading], doubtful: Collection[TimedNote] = ()
    ) -> None:
        """List the notes of a line, by the names that they have on the reader's page.

        What was said of another line is no longer true.
        """
        put(self.problem, "")
        over = line.progression
        names = [
            f"{pretty_accidentals(str(one.note.pitch))}, {place_words(one.note.start, over)}"
            for one in read
        ]
        told = [[name, note in doubtful] for name, note in zip(names, line.notes, strict=True)]
        at = min(max(self.note.value, 0), len(told) - 1)
        rows = [
            (f"{name} (doubtful)" if is_so else name, n) for n, (name, is_so) in enumerate(told)
        ]
        offer(self.note, rows or [NO_NOTE], at, self._chosen)
        if self.pointer.notes != told:
            noted(partial(setattr, self.pointer, "notes", self.pointer.notes))
        with self.pointer.hold_sync():
            self.pointer.notes, self.pointer.chosen = told, at
        for one in self.buttons.values():
            one.disabled = not told

    @answer
    def _chosen(self, _: object) -> None:
        """A note was chosen in the list."""
        put(self.problem, "")
        self.pointer.chosen = self.note.value

    @answer
    def _pointed(self, _: object) -> None:
        """A note was chosen on the staff."""
        if self.pointer.chosen != self.note.value:
            put(self.problem, "")
            offer(self.note, self.note.options, self.pointer.chosen, self._chosen)

    @answer
    def _press(self, way: str, _: object) -> None:
        """A button was pressed."""
        guarded(self.problem, lambda: self._act(self.note.value, way))

    @answer
    def _told(self, _: object, message: dict[str, Any], __: object) -> None:
        """A key was pressed on a note of the staff."""
        guarded(self.problem, lambda: self._act(int(message["at"]), str(message["way"])))

    def _act(self, at: int, way: str) -> None:
        """Mend a note, or take the last step back."""
        if way == UNDO:
            self._undo()
        elif at < 0:
            raise TheoryError("no note is chosen (want one of the line)")
        else:
            self._mend(at, way)
