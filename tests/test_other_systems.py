"""What Windows and macOS ask for, as far as it can be tried on any system.

Which names are kept for devices and which signs no name may have, where a locked file is refused,
how lines end, that Notepad writes a byte order mark and that Python there reads and writes
cp1252: common practice. Nothing here was run on those systems; ``DEVELOPERS.md`` lists what is not
tried.
"""

import ast
import os
import re
import subprocess
import sys
from pathlib import Path

import pytest
from house import PACKAGE, ROOT
from together import together

from theorykit import Chart, Line, PhraseBook, TheoryError, Treatment, cadences, save, two_five_one
from theorykit.handout import Handout
from theorykit.handout.file_names import file_name
from theorykit.show.files.line_files import export_phrases
from theorykit.show.files.saving import write_file
from theorykit.show.work_folder import KINDS
from theorykit.study.class_file import ClassQuestions, ClassTable
from theorykit.study.works import free_name

OURS = [*PACKAGE.rglob("*.py"), ROOT / "workbook" / "start.py"]
EARLIER = ROOT / "tests" / "earlier"

# === Encodings ===

BOTH_WAYS = {"read_text", "write_text"}


def texts_without_encoding(file: Path) -> list[str]:
    """The calls of a file that would read or write text in the encoding of the system."""
    tree = ast.parse(file.read_text(encoding="utf-8"))
    return [
        f"{file.name}:{call.lineno}"
        for call in ast.walk(tree)
        if isinstance(call, ast.Call) and wants_encoding(call) and not says_encoding(call)
    ]


def wants_encoding(call: ast.Call) -> bool:
    """Tell whether a call opens text."""
    if isinstance(call.func, ast.Attribute):
        return call.func.attr in BOTH_WAYS
    modes = [a.value for a in call.args[1:] if isinstance(a, ast.Constant)]
    return isinstance(call.func, ast.Name) and call.func.id == "open" and "b" not in "".join(modes)


def says_encoding(call: ast.Call) -> bool:
    """Tell whether a call names its encoding."""
    named = any(keyword.arg == "encoding" for keyword in call.keywords)
    return named or any(isinstance(a, ast.Constant) and a.value == "utf-8" for a in call.args)


def test_no_text_is_read_or_written_in_the_encoding_of_the_system():
    assert [found for file in OURS for found in texts_without_encoding(file)] == []


def test_such_a_call_would_be_found(tmp_path):
    (tmp_path / "a.py").write_text("Path(x).read_text()\nopen(x)\nopen(x, 'rb')", encoding="utf-8")
    assert texts_without_encoding(tmp_path / "a.py") == ["a.py:1", "a.py:2"]


ELSEWHERE = """
import locale, sys
assert locale.getpreferredencoding(False).lower().replace("-", "") not in ("utf8", "utf_8")
from theorykit import Chart, cadences, save
from theorykit.handout import Handout
head = "title: B\\u266d, \\u201cthe \\u00d8\\u201d\\nkey: Db\\n"
chart = Chart.parse(head + "| Ebm7 | Ab7 | Dbmaj7 | % |")
save(chart, "tune.txt")
save(cadences(chart), "rows.csv")
save("Db7", "chord.toml")
save("Db7", "chord.svg")
save(chart, "tune.musicxml")
sheet = Handout.parse('title = "B\\u266d7 on Thursday"\\n')
sheet.make(".", "trumpet", files=["text"], progress=False)
"""


def test_files_are_utf_8_where_the_system_has_another_encoding(tmp_path):
    """A locale whose encoding is not UTF-8, as on an older Windows."""
    settings = {**os.environ, "PYTHONPATH": str(ROOT), "LC_ALL": "C", "PYTHONUTF8": "0"}
    settings |= {"PYTHONCOERCECLOCALE": "0"}
    run = subprocess.run(
        [sys.executable, "-c", ELSEWHERE],
        cwd=tmp_path,
        env=settings,
        capture_output=True,
        text=True,
    )
    assert run.returncode == 0, run.stderr
    text = (tmp_path / "tune.txt").read_text(encoding="utf-8")
    assert Chart.parse(text).title == "B♭, “the Ø”"
    assert "♭" in (tmp_path / "chord.svg").read_text(encoding="utf-8")
    assert "“the Ø”" in (tmp_path / "tune.musicxml").read_text(encoding="utf-8")
    assert (tmp_path / "rows.csv").read_text(encoding="utf-8")


# === Line ends and byte order marks ===

LINE_ENDS = {"as written": "\n", "Windows": "\r\n", "an old Mac": "\r"}
MARKS = {"no mark": "", "a byte order mark": "\ufeff"}
CHART_TEXT = "title: Thursday\nkey: Db\n\n[A]\n| Ebm7 | Ab7 |\n| Dbmaj7 | % |\n"
each_end = pytest.mark.parametrize("end", LINE_ENDS.values(), ids=LINE_ENDS)
each_mark = pytest.mark.parametrize("mark", MARKS.values(), ids=MARKS)


def typed(text: str, end: str, mark: str) -> str:
    """A text as another system's editor saves it."""
    return mark + text.replace("\n", end)


@each_end
@each_mark
def test_texts_of_other_editors_are_read(end, mark):
    assert Chart.parse(typed(CHART_TEXT, end, mark)) == Chart.parse(CHART_TEXT)
    over = two_five_one("Db", "short")
    line = "8th Eb4 Gb4 Bb4 Db5 quarter C5 8th Bbb4 F4\n| whole F4"
    assert Line.parse(typed(line, end, mark), over) == Line.parse(line, over)
    chart = Chart.parse(CHART_TEXT)
    plan = str(Treatment.proposed(chart))
    assert Treatment.parse(typed(plan, end, mark)) == Treatment.parse(plan)
    for kind in KINDS.values():
        assert kind.read(typed(CHART_TEXT, end, mark)) == kind.read(CHART_TEXT)


@pytest.mark.parametrize("end", ["\n", "\r\n"], ids=["as written", "Windows"])
@each_mark
def test_files_of_other_editors_are_read(end, mark, tmp_path):
    """TOML 1.0 (toml.io) knows these two line ends and no other."""
    folders = EARLIER / "2026-11-25", EARLIER / "2026-11-29_works"
    for folder in folders:
        for name in (
            "one_colour.toml",
            "six_colours.toml",
            "week.toml",
            "ida.json",
            "phrases.json",
        ):
            if (folder / name).is_file():
                text = (folder / name).read_text(encoding="utf-8")
                (tmp_path / name).write_bytes(typed(text, end, mark).encode("utf-8"))
    for name in ("one_colour.toml", "six_colours.toml"):
        assert Handout.read(tmp_path / name) == Handout.read(folders[0] / name)
    week = ClassQuestions.read(tmp_path / "week.toml")
    assert week == ClassQuestions.read(folders[1] / "week.toml")
    assert ClassTable.read(tmp_path / "week.toml", [tmp_path / "ida.json"]).faults == ()
    book = PhraseBook(tmp_path / "new.sqlite")
    assert len(book.import_json((tmp_path / "phrases.json").read_bytes().decode("utf-8"))) == 3


def test_written_files_have_the_same_bytes_everywhere(tmp_path, monkeypatch):
    """Where lines end otherwise (``os.linesep``), a file is still the same."""
    monkeypatch.setattr(os, "linesep", "\r\n")
    for name in ("tune.txt", "tune.musicxml", "tune.toml"):
        assert b"\r" not in save(Chart.parse(CHART_TEXT), tmp_path / name).read_bytes()
    for name in ("chord.svg", "chord.toml"):
        assert b"\r" not in save("Db7", tmp_path / name).read_bytes()
    rows = save(cadences(CHART_TEXT), tmp_path / "rows.csv").read_bytes()
    assert rows.count(b"\r\n") == rows.count(b"\n") == 2  # as RFC 4180 has it, once


# === Names ===

FORBIDDEN = re.compile(r'[<>:"/\\|?*\x00-\x1f]|[ .]$')
DEVICE = re.compile(r"(?:con|prn|aux|nul|com[1-9]|lpt[1-9])\s*(?:\.|$)", re.IGNORECASE)
TITLES = (
    "CON", "con", "PRN", "aux.txt", "NUL", "nul .x", "COM1", "lpt9", "LPT1.toml", "a. ", "a...",
    'G7: "why?"', "a/b\\c", "C|D", "a\tb\nc", "<3", "*", "..", "~", "B♭7♯9", "x" * 400, "é" * 200,
)  # fmt: skip


def is_refused(name: str) -> bool:
    """Tell whether a disk of Windows or macOS refuses the name of a file."""
    long = len(name.encode("utf-8")) > 255
    return bool(FORBIDDEN.search(name) or DEVICE.match(name)) or long or name in ("", ".", "..")


@together("title", TITLES, ids=ascii)
def test_no_title_makes_a_name_that_another_system_refuses(title):
    assert not is_refused(f"{file_name(title)}.pdf")
    assert not is_refused(free_name(title, ".txt", set()))


def test_phrases_are_exported_under_names_that_every_system_takes(tmp_path):
    book = PhraseBook(tmp_path / "book.sqlite")
    line = Line.parse("whole Ab4 | whole F4", two_five_one("Db", "short"))
    names = [
        title
        for title in TITLES
        if title.isprintable() and title == title.strip() and len(title) < 80
    ]
    for name in names:
        book.keep(name, line)
    files = export_phrases(book, tmp_path, kind=".mid")
    assert len({file.name.casefold() for file in files}) == len(names) == len(files)
    assert [file.name for file in files if is_refused(file.name)] == []


def test_the_repository_can_be_checked_out_everywhere():
    """No name that is refused, none that differs from another in capitals only, none too long."""
    files = [
        file.relative_to(ROOT)
        for top in ("theorykit", "workbook", "tests", "images")
        for file in (ROOT / top).rglob("*")
        if "__pycache__" not in file.parts
    ]
    assert len(files) > 500
    assert [str(file) for file in files if any(map(is_refused, file.parts))] == []
    assert len({str(file).casefold() for file in files}) == len(files)
    assert max(len(str(file)) for file in files) < 140  # of the 260 that Windows takes


def test_a_refused_name_would_be_found():
    assert all(map(is_refused, ("con", "Con.txt", "a ", "a.", "a:b", "x" * 256)))
    assert not any(map(is_refused, ("cone", "a b.txt", "console.toml", "Ida's turn.txt")))


# === Files that another program holds ===


def locked(*_: object, **__: object) -> None:
    """What Windows answers where a file is open in another program."""
    raise PermissionError(13, "The process cannot access the file")


def test_a_file_that_another_program_holds_is_left_and_told(tmp_path, monkeypatch):
    file = tmp_path / "tune.txt"
    file.write_text("old", encoding="utf-8")
    monkeypatch.setattr("theorykit.show.files.saving.os.replace", locked)
    with pytest.raises(TheoryError, match="cannot"):
        save(Chart.parse(CHART_TEXT), file, replace=True)
    assert file.read_text(encoding="utf-8") == "old"
    assert [one.name for one in tmp_path.iterdir()] == ["tune.txt"]


def test_a_folder_that_cannot_be_opened_as_a_file_is_no_fault(tmp_path, monkeypatch):
    """On Windows no folder can be opened, so that its entry cannot be brought to the disk."""
    really = os.open

    def opened(path: object, flags: int, *mode: int) -> int:
        return locked() if Path(str(path)).is_dir() else really(path, flags, *mode)  # type: ignore

    monkeypatch.setattr("theorykit.show.files.saving.os.open", opened)
    write_file(tmp_path / "a.txt", b"whole", replace=False)
    assert (tmp_path / "a.txt").read_bytes() == b"whole"


def test_a_disk_without_second_names_writes_whole_files(tmp_path, monkeypatch):
    """FAT and exFAT, as on a stick, have no links."""
    monkeypatch.setattr("theorykit.show.files.saving.os.link", locked)
    write_file(tmp_path / "a.txt", b"one", replace=False)
    with pytest.raises(TheoryError, match="already"):
        write_file(tmp_path / "a.txt", b"two", replace=False)
    assert (tmp_path / "a.txt").read_bytes() == b"one"
