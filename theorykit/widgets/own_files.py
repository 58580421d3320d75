"""Where the reader's own phrase book lies, and a book at the path that the reader names."""

from __future__ import annotations

from pathlib import Path

import platformdirs

from theorykit.errors import TheoryError, shown
from theorykit.show.saving import file_at
from theorykit.study.phrasebook import PhraseBook

__all__ = ["book_at", "own_book", "there_is_a_book"]

APPLICATION = "theorykit"
FILE = "phrases.sqlite"


def own_book() -> Path:
    """Return the path of the reader's own phrase book, in the user's data directory."""
    return Path(platformdirs.user_data_dir(APPLICATION, appauthor=False)) / FILE


def there_is_a_book(path: str) -> bool:
    """Tell whether anything lies at a path yet."""
    try:
        return file_at(path, ".sqlite").exists()
    except OSError as wrong:
        raise TheoryError(f"cannot look at {shown(path)}: {wrong.strerror}") from None


def book_at(path: str) -> PhraseBook:
    """Return the phrase book at a path; the reader's own folder is made, no other one is."""
    file = file_at(path, ".sqlite")
    try:
        if file == own_book():
            file.parent.mkdir(parents=True, exist_ok=True)
        return PhraseBook(file)
    except OSError as wrong:
        raise TheoryError(f"cannot use {shown(path)}: {wrong.strerror}") from None
