"""Commands: each is a row; what one needs is brought in when it is asked for."""

from __future__ import annotations

import argparse
import os
import subprocess
import sys
from collections.abc import Callable, Sequence
from importlib import import_module
from importlib.util import find_spec
from pathlib import Path
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
    adding = (_add_workbook, _add_week, _add_pages, _add_site, _add_handout, _add_check)
    for add in (*adding, _add_version):
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
    made = handout.make(into, given.editions, overwrite=given.replace, progress=False, **kinds)
    for file in made:
        say(file)
    say(room.summary_of(made).words)
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
