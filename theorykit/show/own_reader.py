"""The own reader: one setting on disk, the default of every widget, chapter and handout."""

from __future__ import annotations

from pathlib import Path

from theorykit.errors import TheoryError
from theorykit.notes.reader import READERS, Reader, reader
from theorykit.show.files import make_own_folder, put_whole

__all__ = ["keep_reader", "own_folder", "own_reader", "reader_or_own"]

APPLICATION, FILE = "theorykit", "reader.txt"
LONGEST = 200  # bytes of the file that are looked at


def own_folder() -> Path:
    """Return the folder of the reader's own files, in the user's data directory; none is made."""
    import platformdirs

    return Path(platformdirs.user_data_dir(APPLICATION, appauthor=False))


def own_reader() -> Reader:
    """Return the reader that was kept, concert pitch if none was, or none that can be read.

    >>> own_reader().name
    'concert'
    """
    try:
        with (own_folder() / FILE).open("rb") as file:
            return reader(file.read(LONGEST).decode("utf-8").strip())
    except (OSError, UnicodeDecodeError, TheoryError):
        return READERS[0]


def keep_reader(who: Reader | str) -> Reader:
    """Keep what the reader plays, by any name that ``reader`` takes, and return it."""
    found = reader(who)
    folder = own_folder()
    try:
        make_own_folder(folder)
        put_whole(folder / FILE, f"{found.name}\n".encode(), replace=True, own=True)
    except OSError as wrong:
        raise TheoryError(f"cannot keep what you play in {folder}: {wrong.strerror}") from None
    return found


def reader_or_own(who: Reader | str | None) -> Reader:
    """Return a reader that is named, or the one that was kept where none is.

    >>> reader_or_own("trumpet").name
    'B flat'
    """
    return own_reader() if who is None else reader(who)
