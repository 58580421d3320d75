"""Opening the text file of a handout, and bringing back the one that was there before."""

from __future__ import annotations

from collections.abc import Callable

from theorykit.errors import TheoryError, shown
from theorykit.handout.handout import Handout
from theorykit.widgets.controls import guarded, put
from theorykit.widgets.fields import button
from theorykit.widgets.file_opening import FileOpening

__all__ = ["HandoutOpening"]

ENDING = ".toml"


class HandoutOpening(FileOpening):
    """A button that opens a file, a field for its path, and a button that goes back.

    ``take`` is given the handout that was opened; ``go_back`` puts the one before in its place, or
    refuses where there is none.
    """

    def __init__(self, take: Callable[[Handout], None], go_back: Callable[[], None]) -> None:
        self._take, self._go_back = take, go_back
        self.back = button("bring back the one before", self._press_back)
        super().__init__("open a handout", (ENDING,), self._read_handout, self.back)

    def _read_handout(self, name: str, content: bytes) -> tuple[str, ...]:
        """Read one file and hand its handout on."""
        try:
            self._take(Handout.parse(content.decode("utf-8-sig")))
        except UnicodeDecodeError:
            raise TheoryError(f"{shown(name)} is no text (want UTF-8)") from None
        return "", f"Opened from {name}."

    def _press_back(self, _: object) -> None:
        """Bring back what was typed before."""
        put(self.told, "")
        guarded(self.problem, self._go_back)
