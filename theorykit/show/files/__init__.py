"""Files: lines, phrases and lead sheets, read and written."""

from theorykit.show.files.lead_sheets import (
    LEAD_SHEET_FILES,
    lead_sheet_of_bytes,
    lead_sheet_view,
    lead_sheet_xml,
    open_lead_sheet,
    save_lead_sheet,
)
from theorykit.show.files.line_file import LineFile
from theorykit.show.files.line_files import line_bytes, open_line
from theorykit.show.files.midi_out import midi_bytes
from theorykit.show.files.saving import file_at, make_own_folder, put_whole, sweep, write_file

__all__ = [
    "LEAD_SHEET_FILES",
    "LineFile",
    "file_at",
    "lead_sheet_of_bytes",
    "lead_sheet_view",
    "lead_sheet_xml",
    "line_bytes",
    "make_own_folder",
    "midi_bytes",
    "open_lead_sheet",
    "open_line",
    "put_whole",
    "save_lead_sheet",
    "sweep",
    "write_file",
]
