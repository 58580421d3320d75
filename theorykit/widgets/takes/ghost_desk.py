"""The desk for ghost notes: faint notes that were left out of a take are put back by one press."""

from __future__ import annotations

from collections.abc import Callable

from theorykit.lines.taking import Ghosts, TakenLine
from theorykit.lines.text import Line
from theorykit.notes.reader import Reader
from theorykit.widgets.controls import answer, button, guarded, panel, picture
from theorykit.widgets.faults import Page


class GhostDesk(Page):
    """A button that is there while faint notes are left out; ``put`` is given a line with them."""

    def __init__(self, line: Callable[[], Line], put: Callable[[Line], None]) -> None:
        self._line, self._put = line, put
        self._ghosts: Ghosts | None = None
        self.back = button("put the faint notes back", self._press, "they may be ghost notes")
        self.problem = picture()
        super().__init__([panel(self.back), self.problem])
        self.back.layout.display = "none"

    def report(self, taken: TakenLine | None, line: Line, reader: Reader) -> list[str]:
        """Return the report of a take beside a line, and offer what is left out of it."""
        if self._ghosts is None or self._ghosts.taken != taken:
            self._ghosts = None if taken is None else Ghosts(taken)
        is_left = self._ghosts is not None and bool(self._ghosts.left(line))
        self.back.layout.display = "" if is_left else "none"
        return [] if self._ghosts is None else self._ghosts.report(line, reader)

    @answer
    def _press(self, _: object) -> None:
        """Put them back, as a step that can be taken back."""
        ghosts = self._ghosts
        if ghosts is not None:
            guarded(self.problem, lambda: self._put(ghosts.put_back(self._line())))
