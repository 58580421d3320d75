"""The page for the reader: what it promises is there, and its commands are the ones that run."""

import doctest
import re
import shutil
import subprocess
import tomllib

import pytest
from house import ROOT

PAGE = (ROOT / "README.md").read_text(encoding="utf-8")
SETTINGS = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
PROJECT = SETTINGS["project"]


def blocks(language: str) -> list[str]:
    """What stands in the fenced blocks of one language, in order."""
    return re.findall(rf"^```{language}\n(.*?)^```$", PAGE, re.MULTILINE | re.DOTALL)


with_bash = pytest.mark.skipif(shutil.which("bash") is None, reason="Windows may have no bash")
START = "workbook/start.py"
COMMANDS = {"bash": blocks("bash"), "powershell": blocks("powershell")}


@pytest.mark.parametrize("shell", COMMANDS)
def test_there_are_two_commands_of_one_line_each(shell: str):
    assert [command.count("\n") for command in COMMANDS[shell]] == [1, 1]


@pytest.mark.parametrize("shell", COMMANDS)
def test_the_commands_are_short_and_run_a_script_that_is_there(shell: str):
    """What the script does, environment, packages and start, ``test_start.py`` establishes."""
    workbook, test = COMMANDS[shell]
    python = {"bash": "python3", "powershell": "py"}[shell]
    assert (workbook, test) == (f"{python} {START}\n", f"{python} {START} test\n")
    assert (ROOT / START).is_file()


@with_bash
@pytest.mark.parametrize("command", COMMANDS["bash"], ids=["workbook", "test"])
def test_bash_can_read_the_command(command: str):
    assert subprocess.run(["bash", "-n", "-c", command]).returncode == 0


@with_bash
def test_ci_runs_the_command_of_this_page():
    script = ["bash", str(ROOT / ".ci" / "run"), "print-command"]
    said = subprocess.run(script, capture_output=True, text=True, check=True).stdout
    assert said == COMMANDS["bash"][1]


def test_ci_runs_what_the_command_leaves_out_too():
    """One marker for each kind of test that is long, all of them deselected and all of them run."""
    options = SETTINGS["tool"]["pytest"]["ini_options"]
    markers = [line.partition(":")[0] for line in options["markers"]]
    chosen = options["addopts"][options["addopts"].index("-m") + 1]
    assert chosen == " and ".join(f"not {marker}" for marker in markers)
    script = (ROOT / ".ci" / "run").read_text(encoding="utf-8")
    line = r"^\.venv/bin/python -m pytest (?:-n 2 )?-m (\w+)(?: --ignore=(\S+))?$"
    run = re.findall(line, script, re.MULTILINE)
    assert [marker for marker, _ in run] == markers
    for marker, left_out in run:  # what one leaves out runs beside it
        assert not left_out or f"pytest -m {marker} {left_out} " in script


def test_the_parts_come_in_the_order_a_newcomer_needs():
    assert re.findall(r"^#+ (.*)$", PAGE, re.MULTILINE) == [
        "theorykit",
        "Two commands",
        "Without installing anything",
        "The first three minutes",
        "What is in the workbook",
        "A class",
        "As a library",
        "Better sounds",
        "Update and help",
        "Where the facts come from",
        "Licence",
    ]
    assert PAGE.index("![") < PAGE.index("## Two commands")


def test_the_page_is_short():
    assert PAGE.count("\n") < 120


def test_every_link_leads_to_a_file_that_is_there():
    links = re.findall(r"\]\(([^)]+)\)", PAGE)
    assert len(links) >= 8
    assert [link for link in links if not (ROOT / link).is_file()] == []


def test_every_picture_is_there_and_described():
    pictures = re.findall(r"!\[(.*?)\]\((.*?)\)", PAGE)
    assert [file for words, file in pictures if not words or not (ROOT / file).is_file()] == []
    assert pictures[0][1] == "images/three_steps.png"
    held = {f"images/{file.name}" for file in (ROOT / "images").iterdir()}
    assert held == {link for link in re.findall(r"\]\((images/[^)]+)\)", PAGE)}


def test_the_table_of_chapters_is_the_folder():
    listed = re.findall(r"^\| `(\d\d_\w+)` \|", PAGE, re.MULTILINE)
    assert listed == sorted(file.stem for file in (ROOT / "workbook").glob("[0-9][0-9]_*.ipynb"))


def test_the_example_runs():
    example = doctest.DocTestParser().get_doctest("".join(blocks("python")), {}, "page", None, 0)
    assert example.examples
    assert doctest.DocTestRunner().run(example).failed == 0


def test_the_licence_is_the_one_of_the_package():
    """Its words stand in a file, which the page names; the wheel brings it."""
    assert PROJECT["license"] == "MIT"
    words = (ROOT / "theorykit" / "LICENSE").read_text(encoding="utf-8")
    assert "Permission is hereby granted, free of charge" in words
    assert 'THE SOFTWARE IS PROVIDED "AS IS"' in words
    assert "(theorykit/LICENSE)" in PAGE
    assert PROJECT["license-files"] == ["theorykit/LICENSE", "theorykit/NOTICES.md"]


def test_the_notices_say_what_the_other_licences_ask_for():
    """ODbL 1.0, sections 4.2 to 4.6; the sounds and fonts that are not ours."""
    notices = (ROOT / "theorykit" / "NOTICES.md").read_text(encoding="utf-8")
    assert "(theorykit/NOTICES.md)" in PAGE
    for words in ("Weimar Jazz Database", "(ODbL) 1.0", "opendatacommons.org/licenses/odbl/1-0/"):
        assert words in notices
        assert words in PAGE
    for words in ("4.2", "4.3", "4.4", "4.5", "4.6", "TimGM6mb", "Leipzig", "Libertinus", "DejaVu"):
        assert words in notices


def test_the_sources_are_listed():
    sources = (ROOT / "theorykit" / "SOURCES.md").read_text(encoding="utf-8")
    assert "(theorykit/SOURCES.md)" in PAGE
    for author in ("MacDonald", "Sabatella", "Levine", "Terefenko", "Miller", "Pfleiderer"):
        assert author in sources
