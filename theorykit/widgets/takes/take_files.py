"""Files of takes: a recording or a MIDI file that is opened, with its clock if it is told."""

from __future__ import annotations

from collections.abc import Callable

from theorykit.errors import TheoryError, shown
from theorykit.widgets.controls import panel, tick, typed
from theorykit.widgets.reader_files import FileOpening
from theorykit.widgets.takes.recordings import ENDINGS, LONGEST, Recording, recording_of


class TakeOpening(FileOpening):
    """A button that opens a recording or a MIDI file, and a field for its path.

    ``tempo`` returns the tempo of the page; ``hear`` is given what was opened.
    """

    def __init__(self, tempo: Callable[[], float], hear: Callable[[Recording], None]) -> None:
        self._tempo, self._hear = tempo, hear
        self.clocked = tick("it was played at the tempo above", tip="else its own is tried as well")
        self.start = typed(
            "first bar at", "", "the second on which the first bar begins", example="found"
        )
        self._opened_last: Recording | None = None
        super().__init__(
            "open a recording or a MIDI file", ENDINGS, recording_of, take=self._clocked
        )
        told_first, opening = (self.clocked, self.start), (self.file, self.path, self.stop)
        self.children = [panel(*told_first), panel(*opening), self.problem, self.told]

    def _clocked(self, recording: Recording) -> tuple[str, ...]:
        """Note down what was opened, with the clock that is told for it."""
        self._opened_last = self.clock(recording)
        return ("", f"{recording.name} was opened.")

    def clock(self, recording: Recording) -> Recording:
        """Return a file with the clock that is told for it at the moment."""
        slider, start = self._tempo(), seconds(self.start.value)
        tempo = slider if self.clocked.value else None
        return Recording(recording.sound, tempo, start, recording.name, slider=slider)

    def _take(self, found: Recording) -> None:
        """Hand on what was opened, out of turn: it is listened to while the page answers."""
        self._opened_last = None
        super()._take(found)
        if self._opened_last is not None:
            self._hear(self._opened_last)


def seconds(text: str) -> float | None:
    """Return the seconds that were typed, None for nothing.

    >>> seconds(" 1.5 s"), seconds("")
    (1.5, None)
    >>> seconds("soon")
    Traceback (most recent call last):
    theorykit.errors.TheoryError: no time: 'soon' (want seconds from 0 to 600, or nothing)
    """
    plain = text.strip().removesuffix("s").strip().replace(",", ".")
    if not plain:
        return None
    try:
        found = float(plain)
    except ValueError:
        found = -1.0
    if not 0 <= found <= LONGEST:
        raise TheoryError(f"no time: {shown(text)} (want seconds from 0 to {LONGEST}, or nothing)")
    return found
