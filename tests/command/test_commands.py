"""The command, as it is typed: in a console of any encoding, with and without the workbook."""

import io
import os
import subprocess
import sys
from pathlib import Path

import pytest
from house import ROOT
from sweeps import swept

from theorykit import TheoryError, __version__
from theorykit.__main__ import main
from theorykit.command import commands
from theorykit.command.checkup import Finding, findings
from theorykit.command.commands import lab_command, say
from theorykit.command.own_copy import copy_workbook, source

HANDOUT = """title = "Warm-up in E♭"

[[block]]
kind = "text"
text = "Sing first: ♭9, ♯9, B♭ø."
"""


def typed(*words: str, encoding: str = "utf-8", flags: tuple[str, ...] = (), cwd: Path = ROOT):
    """Run the command in a Python of its own; the console takes one encoding."""
    environment = {**os.environ, "PYTHONPATH": str(ROOT), "PYTHONIOENCODING": encoding}
    run = [sys.executable, *flags, "-m", "theorykit", *words]
    return subprocess.run(run, cwd=cwd, env=environment, capture_output=True)


def test_the_version_is_said():
    assert typed("version").stdout.decode().strip() == f"theorykit {__version__}"


@pytest.mark.parametrize("encoding", swept(["cp1252", "ascii", "cp437"], "cp1252".__eq__))
def test_no_command_dies_of_the_encoding_of_the_console(encoding, tmp_path):
    (tmp_path / "E♭.toml").write_text(HANDOUT, encoding="utf-8")
    made = typed("handout", "E♭.toml", "--files", "pages", encoding=encoding, cwd=tmp_path)
    assert made.returncode == 0, made.stderr
    said = made.stdout.decode(encoding)
    assert "Eb" in said
    assert "1 file to print with 1 page" in said
    refused = typed("handout", "B♭.toml", encoding=encoding, cwd=tmp_path)
    assert refused.returncode == 1
    assert b"no such file: 'Bb.toml'" in refused.stderr


def test_what_is_said_keeps_its_signs_where_the_console_has_them():
    for encoding, said in (("utf-8", "B♭7♯9 – ø"), ("cp1252", "Bb7#9 - m7b5")):
        raw = io.BytesIO()
        console = io.TextIOWrapper(raw, encoding=encoding)
        say("B♭7♯9 – ø", console)
        assert raw.getvalue().decode(encoding).rstrip() == said


def test_help_is_plain_and_lists_every_command(capsys):
    with pytest.raises(SystemExit):
        main(["--help"])
    said = capsys.readouterr().out
    assert said.isascii()
    for name in ("workbook", "pages", "handout", "check", "version"):
        assert f"    {name}" in said


# === The workbook ===


def test_the_workbook_is_copied_whole(tmp_path, capsys):
    assert main(["workbook", str(tmp_path / "jazz"), "--copy-only"]) == 0
    books = sorted(file.name for file in (ROOT / "workbook").glob("*.ipynb"))
    assert sorted(file.name for file in (tmp_path / "jazz").glob("*.ipynb")) == books
    for folder in ("tunes", "handouts"):
        for file in (ROOT / "workbook" / folder).iterdir():
            assert (tmp_path / "jazz" / folder / file.name).read_bytes() == file.read_bytes()
    assert "files copied" in capsys.readouterr().out


def test_own_work_is_never_written_over(tmp_path, capsys):
    copy_workbook(tmp_path)
    mine, gone = tmp_path / "01_motion_over_the_five.ipynb", tmp_path / "02_guide_tones.ipynb"
    mine.write_text("mine", encoding="utf-8")
    gone.unlink()
    (tmp_path / "my_notes.txt").write_text("mine too", encoding="utf-8")
    assert main(["workbook", str(tmp_path), "--copy-only"]) == 0
    said = capsys.readouterr().out
    assert "1 file copied" in said
    assert "Left as it was" in said
    assert "01_motion_over_the_five.ipynb" in said
    assert mine.read_text(encoding="utf-8") == "mine"
    assert (tmp_path / "my_notes.txt").read_text(encoding="utf-8") == "mine too"
    assert gone.read_bytes() == (source() / gone.name).read_bytes()


def test_a_file_is_no_folder_for_the_workbook(tmp_path, capsys):
    (tmp_path / "jazz").write_text("a file", encoding="utf-8")
    assert main(["workbook", str(tmp_path / "jazz"), "--copy-only"]) == 1
    assert "want a folder" in capsys.readouterr().err
    with pytest.raises(TheoryError, match="cannot make"):
        copy_workbook(tmp_path / "jazz" / "deeper")


def test_the_first_chapter_is_what_is_opened():
    assert lab_command(Path("w/00_start_here.ipynb"))[-1] == str(Path("w/00_start_here.ipynb"))


@pytest.mark.parametrize("words", [["workbook", "w"], ["handout", "x.toml"], ["pages", "p"]])
def test_without_the_workbook_a_command_says_how_to_install_it(words, tmp_path):
    run = typed(*words, flags=("-S",), cwd=tmp_path)
    assert run.returncode == 1
    assert b"python -m pip install 'theorykit[workbook]'" in run.stderr
    assert b"Traceback" not in run.stderr


def test_widgets_and_handouts_say_the_same_where_they_are_imported():
    for asks in ("from theorykit.widgets import explorer", "from theorykit.handout import Handout"):
        run = subprocess.run(
            [sys.executable, "-S", "-c", asks], cwd=ROOT, capture_output=True, text=True
        )
        assert "python -m pip install 'theorykit[workbook]'" in run.stderr.splitlines()[-1]


# === Handouts ===


def test_a_handout_is_made_and_no_file_is_replaced_unless_asked(tmp_path, capsys, monkeypatch):
    monkeypatch.chdir(tmp_path)
    Path("warm.toml").write_text(HANDOUT, encoding="utf-8")
    assert main(["handout", "warm.toml", "--for", "B flat, teacher", "--files", "pages"]) == 0
    files = list(Path("warm").rglob("*.pdf"))
    assert [file.read_bytes()[:4] for file in files] == [b"%PDF"]
    assert "B flat - teacher" in files[0].name
    capsys.readouterr()
    again = ["handout", "warm.toml", "--for", "B flat, teacher", "--files", "pages"]
    assert main(again) == 1
    assert capsys.readouterr().err
    assert main([*again, "--replace"]) == 0
    assert main(["handout", "warm.toml", "--for", "kazoo", "--into", "else"]) == 1


# === This machine ===


def test_check_finds_that_all_works_here_and_says_so():
    found = list(findings())
    assert [one.name for one in found] == [
        "theory", "sound", "staff", "picture", "PDF", "scores", "notebook",
    ]  # fmt: skip
    assert [one.words for one in found if not one.works] == []


def test_check_says_what_is_missing_where_nothing_is_installed(tmp_path):
    run = typed("check", flags=("-S",), cwd=tmp_path)
    said = run.stdout.decode()
    assert run.returncode == 1
    assert "theory: works" in said
    assert "sound: does not work (" in said
    assert said.count("python -m pip install 'theorykit[workbook]'") == 6
    assert said.splitlines()[-1] == "Not all of it works here."


def test_a_finding_is_one_line():
    assert Finding("sound", False, "no file").words == "sound: does not work (no file)."


@pytest.fixture
def started(monkeypatch) -> list[Path]:
    """The pages that JupyterLab would have opened."""
    found: list[Path] = []
    monkeypatch.setattr(commands, "_waited", lambda words: found.append(Path(words[-1])) or 0)
    return found


def test_thursday_opens_the_desks_of_the_week(started, monkeypatch, tmp_path, capsys):
    monkeypatch.chdir(ROOT)
    assert main(["thursday"]) == 0
    assert "nothing had to be copied" in capsys.readouterr().out
    assert started == [Path("workbook/thursday.ipynb")]
    assert started[0].is_file()
    monkeypatch.chdir(tmp_path)
    assert main(["thursday", "mine"]) == 0
    assert started[1].is_file()
    monkeypatch.chdir(tmp_path / "mine")
    assert main(["thursday"]) == 0
    assert started[2] == Path("thursday.ipynb")


def test_without_jupyterlab_thursday_says_what_to_install(started, monkeypatch, tmp_path, capsys):
    monkeypatch.setattr(commands, "find_spec", lambda name: None)
    assert main(["thursday", str(tmp_path / "mine")]) == 1
    assert "theorykit[workbook]" in capsys.readouterr().err
    assert started == []
