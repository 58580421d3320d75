"""Choosing editions and files, and making them into a folder."""

from __future__ import annotations

from collections.abc import Callable
from itertools import product
from pathlib import Path

import ipywidgets as ipw

from theorykit.errors import TheoryError
from theorykit.handout.editions import AUDIENCES, EVERYONE, PAPERS, SIZES, Edition
from theorykit.handout.handout import Handout
from theorykit.handout.making import FILES
from theorykit.handout.summary import summary_of
from theorykit.notes.instruments import READERS
from theorykit.show.text import sentences_html
from theorykit.widgets.controls import guarded, panel, picture, put, typed
from theorykit.widgets.fields import button, tick, watch

__all__ = ["Making"]

WIDE = "700px"
PLAIN = ("concert", "student", "A4", "normal")
PARTS = {
    "readers": [one.name for one in READERS],
    "for": list(AUDIENCES),
    "paper": list(PAPERS),
    "print": list(SIZES),
}


class Making(ipw.VBox):
    """Boxes to tick, a folder and a button; ``what`` returns the handout of the moment."""

    def __init__(self, what: Callable[[], Handout], folder: str) -> None:
        self._what = what
        self.parts = {
            part: {name: tick(name, name in PLAIN) for name in names}
            for part, names in PARTS.items()
        }
        self.everyone = tick("everyone in the room", tip="every edition there is, and a zip")
        self.files = {name: tick(name, name in ("pages", "text")) for name in FILES}
        self.folder = typed("folder", folder, "where the files go, and nowhere else")
        self.folder.layout.width = WIDE
        self.overwrite = tick("overwrite files that are there")
        self.make = button("make", self._press, "make the files into the folder")
        self.bar = ipw.Output()
        self.problem, self.told = picture(), picture()
        super().__init__(self._laid_out())

    def _laid_out(self) -> list[ipw.Widget]:
        """Lay the parts out."""
        rows = [panel(ipw.Label(part), *boxes.values()) for part, boxes in self.parts.items()]
        files = panel(ipw.Label("files"), *self.files.values())
        pressed = panel(self.make, self.overwrite)
        end = [self.folder, pressed, self.bar, self.problem, self.told]
        return [panel(self.everyone), *rows, files, *end]

    def watch(self, answer: Callable[[object], None]) -> None:
        """Let an answer follow every choice of editions."""
        boxes = [box for part in self.parts.values() for box in part.values()]
        watch([*boxes, self.everyone], answer)

    @property
    def editions(self) -> tuple[Edition, ...]:
        """The editions that are ticked."""
        if self.everyone.value:
            return EVERYONE
        names = [[n for n, box in part.items() if box.value] for part in self.parts.values()]
        for part, chosen in zip(self.parts, names, strict=True):
            if not chosen:
                raise TheoryError(f"nothing ticked under {part!r} (want at least one edition)")
        return tuple(Edition(*one) for one in product(*names))

    def _press(self, _: object) -> None:
        """Make the files; what was said before is no longer true."""
        put(self.told, "")
        self.bar.outputs = ()
        self.make.disabled = True
        try:
            guarded(self.problem, self._make)
        finally:
            self.make.disabled = False

    def _make(self) -> None:
        """Make the files and say what was made."""
        folder = self.folder.value.strip()
        kinds = [name for name, box in self.files.items() if box.value]
        if not folder:
            raise TheoryError("no folder yet (want the path of a folder for the files)")
        if not kinds:
            raise TheoryError("nothing ticked under 'files' (want at least one kind of file)")
        handout, editions = self._what(), self.editions
        overwrite = self.overwrite.value
        home = Path(folder).expanduser()
        with self.bar:
            try:
                made = handout.make(home, editions, files=kinds, overwrite=overwrite)
            except TheoryError as error:  # said below, not in the place of the progress bar
                made, refused = [], str(error).replace("overwrite=True", "overwrite ticked")
        if not made:
            raise TheoryError(refused)
        self.overwrite.value = False
        put(self.told, sentences_html(summary_of(made).words))
