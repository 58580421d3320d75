"""The file of a reader's work: what lies in the own folder and can be carried elsewhere."""

from __future__ import annotations

from datetime import date

from theorykit.errors import TheoryError
from theorykit.show.files import make_own_folder
from theorykit.show.own_reader import keep_reader, kept_player, own_folder
from theorykit.study.archive import OwnWork

__all__ = ["bring_work", "work_bytes", "work_file_name"]


def work_file_name(day: date) -> str:
    """Return what such a file is called.

    >>> work_file_name(date(2026, 12, 3))
    'theorykit work 2026-12-03.zip'
    """
    return f"theorykit work {day.isoformat()}.zip"


def work_bytes() -> bytes:
    """Return phrases, journal, drafts and what the reader plays, as one file.

    Paths of this machine stay here: the folder of text files, a SoundFont.

    >>> work_bytes()[:2]
    b'PK'
    """
    return OwnWork(own_folder()).packed(kept_player())


def bring_work(data: bytes) -> str:
    """Add what a file holds to the reader's own work, all or nothing; return words on what came.

    What the reader plays is taken over where nothing was chosen here yet.

    >>> bring_work(work_bytes())
    'Nothing in it was new here.'
    """
    try:
        make_own_folder(own_folder())
    except OSError as wrong:
        raise TheoryError(f"cannot keep work in {own_folder()}: {wrong.strerror}") from None
    found = OwnWork(own_folder()).bring(data)
    if found.player and not kept_player():
        keep_reader(found.player)
    return found.words
