"""What is in the repository, and what state its notebooks are in."""

import ast
import json
import re
import subprocess
from pathlib import Path
from typing import Any

import nbformat
import pytest
from house import ROOT
from together import together

TOP = {"README.md", "DEVELOPERS.md", "pyproject.toml", "workbook", "theorykit", "tests", "images"}
LEFT_BY_TOOLS = {"build", "dist", "__pycache__"}
LONGEST_CELL = 15  # lines that are not blank

# Written so that none of them finds itself here.
MACHINE_PATHS = re.compile(
    r"(?<![\w.])/(?:work|tmp|root|home|farm|Users|var/folders)/[A-Za-z0-9_]|[A-Z]:\\Users\\"
)
HOSTS = re.compile(
    r"index[-_]url\b|://[^/\s]*(?:pypi|pythonhosted|npmjs|debian)\.|registry *[=]"
    r"|://(?:10|192\.168|172\.(?:1[6-9]|2\d|3[01]))\."
)
ADDRESS = re.compile(r"https?://([\w.-]+)")
# Standards, a licence, this machine, and a name that is kept for examples (RFC 2606).
ADDRESSED = {
    "www.w3.org", "www.musicxml.org", "opendatacommons.org", "127.0.0.1", "localhost",
    "example.org",
}  # fmt: skip
UNFINISHED = re.compile(r"\b(?:TO[D]O|FIX[M]E|NotImplemented[E]rror)\b")


def tracked() -> list[Path]:
    """The files of the repository; in a copy without a history, all that tools did not leave."""
    command = ["git", "-c", "safe.directory=*", "ls-files", "-z"]
    try:
        run = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=True)
        return [ROOT / name for name in run.stdout.split("\0") if (ROOT / name).is_file()]
    except (OSError, subprocess.CalledProcessError):
        return [file for file in ROOT.rglob("*") if file.is_file() and not left_by_tools(file)]


def left_by_tools(file: Path) -> bool:
    """Tell whether a file is in a folder that a tool made."""
    parts = file.relative_to(ROOT).parts
    made = any(part.endswith((".egg-info", "_cache")) for part in parts)
    return (
        made
        or not LEFT_BY_TOOLS.isdisjoint(parts)
        or parts[0] in (".git", ".hypothesis")
        or parts[0].startswith(".venv")
    )


def text(file: Path) -> str:
    """What a file says; nothing for a picture or a sound."""
    try:
        return file.read_text(encoding="utf-8")
    except UnicodeDecodeError:
        return ""


def test_the_top_level_is_exactly_what_the_page_for_contributors_says():
    names = {file.relative_to(ROOT).parts[0] for file in tracked()}
    assert {name for name in names if not name.startswith(".")} == TOP


@pytest.mark.parametrize(
    "pattern", [MACHINE_PATHS, HOSTS, UNFINISHED], ids=["path", "host", "work"]
)
def test_no_file_names_a_machine_or_is_unfinished(pattern: re.Pattern[str]):
    found = [
        f"{file.relative_to(ROOT)}:{number}: {line.strip()[:100]}"
        for file in tracked()
        for number, line in enumerate(text(file).splitlines(), 1)
        if pattern.search(line)
    ]
    assert found == []


def test_a_source_is_an_author_a_title_and_a_year_and_no_address():
    found = {
        f"{file.relative_to(ROOT)}: {site}"
        for file in tracked()
        for site in ADDRESS.findall(text(file))
        if site not in ADDRESSED
    }
    assert found == set()


def test_the_patterns_find_what_they_are_for():
    """A pattern that finds nothing would let everything pass."""
    assert MACHINE_PATHS.search("open('/" + "home/ada/tune.mid')")
    assert MACHINE_PATHS.search("C:" + r"\Users\ada")
    assert not MACHINE_PATHS.search("theorykit/root/notes and https://example.org/home/x")
    assert HOSTS.search("https://" + "pypi.example/simple")
    assert HOSTS.search("http://" + "10.0.0.7:8888")
    assert not HOSTS.search("http://127.0.0.1:8888 and https://www.w3.org/2000/svg")
    assert UNFINISHED.search("# TO" + "DO: swing")


# The notebooks.

NOTEBOOKS = sorted(
    file for file in (ROOT / "workbook").rglob("*.ipynb") if ".ipynb_checkpoints" not in file.parts
)
CHAPTERS = [file for file in NOTEBOOKS if re.match(r"\d\d_", file.name)]
each_notebook = together("file", NOTEBOOKS, ids=lambda file: file.stem)


def read(file: Path) -> dict[str, Any]:
    """A notebook as the data it is."""
    notebook: dict[str, Any] = json.loads(file.read_text(encoding="utf-8"))
    return notebook


def cells(file: Path, kind: str = "code") -> list[dict[str, Any]]:
    """The cells of one kind, the source of each as one text."""
    found = [cell for cell in read(file)["cells"] if cell["cell_type"] == kind]
    return [{**cell, "source": "".join(cell["source"])} for cell in found]


def nodes(file: Path, *kinds: type[ast.AST]) -> list[ast.AST]:
    """The pieces of code of these kinds in all cells."""
    trees = [ast.parse(cell["source"]) for cell in cells(file)]
    return [node for tree in trees for node in ast.walk(tree) if isinstance(node, kinds)]


def test_the_workbook_begins_with_a_start_and_a_first_chapter():
    assert [int(file.name[:2]) for file in CHAPTERS][:2] == [0, 1]
    assert len({file.name[:2] for file in CHAPTERS}) == len(CHAPTERS)


@each_notebook
def test_a_notebook_is_valid_and_knows_its_kernel(file: Path):
    nbformat.validate(nbformat.reads(file.read_text(encoding="utf-8"), as_version=4))
    assert read(file)["metadata"]["kernelspec"]["name"] == "python3"


@each_notebook
def test_a_notebook_holds_no_outputs_counts_or_widget_state(file: Path):
    assert [cell for cell in cells(file) if cell["outputs"] or cell["execution_count"]] == []
    assert "widgets" not in read(file)["metadata"]


@each_notebook
def test_a_notebook_has_short_cells(file: Path):
    lengths = [sum(map(bool, map(str.strip, c["source"].splitlines()))) for c in cells(file)]
    assert max(lengths) <= LONGEST_CELL


@each_notebook
def test_a_notebook_is_plain_python_and_defines_nothing(file: Path):
    """A magic or a shell line is no Python, and stops the parser."""
    assert nodes(file, ast.FunctionDef, ast.AsyncFunctionDef, ast.ClassDef) == []


@each_notebook
def test_a_notebook_asks_a_question_in_its_title(file: Path):
    first = cells(file, "markdown")[0]["source"].splitlines()[0]
    assert re.fullmatch(r"# .*\?", first.strip())
