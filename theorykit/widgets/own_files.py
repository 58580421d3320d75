"""Files that desks have made here: which of them are still as they were made.

A file that was made here, and that nobody has changed since, is made anew without a question. What
lies there of others is never replaced unless the reader says so.
"""

from __future__ import annotations

from contextlib import suppress
from hashlib import sha256
from pathlib import Path

from theorykit.errors import TheoryError
from theorykit.show.files import write_file
from theorykit.study.drafts import Drafts
from theorykit.widgets.controls import in_notebook
from theorykit.widgets.reader_files import own_drafts

__all__ = ["ITS_OWN", "OwnFiles"]

ITS_OWN = "a file of others; what was made here, and not changed since, is made anew in any case"

DIGITS = 32  # of the sum of a file that are kept


class OwnFiles:
    """The sums of the files that were made here, folder by folder, among the reader's drafts.

    ``path`` is the file of drafts, by default the reader's own; without a page it is none.

    >>> from tempfile import TemporaryDirectory
    >>> own = OwnFiles()
    >>> with TemporaryDirectory() as home:
    ...     file = Path(home, "turn.mid")
    ...     own.write(file, b"first", "Wet Gloves")
    ...     own.write(file, b"second", "Wet Gloves")
    ...     own.in_folder(Path(home), "Wet Gloves"), own.in_folder(Path(home), "Two Stops")
    (frozenset({'turn.mid'}), frozenset())
    """

    def __init__(self, path: Path | None = None) -> None:
        self._drafts = _drafts(path)

    def in_folder(self, folder: Path, of: str = "") -> frozenset[str]:
        """Return the names of the files of a folder that are as they were made here, of a work."""
        kept = self._kept(folder)
        return frozenset(name for name, told in kept.items() if told == _sum_at(folder / name, of))

    def made_in(self, folder: Path) -> tuple[Path, ...]:
        """Return the files of a folder that were made here and are there, changed since or not."""
        return tuple(file for name in self._kept(folder) if (file := folder / name).is_file())

    def note(self, folder: Path, made: list[Path], of: str = "") -> None:
        """Note down the files that were made in a folder, and of which work they are."""
        now = {file.relative_to(folder).as_posix(): _sum_at(file, of) for file in made}
        with suppress(TheoryError):  # a disk that is full: the next time there is a question
            self._drafts.leave(_place(folder), None, self._kept(folder) | now)

    def clear(self, folder: Path, made: list[Path], kinds: set[str]) -> int:
        """Return how many files of ``kinds``, endings, were removed: made here before, not now.

        Those that somebody has changed since stay.
        """
        now = {file.relative_to(folder).as_posix() for file in made}
        old = [name for name in self.in_folder(folder) - now if Path(name).suffix in kinds]
        gone = 0
        for name in old:
            with suppress(OSError):
                (folder / name).unlink()
                gone += 1
        return gone

    def write(self, file: Path, data: bytes, of: str, *, replace: bool = False) -> None:
        """Write a file of a work; one that is there is replaced if it was made of the same work.

        A file of another one may still be wanted, and is replaced on request alone.
        """
        place = file.absolute()
        is_own = place.name in self.in_folder(place.parent, of)
        write_file(file, data, replace=replace or is_own)
        self.note(place.parent, [place], of)

    def _kept(self, folder: Path) -> dict[str, object]:
        """Return the sums that were noted down for a folder."""
        with suppress(TheoryError):
            return dict(self._drafts.left(_place(folder))[1])
        return {}


def _drafts(path: Path | None) -> Drafts:
    """Return the drafts at a path; without a page, or where they cannot be used, ones in memory."""
    if path is not None or in_notebook():
        with suppress(TheoryError):
            return own_drafts(path)
    return Drafts()


def _place(folder: Path) -> str:
    """Return where the files of a folder are noted down."""
    return f"files made in {folder.absolute()}"


def _sum_at(file: Path, of: str) -> str:
    """Return a sum that tells the contents of files apart, and their works; nothing for none."""
    try:
        data = file.read_bytes()
    except OSError:
        return "no file"
    return sha256(of.encode() + b"\0" + data).hexdigest()[:DIGITS]
