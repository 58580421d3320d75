"""The desk for ghost notes: faint notes that were left out of a take are put back by one press."""

from __future__ import annotations

from collections.abc import Callable

from theorykit.lines.taking import TakenLine, left_ghosts, put_back, report_beside
from theorykit.lines.text import Line
from theorykit.notes.reader import Reader
from theorykit.widgets.controls import answer, button, guarded, panel, picture
from theorykit.widgets.faults import Page


class GhostDesk(Page):
    """A button that is there while faint notes are left out; ``put`` is given a line with them."""

    def __init__(self, line: Callable[[], Line], put: Callable[[Line], None]) -> None:
        self._line, self._put = line, put
        self._taken: TakenLine | None = None
        self.back = button("put the faint notes back", self._press, "they may be ghost notes")
        self.problem = picture()
        super().__init__([panel(self.back), self.problem])
        self.back.layout.display = "none"

    def report(self, taken: TakenLine | None, line: Line, reader: Reader) -> list[str]:
        """Return the report of a take beside a line, and offer what is left out of it."""
        self._taken = taken
        is_left = taken is not None and bool(left_ghosts(taken, line))
        self.back.layout.display = "" if is_left else "none"
        return [] if taken is None else report_beside(taken, line, reader)

    @answer
    def _press(self, _: object) -> None:
        """Put them back, as a step that can be taken back."""
        taken = self._taken
        if taken is not None:
            guarded(self.problem, lambda: self._put(put_back(self._line(), taken)))
