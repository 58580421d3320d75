"""Commands: each is a row; what one needs is brought in when it is asked for."""

from __future__ import annotations

import argparse
import os
import subprocess
import sys
from collections.abc import Callable, Sequence
from datetime import date
from importlib import import_module
from importlib.util import find_spec
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any, TextIO

from theorykit.errors import TheoryError, needs_workbook
from theorykit.notes.plain_words import words_ascii

FOLDER = "workbook"
LAB = "jupyterlab"
OPENS = "JupyterLab opens in the browser. To stop it, press Ctrl+C twice here."


def say(text: object, to: TextIO | None = None) -> None:
    """Print a line; where the console has no music signs, in plain ASCII.

    >>> say("B♭7")
    B♭7
    """
    stream = sys.stdout if to is None else to
    said = str(text)
    try:
        said.encode(getattr(stream, "encoding", None) or "utf-8")
    except (UnicodeEncodeError, LookupError):
        said = words_ascii(said)
    print(said, file=stream, flush=True)


def main(arguments: Sequence[str] | None = None) -> int:
    """Do what the command line asks and return its exit code.

    >>> main(["pages", "published", "--workbook", "no such folder"])
    1
    """
    given = _parser().parse_args(arguments)
    work: Callable[[argparse.Namespace], int] = given.work
    try:
        return work(given)
    except ModuleNotFoundError as missing:
        say(needs_workbook(missing), sys.stderr)
    except (TheoryError, OSError) as problem:
        say(problem, sys.stderr)
    except KeyboardInterrupt:
        say("Stopped.", sys.stderr)
    return 1


def _parser() -> argparse.ArgumentParser:
    """Return what reads the command line."""
    parser = argparse.ArgumentParser(
        "theorykit", description="Jazz theory for the V chord: a workbook, handouts, pages."
    )
    commands = parser.add_subparsers(required=True, metavar="COMMAND")
    for add in _ADDED:
        add(commands)
    return parser


# === The workbook ===


def _add_workbook(commands: Any) -> None:
    """Add ``workbook``."""
    one = commands.add_parser("workbook", help="copy the chapters into a folder and open them")
    one.add_argument(
        "folder", nargs="?", default=FOLDER, metavar="FOLDER",
        help=f"where they go, by default {FOLDER}; what is there is never written over",
    )  # fmt: skip
    one.add_argument("--copy-only", action="store_true", help="copy and open nothing")
    one.set_defaults(work=_workbook)


def _workbook(given: argparse.Namespace) -> int:
    """Copy the workbook and open its first chapter."""
    copying = import_module("theorykit.command.own_copy")
    folder = Path(given.folder).expanduser()
    if given.copy_only:
        say(copying.copy_workbook(folder).words)
        return 0
    return _opened(folder, copying.FIRST)


def _add_week(commands: Any) -> None:
    """Add ``thursday``."""
    one = commands.add_parser("thursday", help="open the desks of the week, where they were left")
    one.add_argument(
        "folder", nargs="?", metavar="FOLDER",
        help=f"where the chapters are, by default here or in {FOLDER}; they are copied if need be",
    )  # fmt: skip
    one.set_defaults(work=_week)


def _week(given: argparse.Namespace) -> int:
    """Open the page of the week."""
    copying = import_module("theorykit.command.own_copy")
    own = Path() if Path(copying.WEEK).is_file() else Path(FOLDER)
    return _opened(Path(given.folder).expanduser() if given.folder else own, copying.WEEK)


def _opened(folder: Path, name: str) -> int:
    """Copy the workbook into a folder and open one of its pages."""
    copying = import_module("theorykit.command.own_copy")
    say(copying.copy_workbook(folder).words)
    if find_spec(LAB) is None:
        raise ModuleNotFoundError(name=LAB)
    say(OPENS)
    return _waited(lab_command(folder / name))


def _waited(command: list[str]) -> int:
    """Run a program to its end and return its exit code; Ctrl+C is the program's own affair."""
    with subprocess.Popen(command) as program:
        while True:
            try:
                return program.wait()
            except KeyboardInterrupt:
                continue


def lab_command(first: Path) -> list[str]:
    """Return the command that opens a chapter; inside containers one often is root.

    >>> lab_command(Path("workbook/00_start_here.ipynb"))[1:3]
    ['-m', 'jupyterlab']
    """
    is_root = hasattr(os, "geteuid") and os.geteuid() == 0
    return [sys.executable, "-m", LAB, *["--allow-root"] * is_root, str(first)]


# === Pages ===


def _add_pages(commands: Any) -> None:
    """Add ``pages``."""
    one = commands.add_parser("pages", help="write chapters, recipes and reference as web pages")
    one.add_argument("folder", metavar="FOLDER", help="where the pages go; it is made")
    one.add_argument("--workbook", metavar="FOLDER", help="where the chapters are")
    one.set_defaults(work=_pages)


def _pages(given: argparse.Namespace) -> int:
    """Publish the chapters."""
    publish = import_module("theorykit.pages").publish
    for file in publish(given.folder, given.workbook or _chapters()):
        say(file)
    return 0


def _add_site(commands: Any) -> None:
    """Add ``site``."""
    one = commands.add_parser("site", help="build a web site that runs the workbook in the page")
    one.add_argument("folder", metavar="FOLDER", help="where the site goes; it is made")
    one.add_argument("--workbook", metavar="FOLDER", help="where the chapters are")
    one.set_defaults(work=_site)


def _site(given: argparse.Namespace) -> int:
    """Build the site and say what is being done."""
    build_site = import_module("theorykit.site").build_site
    for step in build_site(given.folder, given.workbook or _chapters()):
        say(step)
    say(f"The site is in {given.folder}. Any web server can give it to readers.")
    return 0


def _chapters() -> Path:
    """Return the folder of the chapters: in the current folder, or those that were brought."""
    here = Path(FOLDER)
    found: Path = here if here.is_dir() else import_module("theorykit.command.own_copy").source()
    return found


# === Handouts ===


def _add_handout(commands: Any) -> None:
    """Add ``handout``."""
    one = commands.add_parser("handout", help="make the files of a handout from its text")
    one.add_argument(
        "file", metavar="FILE", help="the text of the handout, such as one_colour.toml"
    )
    one.add_argument("--into", metavar="FOLDER", help="where the files go, by default its name")
    one.add_argument(
        "--for", dest="editions", metavar="READER",
        help='such as "B flat, teacher" or everyone; by default what you play',
    )  # fmt: skip
    one.add_argument(
        "--files", metavar="KINDS", help='such as "pages, sound"; by default all but the zip'
    )
    one.add_argument("--replace", action="store_true", help="write over files that are there")
    one.set_defaults(work=_handout)


def _handout(given: argparse.Namespace) -> int:
    """Make the files of a handout and say where they are."""
    room = import_module("theorykit.handout")
    handout = room.Handout.read(given.file)
    into = Path(given.into) if given.into else Path(Path(given.file).stem)
    kinds = {} if given.files is None else {"files": given.files}
    files = import_module("theorykit.handout.files")
    work = handout.work(into, given.editions, overwrite=given.replace, **kinds)
    made = files.make_files(work, progress=False)
    for file in made:
        say(file)
    say(room.summary_of(made).words)
    for told in filter(None, (files.too_long(handout, made), files.left_out(work.gone))):
        say(told)
    return 0


# === Own work ===


def _add_work(commands: Any) -> None:
    """Add ``work``."""
    one = commands.add_parser(
        "work", help="put all your work into one file, or bring such a file in"
    )
    works = one.add_subparsers(required=True, metavar="WHAT")
    save = works.add_parser("save", help="phrases, answers and desks into one file")
    save.add_argument("file", metavar="FILE", help="such as work.zip; none is written over")
    save.set_defaults(work=_work_save)
    bring = works.add_parser("bring", help="add what a file holds to what is here")
    bring.add_argument("file", metavar="FILE", help="made by save, or by the page")
    bring.set_defaults(work=_work_bring)


def _work_save(given: argparse.Namespace) -> int:
    """Put all work into a file."""
    files = import_module("theorykit.show.files")
    file = files.file_at(given.file, ".zip")
    files.write_file(file, import_module("theorykit.show.work_file").work_bytes())
    say(f"Your work is in {file}.")
    return 0


def _work_bring(given: argparse.Namespace) -> int:
    """Bring a file in."""
    data = import_module("theorykit.show.files").file_at(given.file, ".zip").read_bytes()
    say(import_module("theorykit.show.work_file").bring_work(data))
    return 0


# === A class ===


def _add_class(commands: Any) -> None:
    """Add ``class``."""
    one = commands.add_parser("class", help="give a week's sheet to a class; see what came back")
    works = one.add_subparsers(required=True, metavar="WHAT")
    give = works.add_parser("give", help="put files where all students get them")
    give.add_argument("files", nargs="+", metavar="FILE", help="files, folders, a handout's text")
    give.add_argument("--day", type=_day, default=None, help="such as 2026-12-03")
    give.add_argument("--title", default="", help="by default the name of the first file")
    give.set_defaults(work=_class_give)
    table = works.add_parser("table", help="what was handed in: a row for each student and week")
    table.add_argument("--since", type=_day, metavar="DAY", help="from this week on")
    table.add_argument("--csv", metavar="FILE", help="write the table into a file as CSV")
    table.add_argument("--lines", action="store_true", help="the lines themselves, too")
    table.set_defaults(work=_class_table)
    hand = works.add_parser("hand-in", help="hand in what this student did")
    hand.add_argument("phrases", nargs="*", metavar="PHRASE", help="names in the phrase book")
    hand.add_argument("--name", default="", help="yours, or a sign that your teacher knows")
    hand.set_defaults(work=_class_hand_in)
    for command in (give, table, hand):
        command.add_argument(
            "--class", dest="folder", metavar="FOLDER",
            help="the folder of the class, by default what THEORYKIT_CLASS names",
        )  # fmt: skip


def _day(text: str) -> date:
    """Read a day."""
    try:
        return date.fromisoformat(text)
    except ValueError:
        raise argparse.ArgumentTypeError(
            f"no day: {text!r} (want one such as 2026-12-03)"
        ) from None


def _class_give(given: argparse.Namespace) -> int:
    """Give files; with the text of a handout its questions are given, too."""
    room = import_module("theorykit.command.class_folder").ClassFolder.here(given.folder)
    day = given.day or date.today()
    with TemporaryDirectory() as made:
        place = room.give(
            [*given.files, *_questions(given.files, made)], day=day, title=given.title
        )
    for file in sorted(one for one in place.rglob("*") if one.is_file()):
        say(file)
    return 0


def _questions(files: Sequence[str], made: str) -> list[Path]:
    """Make the questions of the handouts among some files."""
    found: list[Path] = []
    for file in (one for one in files if one.endswith(".toml") and Path(one).is_file()):
        room = import_module("theorykit.handout")
        try:
            handout = room.Handout.read(file)
        except TheoryError as wrong:
            try:
                import_module("theorykit.study.class_file").ClassQuestions.read(file)
            except TheoryError:
                raise wrong from None
            continue  # questions themselves, which are given as they are
        found += room.class_files(handout, made, overwrite=True)
    return found


def _class_table(given: argparse.Namespace) -> int:
    """Show what was handed in."""
    room = import_module("theorykit.command.class_folder").ClassFolder.here(given.folder)
    term = room.term(since=given.since)
    say(term.text if term.rows else "Nothing was handed in.")
    if given.lines:
        for who, line in term.lines:
            say(f"\n{who}: {line.name}\n{line.text}")
    for name, why in term.faults:
        say(f"{name}: {why}", sys.stderr)
    if given.csv:
        import_module("theorykit.show.files").write_file(Path(given.csv), term.csv.encode())
    return 0


def _class_hand_in(given: argparse.Namespace) -> int:
    """Hand in."""
    folder = import_module("theorykit.command.class_folder")
    say(folder.hand_in(*given.phrases, who=given.name, folder=given.folder))
    return 0


# === This machine ===


def _add_check(commands: Any) -> None:
    """Add ``check``."""
    one = commands.add_parser("check", help="try sound, staff and PDF here and say what works")
    one.set_defaults(work=_check)


def _check(given: argparse.Namespace) -> int:
    """Say what works on this machine."""
    checkup = import_module("theorykit.command.checkup")
    say(f"theorykit {_version_text()}, {checkup.machine()}.")
    works = True
    for finding in checkup.findings():
        say(finding.words)
        works = works and finding.works
    say("All of it works here." if works else "Not all of it works here.")
    return 0 if works else 1


def _add_version(commands: Any) -> None:
    """Add ``version``."""
    one = commands.add_parser("version", help="say which version this is")
    one.set_defaults(work=_version)


def _version(given: argparse.Namespace) -> int:
    """Say which version this is."""
    say(f"theorykit {_version_text()}")
    return 0


def _version_text() -> str:
    """Return the version."""
    return str(import_module("theorykit").__version__)


_ADDED = (
    *(_add_workbook, _add_week, _add_pages, _add_site, _add_handout, _add_work, _add_class),
    *(_add_check, _add_version),
)
