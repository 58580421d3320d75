"""The script behind the README's commands: it sets up with nothing but Python, and says how."""

import importlib.util
import os
import subprocess
import sys
import tomllib
from pathlib import Path
from types import ModuleType

import pytest
from house import ROOT

SCRIPT = ROOT / "workbook" / "start.py"


@pytest.fixture
def start(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> ModuleType:
    """The script as a module, at home in a folder that holds a list of packages alone."""
    spec = importlib.util.spec_from_file_location("start", SCRIPT)
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    (tmp_path / "pyproject.toml").write_text('[project]\nname = "small"\n', encoding="utf-8")
    monkeypatch.setattr(module, "ROOT", tmp_path)
    return module


@pytest.fixture
def told(start: ModuleType, monkeypatch: pytest.MonkeyPatch) -> list[list[str]]:
    """What the script would have others do: pip and apt-get are noted down, environments made.

    They are made without pip, which takes a tenth of the time.
    """
    found: list[list[str]] = []
    really = start.run

    def run(command: list[str], cwd: Path | None = None) -> int:
        found.append(command)
        return really([*command, "--without-pip"], cwd) if "venv" in command else 0

    monkeypatch.setattr(start, "run", run)
    return found


def without(start: ModuleType, monkeypatch: pytest.MonkeyPatch, *names: str) -> None:
    """Let this Python lack some modules, as Debian's may."""
    really = start.has_module
    monkeypatch.setattr(
        start,
        "has_module",
        lambda name, python=sys.executable: name not in names and really(name, python),
    )


def test_it_needs_the_standard_library_alone():
    """In a Python that sees no installed package; a word that it does not know changes nothing."""
    run = subprocess.run([sys.executable, "-S", SCRIPT, "bagpipe"], capture_output=True, text=True)
    assert run.returncode == 2
    assert run.stdout.isascii()
    assert "want nothing to open the workbook, or test" in run.stdout
    assert "--newest or --lowest" in run.stdout


def test_its_extras_are_those_of_the_package():
    page = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))
    spec = importlib.util.spec_from_file_location("start", SCRIPT)
    assert spec is not None
    assert spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    assert set(module.EXTRAS) == set(page["project"]["optional-dependencies"])
    assert f">={'.'.join(map(str, module.OLDEST))}" == page["project"]["requires-python"]


@pytest.mark.parametrize(
    ("words", "extra", "last"),
    [
        ([], "workbook", ["-m", "theorykit", "workbook", "workbook"]),
        (["test"], "test", ["-m", "pytest", "-n", "2"]),
        (["test", "-m", "sweep"], "test", ["-m", "pytest", "-m", "sweep"]),
    ],
)
def test_it_makes_an_environment_installs_and_starts(start, told, capsys, words, extra, last):
    assert start.main(words) == 0
    venv, install, begin = told
    assert venv[1:3] == ["-m", "venv"]
    assert start.answers(start.ROOT / ".venv")
    assert install[-2:] == ["--editable", f"{start.ROOT}[{extra}]"]
    assert begin == [str(start.python_of(start.ROOT / ".venv")), *last]
    said = capsys.readouterr().out
    for words in ("half a minute", "700 MB", "Set up in 0 min"):
        assert words in said


@pytest.mark.parametrize(
    ("way", "folder", "listed"),
    [
        ([], ".venv", "tested.txt"),
        (["--newest"], ".venv-newest", ""),
        (["--lowest"], ".venv-lowest", "lowest.txt"),
    ],
)
def test_it_installs_the_versions_that_are_asked_for(start, told, way, folder, listed):
    """Those that were tested together, unless others are; each in an environment of its own."""
    assert start.main([*way, "test", "-q"]) == 0
    _, install, begin = told
    assert begin == [str(start.python_of(start.ROOT / folder)), "-m", "pytest", "-q"]
    assert ("--constraint" in install) == bool(listed)
    if listed:
        path = Path(install[install.index("--constraint") + 1])
        assert path == ROOT / "tests" / "versions" / listed
        assert path.is_file()
    told.clear()
    assert start.main([*way]) == 0
    assert [command[2] for command in told] == ["theorykit"]


def test_a_new_list_of_versions_is_installed(start, told, tmp_path, monkeypatch):
    monkeypatch.setattr(start, "VERSIONS", tmp_path)
    (tmp_path / "tested.txt").write_text("tqdm==4.70.1\n", encoding="utf-8")
    start.main([])
    (tmp_path / "tested.txt").write_text("tqdm==4.70.2\n", encoding="utf-8")
    told.clear()
    start.main([])
    assert [command[2] for command in told] == ["pip", "theorykit"]


def test_a_copy_without_lists_of_versions_takes_the_newest(start, told, tmp_path, monkeypatch):
    monkeypatch.setattr(start, "VERSIONS", tmp_path / "none")
    assert start.main([]) == 0
    assert "--constraint" not in told[1]


@pytest.mark.sweep
def test_an_environment_has_its_own_pip_where_python_can_give_it_one(start):
    install = start.make_environment(start.ROOT / ".venv")
    assert install == [str(start.python_of(start.ROOT / ".venv")), "-m", "pip", "install"]
    assert subprocess.run([*install[:3], "list"], capture_output=True).returncode == 0


def test_the_second_time_it_needs_no_network(start, told, capsys):
    assert start.main(["test"]) == 0
    told.clear()
    assert start.main(["test"]) == 0
    assert start.main([]) == 0  # what the tests need holds what the workbook needs
    assert [command[2] for command in told] == ["pytest", "theorykit"]
    assert "no network is needed" in capsys.readouterr().out


def test_a_new_list_of_packages_is_installed(start, told):
    start.main([])
    (start.ROOT / "pyproject.toml").write_text("# more\n", encoding="utf-8")
    told.clear()
    start.main([])
    assert [command[2] for command in told] == ["pip", "theorykit"]


def test_the_workbook_does_not_bring_the_tests(start, told):
    start.main([])
    told.clear()
    start.main(["test"])
    assert [command[2] for command in told] == ["pip", "pytest"]


def test_an_environment_that_does_not_answer_is_made_anew(start, told):
    python = start.python_of(start.ROOT / ".venv")
    python.parent.mkdir(parents=True)
    python.write_text("no Python", encoding="utf-8")
    assert start.main([]) == 0
    assert start.answers(start.ROOT / ".venv")


def test_where_ensurepip_is_left_out_the_pip_of_this_python_installs(
    start, told, capsys, monkeypatch
):
    without(start, monkeypatch, "ensurepip")
    assert start.main([]) == 0
    venv, install, _ = told
    python = str(start.python_of(start.ROOT / ".venv"))
    assert "--without-pip" in venv
    assert install[:6] == [sys.executable, "-m", "pip", "--python", python, "install"]
    listed = subprocess.run([*install[:5], "list"], capture_output=True, text=True)
    assert listed.returncode == 0, listed.stderr  # that pip does reach the environment
    assert "no ensurepip" in capsys.readouterr().out


def test_where_there_is_no_pip_either_debian_is_asked(start, told, capsys, monkeypatch):
    without(start, monkeypatch, "ensurepip", "pip")
    monkeypatch.setattr(start.shutil, "which", lambda name: name)
    assert start.main([]) == 1  # apt-get was only noted down, so there is still no pip
    asked = [command for command in told if "apt-get" in command]
    assert [command[-1] for command in asked] == ["update", "python3-venv"]
    assert [command[0] for command in asked] == ["apt-get" if os.geteuid() == 0 else "sudo"] * 2
    assert "apt-get install python3-venv" in capsys.readouterr().out


def test_where_nothing_helps_it_says_what_would(start, told, capsys, monkeypatch):
    without(start, monkeypatch, "ensurepip", "pip")
    monkeypatch.setattr(start.shutil, "which", lambda name: None)
    assert start.main([]) == 1
    assert told == []
    assert "It does not work: this Python cannot make environments" in capsys.readouterr().out


def test_without_a_network_it_says_so_and_tries_again_next_time(start, told, capsys, monkeypatch):
    assert start.main([]) == 0
    (start.ROOT / "pyproject.toml").write_text("# more\n", encoding="utf-8")
    monkeypatch.setattr(start, "run", lambda command, cwd=None: 1)
    assert start.main([]) == 1
    assert "is there a network?" in capsys.readouterr().out
    assert not start.is_set_up(start.ROOT / ".venv", "workbook")


def test_an_old_python_is_told_which_one_is_needed(start, told, capsys, monkeypatch):
    monkeypatch.setattr(start, "OLDEST", (99, 0))
    assert start.main([]) == 1
    assert "needs 3.11 or newer" in capsys.readouterr().out
    assert told == []
