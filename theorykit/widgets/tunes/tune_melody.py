"""The melody of a tune on its desk: opened with the chart, shown under it as the reader has it."""

from __future__ import annotations

from collections.abc import Callable

from theorykit.errors import TheoryError
from theorykit.lines.lead_sheet import LeadSheet
from theorykit.notes.reader import Reader
from theorykit.show.engraving import staff_svg
from theorykit.show.files import LEAD_SHEET_FILES, lead_sheet_of_bytes
from theorykit.show.html_text import sentences_html
from theorykit.views.staves import lead_sheet_staff
from theorykit.views.tune import TuneDraft
from theorykit.widgets.controls import picture, put
from theorykit.widgets.faults import Page
from theorykit.widgets.reader_files import FileOpening

WIDTH, SCALE, BARS = 760, 38, 4
WAITS = "The melody does not fit these bars. It is kept, and is back when they are as they were."


class TuneOpening(FileOpening):
    """A button that opens a file; ``take`` is given the text of its chart and of its melody."""

    def __init__(self, take: Callable[[str, str], None]) -> None:
        self._use = take
        label = "open a lead sheet or a chart"
        super().__init__(label, LEAD_SHEET_FILES, self._read_tune, take=self._hand_on)

    def _read_tune(self, name: str, content: bytes) -> tuple[str, LeadSheet]:
        """Read one file."""
        return name, lead_sheet_of_bytes(name, content)

    def _hand_on(self, read: tuple[str, LeadSheet]) -> tuple[str, ...]:
        """Hand the chart of a file on, with its melody."""
        name, sheet = read
        melody = _kept(sheet)
        self._use(str(sheet.chart), melody)
        told = sheet.report or ("Every chord and sign was read.",)
        if sheet.melody:
            count = len(sheet.melody)
            told += (
                f"The chart is on the desk with its melody of {count} notes."
                if melody
                else f"The chart is on the desk; the melody of {count} notes stays in the file.",
            )
        return (f"{name}:", *told)


def _kept(sheet: LeadSheet) -> str:
    """Return the melody of a file as text, empty where text cannot hold it."""
    try:
        text = sheet.melody_text
        LeadSheet.of(sheet.chart, text)
    except TheoryError:
        return ""
    return text


class Melody(Page):
    """The staff of the melody of the tune on the desk; nothing where it has none."""

    def __init__(self) -> None:
        self.staff, self.told, self.problem = picture(), picture(), picture()
        super().__init__([self.staff, self.told, self.problem])

    def show(self, state: TuneDraft, who: Reader) -> None:
        """Show the melody under its chords, or say that it waits for other bars."""
        sheet = state.sheet
        waits = bool(state.melody) and (sheet is None or not sheet.melody)
        put(self.told, sentences_html("", WAITS) if waits else "")
        if sheet is None or not sheet.melody:
            put(self.staff, "")
            return
        view = lead_sheet_staff(sheet, reader=who)
        put(self.staff, staff_svg(view, scale=SCALE, width=WIDTH, bars_per_line=BARS))
