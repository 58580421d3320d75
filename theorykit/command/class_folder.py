"""Class folder: what a teacher gives to all, and what each student hands in, as plain files.

``given/`` holds a folder for each sheet and is read by all. ``handed/`` holds a folder for each
student. On a class server only that student and the teachers enter it; without one the folder is
any that a class shares, such as one that a service keeps alike on all machines.
"""

from __future__ import annotations

import getpass
import os
import re
import secrets
import stat
from collections.abc import Iterable, Iterator
from contextlib import suppress
from datetime import UTC, date, datetime
from pathlib import Path

from theorykit.errors import TheoryError, shown
from theorykit.show.exports import file_stem
from theorykit.show.files import make_own_folder, put_whole
from theorykit.show.own_reader import own_folder
from theorykit.study.handed_in import ClassTerm, HandedIn, HandedLine, monday_of
from theorykit.study.journal import Journal
from theorykit.study.phrasebook import PhraseBook

VARIABLE = "THEORYKIT_CLASS"  # names the folder of the class; a class server sets it
GIVEN, HANDED, SUMMARY = "given", "handed", "summary.json"
MARK = "machine_mark"  # in the reader's own folder
JOURNAL, PHRASES = "journal.sqlite", "phrases.sqlite"  # in the reader's own folder
READABLE, FOR_TEACHERS = 0o644, 0o640  # modes of what is given, and of what is handed in
MOST_READ = 400_000  # bytes of one file that are looked at
_NAME = re.compile(r"\w[\w.-]{0,60}")
PLAIN = getattr(os, "O_NOFOLLOW", 0) | getattr(os, "O_NONBLOCK", 0)  # Windows has neither
MOST_STUDENTS = 2000


class ClassFolder:
    """The folder of a class.

    >>> from tempfile import TemporaryDirectory
    >>> with TemporaryDirectory() as folder:
    ...     sheet = Path(folder, "one_colour.toml")
    ...     _ = sheet.write_text("title = 'One colour'")
    ...     room = ClassFolder(folder)
    ...     given = room.give([sheet], day=date(2026, 12, 3))
    ...     taken = room.take_given(Path(folder, "mine"))
    ...     given.name, [one.name for one in taken], room.take_given(Path(folder, "mine"))
    ('2026-12-03_one_colour', ['one_colour.toml'], [])
    """

    def __init__(self, folder: str | os.PathLike[str]) -> None:
        self.folder = Path(folder).expanduser()

    @classmethod
    def here(cls, folder: str | os.PathLike[str] | None = None) -> ClassFolder:
        """Return the folder that is named, or that of the class server."""
        named = folder or os.environ.get(VARIABLE, "")
        if not named:
            raise TheoryError(f"no folder of a class (want one, or the variable {VARIABLE})")
        found = cls(named)
        if not found.folder.is_dir():
            raise TheoryError(f"no such folder: {shown(str(found.folder))} (want one there is)")
        return found

    def give(self, sources: Iterable[str | Path], *, day: date, title: str = "") -> Path:
        """Put files, and what folders hold, into one folder that everybody reads; return it.

        What was given before under the same day and title is replaced, file by file.
        """
        paths = [Path(one).expanduser() for one in sources if str(one)]
        missing = next((one for one in paths if not one.exists()), None)
        if missing or not paths:
            raise TheoryError(
                f"nothing to give: {shown(str(missing or ''))} (want files there are)"
            )
        self._check_apart(paths)
        found = [pair for source in paths for pair in _files(source)]
        inside = [str(one) for _, one in found]
        if twice := next((one for one in inside if inside.count(one) > 1), ""):
            raise TheoryError(f"two files are called {shown(twice)} (want different names)")
        name = f"{day.isoformat()}_{file_stem(title or paths[0].stem)}"
        place = self.folder / GIVEN / name
        for file, under in found:
            _copy(file, place / under)
        _open_to_all(place)
        return place

    def _check_apart(self, paths: Iterable[Path]) -> None:
        """Refuse to give what holds the class itself, or what was handed in."""
        room = self.folder.resolve()
        for source in (path.resolve() for path in paths):
            if source in (room, *room.parents) or room / HANDED in (source, *source.parents):
                raise TheoryError(
                    f"that holds what was handed in: {shown(str(source))} "
                    "(want the files of the sheet)"
                )

    def given(self) -> list[Path]:
        """Return the folders that were given, the oldest first."""
        return sorted(one for one in (self.folder / GIVEN).glob("*") if one.is_dir())

    def take_given(self, into: Path) -> list[Path]:
        """Copy what was given and is not there yet; return the new files. None is written over."""
        new = []
        for sheet in self.given():
            for file, inside in _files(sheet):
                place = into / sheet.name / inside
                if not place.exists():
                    place.parent.mkdir(parents=True, exist_ok=True)
                    put_whole(place, file.read_bytes(), replace=False, own=True)
                    new.append(place)
        return new

    def place_of(self, who: str) -> Path:
        """Return the folder of a student: the name itself where a folder can have it.

        >>> ClassFolder("class").place_of("ida-2").name, ClassFolder("class").place_of("../bo").name
        ('ida-2', 'bo')
        """
        name = who if _NAME.fullmatch(who) else file_stem(who)
        return self.folder / HANDED / name

    @staticmethod
    def _check_owner(file: Path, done: HandedIn) -> None:
        """Refuse to write over what somebody of another name has handed in."""
        try:
            before = HandedIn.parse(_small_text(file) or "").who
        except TheoryError:
            return  # nothing is there, or nothing of ours
        if before != done.who:
            why = f"{file.parent.name} is the folder of {shown(before)}"
            raise TheoryError(f"{why} (want another name)")

    def hand_in(self, done: HandedIn, who: str) -> Path:
        """Write what a student hands in, for that student and the teachers; return the file."""
        place = self.place_of(who)
        try:
            place.mkdir(parents=True, exist_ok=True)
            file = place / SUMMARY
            self._check_owner(file, done)
            put_whole(file, done.text.encode(), replace=True, own=True)
            file.chmod(FOR_TEACHERS)
        except OSError as wrong:
            raise TheoryError(f"cannot hand in at {place}: {wrong.strerror}") from None
        return file

    def term(self, *, since: date | None = None) -> ClassTerm:
        """Return the table of all that was handed in."""
        found = {}
        handed = self.folder / HANDED
        if handed.is_dir() and not os.access(handed, os.R_OK):
            raise TheoryError(f"cannot read {handed} (want to be root, or one of the teachers)")
        for place in sorted(handed.glob("*"))[:MOST_STUDENTS]:
            text = _small_text(place / SUMMARY)
            if text is not None:
                found[place.name] = text
        return ClassTerm.of(found, since=since)


def hand_in(*phrases: str, who: str = "", folder: str | os.PathLike[str] | None = None) -> str:
    """Hand in what was done this term, with phrases of one's own by their names; say where it is.

    On a class server it needs no argument. Elsewhere ``folder`` is the one that the class shares,
    and ``who`` a name or a sign that the teacher knows. Without one it is the name with which the
    machine knows its user; as two may have the same, the folder has a mark of the machine besides.

    >>> hand_in(folder="no such folder")
    Traceback (most recent call last):
    theorykit.errors.TheoryError: no such folder: 'no such folder' (want one there is)
    """
    room = ClassFolder.here(folder)
    known = who or os.environ.get("JUPYTERHUB_USER", "")
    name = known or getpass.getuser()
    make_own_folder(own_folder())
    journal = Journal(own_folder() / JOURNAL)
    done = HandedIn.of(name, journal, datetime.now(UTC), _lines(phrases))
    room.hand_in(done, known or f"{name}-{_own_mark()}")
    week = monday_of(done.at)
    asked = sum(one.asked for one in done.weeks if one.monday == week)
    right = sum(one.right for one in done.weeks if one.monday == week)
    return (
        f"Handed in for {name}: {asked} questions this week, {right} right, "
        f"{len(done.lines)} line{'s' * (len(done.lines) != 1)}."
    )


def _own_mark() -> str:
    """Return a few letters that tell this reader's machine from others, the same each time."""
    file = own_folder() / MARK
    with suppress(FileExistsError):
        put_whole(file, f"{secrets.token_hex(3)}\n".encode(), replace=False, own=True)
    mark = (_small_text(file) or "").strip()
    if not re.fullmatch("[0-9a-f]{6}", mark):
        raise TheoryError(f"no mark of this machine in {file} (want it removed, or a name)")
    return mark


def _lines(names: Iterable[str]) -> Iterator[HandedLine]:
    """Yield phrases of the reader's own book."""
    wanted = list(names)
    if wanted:
        book = PhraseBook(own_folder() / PHRASES)
        for name in wanted:
            phrase = book.phrase(name)
            saved = datetime.fromisoformat(phrase.saved) if phrase.saved else datetime.now(UTC)
            yield HandedLine(phrase.name, phrase.line.text, monday_of(saved))


def _files(source: Path) -> Iterator[tuple[Path, Path]]:
    """Yield the files of a place with their paths inside it; links and hidden files stay out."""
    if source.is_file():
        yield source, Path(source.name)
        return
    for file in sorted(source.rglob("*")):
        inside = file.relative_to(source)
        if file.is_symlink() or any(part.startswith(".") for part in inside.parts):
            continue
        if file.is_file():
            yield file, inside


def _copy(file: Path, place: Path) -> None:
    """Put a file where everybody reads it."""
    try:
        place.parent.mkdir(parents=True, exist_ok=True)
        put_whole(place, file.read_bytes(), replace=True)
        place.chmod(READABLE)
    except OSError as wrong:
        raise TheoryError(f"cannot give {shown(file.name)}: {wrong.strerror}") from None


def _open_to_all(place: Path) -> None:
    """Let everybody enter and list a folder that was given, those inside it, and the one around."""
    for folder in (place.parent, place, *(one for one in place.rglob("*") if one.is_dir())):
        with suppress(OSError):
            folder.chmod(folder.stat().st_mode | 0o055)


def _small_text(path: Path) -> str | None:
    """Return the text of a plain file, whoever put it there: no link is followed, no pipe waits."""
    try:
        opened = os.open(path, os.O_RDONLY | PLAIN)
    except (FileNotFoundError, NotADirectoryError):
        return None
    except OSError:
        return ""
    if not stat.S_ISREG(os.fstat(opened).st_mode):
        os.close(opened)
        return ""
    with os.fdopen(opened, "rb") as file:
        return file.read(MOST_READ).decode("utf-8-sig", errors="replace")
