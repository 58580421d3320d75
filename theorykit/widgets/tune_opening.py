"""Opening a tune of the reader's: a lead sheet as MusicXML, or a chart as text."""

from __future__ import annotations

from collections.abc import Callable

from theorykit.show.lead_sheets import LEAD_SHEET_FILES, lead_sheet_of_bytes
from theorykit.widgets.file_opening import FileOpening

__all__ = ["TuneOpening"]


class TuneOpening(FileOpening):
    """A button that opens a file; ``take`` is given the text of its chart."""

    def __init__(self, take: Callable[[str], None]) -> None:
        self._take = take
        super().__init__("open a lead sheet or a chart", LEAD_SHEET_FILES, self._read_tune)

    def _read_tune(self, name: str, content: bytes) -> tuple[str, ...]:
        """Read one file and hand its chart on."""
        sheet = lead_sheet_of_bytes(name, content)
        self._take(str(sheet.chart))
        told = sheet.report or ("Every chord and sign was read.",)
        if sheet.melody:
            count = len(sheet.melody)
            told += (f"The chart is on the desk; the melody of {count} notes stays in the file.",)
        return (f"{name}:", *told)
