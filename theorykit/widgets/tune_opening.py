"""Opening a tune of the reader's: a lead sheet as MusicXML, or a chart as text."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import ipywidgets as ipw

from theorykit.show.lead_sheets import LEAD_SHEET_FILES, lead_sheet_of_bytes
from theorykit.show.text import sentences_html
from theorykit.widgets.controls import guarded, panel, picture, put
from theorykit.widgets.fields import unwatched, upload

__all__ = ["TuneOpening"]


class TuneOpening(ipw.VBox):
    """A button that opens a file; ``take`` is given the text of its chart."""

    def __init__(self, take: Callable[[str], None]) -> None:
        self._take = take
        self.file = upload("open a lead sheet or a chart", LEAD_SHEET_FILES, self._opened)
        self.problem, self.told = picture(), picture()
        super().__init__([panel(self.file), self.problem, self.told])

    def _opened(self, _: object) -> None:
        """Read what was opened; the same file can be opened again."""
        found = tuple(self.file.value)
        with unwatched(self._opened, self.file):
            self.file.value = ()
        if found:
            put(self.told, "")
            guarded(self.problem, lambda: self._read(found[0]))

    def _read(self, one: dict[str, Any]) -> None:
        """Read one file and hand its chart on."""
        name = str(one["name"])
        sheet = lead_sheet_of_bytes(name, bytes(one["content"]))
        self._take(str(sheet.chart))
        told = sheet.report or ("Every chord and sign was read.",)
        if sheet.melody:
            count = len(sheet.melody)
            told += (f"The chart is on the desk; the melody of {count} notes stays in the file.",)
        put(self.told, sentences_html(f"{name}:", *told))
