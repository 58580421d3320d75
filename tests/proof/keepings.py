"""Everything that is kept on a disk: how it is written, and how one sees what is there.

A keeping writes things with numbers from 0. What was kept before a process died must be there
afterwards; what was being written may be there or not, but whole.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from theorykit import Journal, PhraseBook
from theorykit.errors import TheoryError
from theorykit.handout.blocks import TextBlock
from theorykit.handout.blocks.colour_block import ColourBlock
from theorykit.handout.handout import Handout
from theorykit.lines.demonstration import demonstration
from theorykit.notes.reader import READERS
from theorykit.show.files import file_at, write_file
from theorykit.show.files.line_files import save_line
from theorykit.show.own_reader import keep_reader, own_folder, own_reader
from theorykit.study.drafts import Drafts

__all__ = ["KEEPINGS", "Keeping"]

LINE = demonstration("Db", "short")
BULK = "Ab Cb Eb Gb " * 4000  # long enough that a write has a middle


@dataclass(frozen=True)
class Keeping:
    """A way to keep things: ``write`` keeps the thing with a number into a folder.

    ``faults`` says what is wrong with what a folder holds after some numbers were kept for sure;
    ``stores`` are the classes of the library that it stands for. With ``adds`` every thing that is
    kept stays beside the others; without, a later one takes the place of an earlier one.
    """

    name: str
    write: Callable[[Path, str, int], object]
    faults: Callable[[Path, dict[str, int]], list[str]]
    adds: bool = True
    share: int = 10
    stores: tuple[str, ...] = ()


def missing(found: Iterable[str], kept: dict[str, int]) -> list[str]:
    """Return what was kept and is not found."""
    names = set(found)
    wanted = [f"{who} {number}" for who, last in kept.items() for number in range(last + 1)]
    return [f"lost: {one}" for one in wanted if one not in names]


# === Books ===


@cache
def _book(path: Path) -> PhraseBook:
    return PhraseBook(path)


def keep_phrase(folder: Path, who: str, number: int) -> None:
    """Keep a phrase."""
    _book(folder / "book.sqlite").keep(f"{who} {number}", LINE, notes=BULK[:9000], tags=["a", "b"])


def phrases(folder: Path, kept: dict[str, int]) -> list[str]:
    """Look into the book."""
    found = PhraseBook(folder / "book.sqlite").find()
    broken = [f"not whole: {one.name}" for one in found if one.line != LINE or len(one.tags) != 2]
    return broken + missing([one.name for one in found], kept)


@cache
def _journal(path: Path) -> Journal:
    return Journal(path)


def keep_note(folder: Path, who: str, number: int) -> None:
    """Keep a note and some practice."""
    _journal(folder / "journal.sqlite").noted(BULK[:9000], about=f"{who} {number}")


def notes(folder: Path, kept: dict[str, int]) -> list[str]:
    """Look into the journal."""
    found = Journal(folder / "journal.sqlite").notes
    broken = [f"not whole: {one.about}" for one in found if one.words != BULK[:9000]]
    return broken + missing([one.about for one in found], kept)


# === Drafts ===


def keep_draft(folder: Path, who: str, number: int) -> None:
    """Keep one state of a work; every writer has a work of its own."""
    works, key = _works(folder), (folder, who)
    title, data = f"{who} {number}", {"text": f"{who} {number}", "bulk": BULK}
    seen = OPENED.get(key)
    if seen is None:
        OPENED[key] = works.begin("proof", title, data)
    else:
        OPENED[key] = works.save(seen, title, data, fresh=True)


OPENED: dict[tuple[Path, str], object] = {}


@cache
def _works(folder: Path):
    return Drafts(folder / "drafts.sqlite")


def drafts(folder: Path, kept: dict[str, int]) -> list[str]:
    """Look into the drafts: every work has its last state, and those before it."""
    book = Drafts(folder / "drafts.sqlite")
    states = [s.data for work in book.works("proof") for s in book.states(work.number)]
    broken = [f"not whole: {one['text']}" for one in states if one.get("bulk") != BULK]
    return broken + missing([one["text"] for one in states], kept)


# === Files that give way to newer ones ===


def said(who: str, number: int) -> bytes:
    """Return what a file says: its number at both ends."""
    return f"{who} {number}\n{BULK}\n{who} {number}\n".encode()


def told(data: bytes) -> tuple[str, int] | None:
    """Return the writer and the number of a file, None for part of one."""
    lines = data.decode("utf-8", "replace").split("\n")
    who, _, number = lines[0].rpartition(" ")
    if not number.isdecimal() or data != said(who, int(number)):
        return None
    return who, int(number)


def last_of(*parts: str) -> Callable[[Path, dict[str, int]], list[str]]:
    """Return what looks at a file that is replaced: it is whole, and not too old."""

    def faults(folder: Path, kept: dict[str, int]) -> list[str]:
        file = folder.joinpath(*parts)
        if not file.exists():
            return [f"lost: {file.name}"] if kept else []
        found = told(file.read_bytes())
        if found is None:
            return [f"not whole: {file.name}"]
        who, number = found
        alone = set(kept) <= {who}
        return [f"lost: {who} {kept[who]}"] if alone and number < kept.get(who, 0) else []

    return faults


def export(folder: Path, who: str, number: int) -> None:
    """Export over the file of before."""
    write_file(file_at(str(folder / "turn"), ".txt"), said(who, number), replace=True)


def new_exports(folder: Path, who: str, number: int) -> None:
    """Export to a name that nobody has."""
    write_file(folder / f"{who} {number}.txt", said(who, number))


def all_exports(folder: Path, kept: dict[str, int]) -> list[str]:
    """Look at all exports."""
    files = [file for file in folder.glob("*.txt") if not file.name.startswith(".")]
    broken = [f"not whole: {f.name}" for f in files if told(f.read_bytes()) is None]
    return broken + missing([file.stem for file in files], kept)


def export_line(folder: Path, who: str, number: int) -> None:
    """Save a line as music, over the file of before."""
    save_line(LINE, folder / "line.mxl", replace=True)


def line_file(folder: Path, kept: dict[str, int]) -> list[str]:
    """Look at the line."""
    file = folder / "line.mxl"
    if not file.exists():
        return ["lost: line.mxl"] if kept else []
    return [] if file.read_bytes() == _whole_line() else ["not whole: line.mxl"]


@cache
def _whole_line() -> bytes:
    from theorykit.show.files import line_bytes

    return line_bytes(LINE, ".mxl")


def what_is_played(folder: Path, who: str, number: int) -> None:
    """Keep what the reader plays, in the reader's own folder."""
    keep_reader(READERS[number % len(READERS)])


def a_reader(folder: Path, kept: dict[str, int]) -> list[str]:
    """Look at what the reader plays: the file is whole, or there is none."""
    file = own_folder() / "reader.txt"
    if not file.exists():
        return ["lost: reader.txt"] if kept else []
    text = file.read_text(encoding="utf-8").strip()
    return [] if text == own_reader().name else [f"not whole: reader.txt says {text!r}"]


# === Handouts ===

PAGE = Handout(
    "For Thursday",
    blocks=(TextBlock(text="Bring mutes."), ColourBlock(colour="b9", key="Db", form="short")),
)
MADE = ("MIDI", "text")


def hand_out(folder: Path, who: str, number: int) -> None:
    """Make a handout over the one of before."""
    PAGE.make(folder / "made", "B flat", files=MADE, overwrite=True, progress=False, processes=1)


@cache
def _whole_handout() -> dict[str, bytes]:
    """Return the files of the handout as they must be."""
    from tempfile import TemporaryDirectory

    with TemporaryDirectory() as name:
        hand_out(Path(name), "x", 0)
        return {f.name: f.read_bytes() for f in (Path(name) / "made").rglob("*") if f.is_file()}


def handout(folder: Path, kept: dict[str, int]) -> list[str]:
    """Look at the files of the handout: each is whole, and all are there if it was made."""
    whole = _whole_handout()
    files = {f.name: f for f in (folder / "made").rglob("*") if f.is_file() and f.name[0] != "."}
    found = {name: file.read_bytes() for name, file in files.items()}
    broken = [f"not whole: {name}" for name in found if found[name] != whole.get(name)]
    gone = [f"lost: {name}" for name in whole if name not in found] if kept else []
    return broken + gone


KEEPINGS: tuple[Keeping, ...] = (
    Keeping("phrase book", keep_phrase, phrases, stores=("PhraseStore",)),
    Keeping("journal", keep_note, notes, stores=("JournalStore",)),
    Keeping("drafts", keep_draft, drafts, stores=("Drafts",)),
    Keeping("export again", export, last_of("turn.txt"), adds=False),
    Keeping("new exports", new_exports, all_exports),
    Keeping("line as music", export_line, line_file, adds=False, share=5),
    Keeping("what is played", what_is_played, a_reader, adds=False, share=5),
    Keeping("handout", hand_out, handout, adds=False, share=5),
)


def all_told(act: Callable[[], object]) -> str:
    """Do something; return the refusal in words, or nothing."""
    try:
        act()
    except TheoryError as error:
        return str(error)
    return ""
