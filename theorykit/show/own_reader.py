"""The own reader: one setting on disk, the default of every widget, chapter and handout."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from pathlib import Path

from theorykit.errors import TheoryError
from theorykit.notes.reader import BASSIST, READERS, Reader, has_four_strings, reader
from theorykit.show.files import make_own_folder, put_whole
from theorykit.views.fingerboard import BASS, GUITAR, FingerboardView, fingerboard_of
from theorykit.views.keyboard import KeyboardView

__all__ = [
    "fingerboard_for",
    "keep_reader",
    "kept_player",
    "own_files_in",
    "own_folder",
    "own_player",
    "own_reader",
    "reader_or_own",
]

APPLICATION, FILE = "theorykit", "reader.txt"
LONGEST = 200  # bytes of the file that are looked at
STRINGS = "four strings"  # in a second line, where a bass player reads


_ELSEWHERE: ContextVar[Path | None] = ContextVar("own files elsewhere", default=None)


@contextmanager
def own_files_in(folder: Path) -> Iterator[None]:
    """Let what is done inside read and write own files in another folder: nobody's own are met."""
    before = _ELSEWHERE.set(folder)
    try:
        yield
    finally:
        _ELSEWHERE.reset(before)


def own_folder() -> Path:
    """Return the folder of the reader's own files, in the user's data directory; none is made."""
    import platformdirs

    if (elsewhere := _ELSEWHERE.get()) is not None:
        return elsewhere
    return Path(platformdirs.user_data_dir(APPLICATION, appauthor=False))


def own_reader() -> Reader:
    """Return the reader that was kept, concert pitch if none was, or none that can be read.

    >>> own_reader().name
    'concert'
    """
    try:
        return reader(_lines()[0])
    except (OSError, UnicodeDecodeError, TheoryError, IndexError):
        return READERS[0]


def own_player() -> Reader:
    """Return the reader that was kept, a bass player where it was one.

    >>> own_player().name
    'concert'
    """
    found = own_reader()
    is_bass = found.name == BASSIST.name and _lines()[1:] == [STRINGS]
    return BASSIST if is_bass else found


def kept_player() -> str:
    """Return a name for what was kept as what the reader plays; nothing where nothing was.

    >>> from tempfile import TemporaryDirectory
    >>> with TemporaryDirectory() as folder, own_files_in(Path(folder)):
    ...     kept_player()
    ''
    """
    if not (own_folder() / FILE).exists():
        return ""
    found = own_player()
    return found.names[0] if found == BASSIST else found.name


def _lines() -> list[str]:
    """Return what is kept, line by line."""
    with (own_folder() / FILE).open("rb") as file:
        return [line.strip() for line in file.read(LONGEST).decode("utf-8").splitlines()]


def fingerboard_for(who: Reader, keyboard: KeyboardView) -> FingerboardView | None:
    """Return what a keyboard shows on the fingerboard of a reader who has one, else nothing.

    Who reads for guitar has one, and who reads the bass clef and was kept as a bass player.

    >>> from theorykit.views.explorer_view import explore
    >>> view = fingerboard_for(reader("guitar"), explore("C").keyboard)
    >>> view.tuning.instrument, fingerboard_for(reader("trombone"), explore("C").keyboard)
    ('guitar', None)
    """
    if who.name == "guitar":
        return fingerboard_of(keyboard, GUITAR)
    is_bass = who == BASSIST or (who.name == BASSIST.name and own_player() == BASSIST)
    return fingerboard_of(keyboard, BASS) if is_bass else None


def keep_reader(who: Reader | str) -> Reader:
    """Keep what the reader plays, by any name that ``reader`` takes, and return it."""
    found = reader(who)
    folder = own_folder()
    try:
        make_own_folder(folder)
        kept = f"{found.name}\n" + f"{STRINGS}\n" * has_four_strings(who)
        put_whole(folder / FILE, kept.encode(), replace=True, own=True)
    except OSError as wrong:
        raise TheoryError(f"cannot keep what you play in {folder}: {wrong.strerror}") from None
    return found


def reader_or_own(who: Reader | str | None) -> Reader:
    """Return a reader that is named, or the one that was kept where none is.

    >>> reader_or_own("trumpet").name
    'B flat'
    """
    return own_reader() if who is None else reader(who)
