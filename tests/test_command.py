"""The command line, without a JupyterLab being started."""

import subprocess
import sys
from pathlib import Path

import pytest
from house import ROOT

import theorykit.__main__ as command


@pytest.fixture
def started(monkeypatch) -> list[tuple[list[str], Path]]:
    """What would have been started, and where."""
    found: list[tuple[list[str], Path]] = []

    def run(words, *, cwd, check):
        found.append((words, Path(cwd)))
        return subprocess.CompletedProcess(words, 0)

    monkeypatch.setattr(command.subprocess, "run", run)
    return found


def test_thursday_opens_its_page_in_jupyterlab(started, monkeypatch):
    monkeypatch.chdir(ROOT)
    assert command.main(["thursday"]) == 0
    ((words, folder),) = started
    assert words[:3] == [sys.executable, "-m", "jupyterlab"]
    assert words[-1] == "thursday.ipynb"
    assert (folder.resolve() / words[-1]).is_file()


def test_thursday_is_found_beside_the_library_and_by_its_folder(started, monkeypatch, tmp_path):
    monkeypatch.chdir(tmp_path)
    assert command.main(["thursday"]) == 0
    assert started[-1][1] == ROOT / "workbook"
    (tmp_path / "thursday.ipynb").write_text("{}", encoding="utf-8")
    assert command.main(["thursday", "--workbook", str(tmp_path)]) == 0
    assert started[-1][1] == tmp_path


def test_without_jupyterlab_it_says_what_to_install(started, monkeypatch, capsys):
    monkeypatch.setattr(command, "find_spec", lambda name: None)
    assert command.main(["thursday"]) == 1
    assert 'install "theorykit[workbook]"' in capsys.readouterr().err
    assert started == []


def test_out_of_a_package_without_the_workbook_it_says_what_to_do(
    started, monkeypatch, tmp_path, capsys
):
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr(command, "__file__", str(tmp_path / "theorykit" / "__main__.py"))
    assert command.main(["thursday"]) == 1
    said = capsys.readouterr().err
    assert "no page thursday.ipynb" in said
    assert "--workbook FOLDER" in said
    assert started == []
