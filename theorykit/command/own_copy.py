"""Own copy of the workbook: chapters, tunes and handouts in a folder of the reader's."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from filecmp import cmp
from pathlib import Path

from theorykit.errors import TheoryError, shown
from theorykit.show.files import write_file

PATTERNS = ("*.ipynb", "tunes/*.txt", "handouts/*.toml")
FIRST, WEEK = "00_start_here.ipynb", "thursday.ipynb"


@dataclass(frozen=True, slots=True)
class Copied:
    """What was done: files that are new, and files of the reader's own that were left alone."""

    folder: Path
    new: tuple[Path, ...]
    kept: tuple[Path, ...]

    @property
    def words(self) -> str:
        """The whole in sentences.

        >>> print(Copied(Path("workbook"), (), (Path("workbook/00_start_here.ipynb"),)).words)
        The workbook in workbook: nothing had to be copied.
        Left as it was, because it differs from what theorykit brings: 00_start_here.ipynb.
        """
        count = len(self.new)
        done = f"{count} file{'s' * (count != 1)} copied" if count else "nothing had to be copied"
        told = [f"The workbook in {self.folder}: {done}."]
        if self.kept:
            names = ", ".join(file.relative_to(self.folder).as_posix() for file in self.kept)
            they = (
                "it was, because it differs"
                if len(self.kept) == 1
                else "they were, because they differ"
            )
            told.append(f"Left as {they} from what theorykit brings: {names}.")
        return "\n".join(told)


def source() -> Path:
    """Return the folder of the workbook: inside the package, or beside it in the repository.

    >>> (source() / FIRST).is_file()
    True
    """
    package = Path(__file__).resolve().parents[1]
    for folder in (package / "workbook", package.parent / "workbook"):
        if (folder / FIRST).is_file():
            return folder
    raise TheoryError("the workbook is not here (want theorykit from its wheel or its repository)")


def copy_workbook(folder: Path) -> Copied:
    """Copy the workbook into a folder, which is made; nothing that is there is written over.

    >>> from tempfile import TemporaryDirectory
    >>> with TemporaryDirectory() as place:
    ...     first, again = (copy_workbook(Path(place, "jazz")) for _ in range(2))
    >>> len(first.new) > 15, again.new, again.kept
    (True, (), ())
    """
    if folder.exists() and not folder.is_dir():
        raise TheoryError(f"{shown(str(folder))} is a file (want a folder)")
    origin, new, kept = source(), [], []
    for file in _files(origin):
        place = folder / file.relative_to(origin)
        if place.exists():
            if not cmp(file, place, shallow=False):
                kept.append(place)
        else:
            _put(file, place)
            new.append(place)
    return Copied(folder, tuple(new), tuple(kept))


def _files(origin: Path) -> Iterator[Path]:
    """Yield the files that are brought."""
    for pattern in PATTERNS:
        yield from sorted(origin.glob(pattern))


def _put(file: Path, place: Path) -> None:
    """Write one file, whole or not at all."""
    try:
        place.parent.mkdir(parents=True, exist_ok=True)
    except OSError as wrong:
        raise TheoryError(f"cannot make {shown(str(place.parent))}: {wrong.strerror}") from None
    write_file(place, file.read_bytes())
