"""The wheel, installed into an environment of its own, in a folder that holds nothing else."""

import os
import signal
import subprocess
import sys
import sysconfig
import time
import urllib.request
from pathlib import Path

import pytest
from house import ROOT

pytestmark = pytest.mark.sweep
PATIENCE = 240  # seconds until JupyterLab must have answered, on the slowest machine


@pytest.fixture(scope="module")
def installed(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The command of an environment that holds the wheel; other packages are those of this one."""
    folder = tmp_path_factory.mktemp("installed")
    run("hatchling", "build", "-t", "wheel", "-d", str(folder), cwd=ROOT)
    run("venv", "--without-pip", str(folder / "env"), cwd=folder)
    inside = sysconfig.get_path("purelib", "venv", {"base": str(folder / "env")})
    wheel = next(folder.glob("*.whl"))
    run("pip", "install", "--no-deps", "--no-index", "--target", inside, str(wheel), cwd=folder)
    theirs = sysconfig.get_path("purelib")
    Path(inside, "others.pth").write_text(f"{theirs}\n", encoding="utf-8")
    scripts = sysconfig.get_path("scripts", "venv", {"base": str(folder / "env")})
    return next(Path(scripts).glob("python*"))


def run(module: str, *words: str, cwd: Path) -> None:
    """Run a module of this Python, and fail with what it says."""
    done = subprocess.run(
        [sys.executable, "-m", module, *words], cwd=cwd, capture_output=True, text=True
    )
    assert done.returncode == 0, done.stdout + done.stderr


def clean(home: Path) -> dict[str, str]:
    """The environment of somebody who has just come: a home of their own, nothing on the path."""
    kept = {name: value for name, value in os.environ.items() if name != "PYTHONPATH"}
    return {**kept, "HOME": str(home), "USERPROFILE": str(home)}


def test_the_installed_package_is_the_one_that_answers(installed, tmp_path):
    asks = "import theorykit; print(theorykit.__file__)"
    done = subprocess.run(
        [installed, "-c", asks], cwd=tmp_path, env=clean(tmp_path), capture_output=True, text=True
    )
    assert Path(done.stdout.strip()).is_relative_to(installed.parents[1])


def test_it_makes_a_handout_in_an_empty_folder(installed, tmp_path):
    for words in (
        ["workbook", "jazz", "--copy-only"],
        ["handout", "jazz/handouts/one_colour.toml", "--files", "pages", "--into", "made"],
    ):
        done = subprocess.run(
            [installed, "-m", "theorykit", *words], cwd=tmp_path, env=clean(tmp_path / "home"),
            capture_output=True, text=True,
        )  # fmt: skip
        assert done.returncode == 0, done.stderr
    pages = list((tmp_path / "made").rglob("*.pdf"))
    assert [page.read_bytes()[:4] for page in pages] == [b"%PDF"]


def test_it_opens_the_workbook(installed, tmp_path):
    """JupyterLab is started without a browser, and its first page answers."""
    settings = {**clean(tmp_path / "home"), "JUPYTER_TOKEN": "x", "BROWSER": "true"}
    settings["JUPYTER_CONFIG_DIR"] = str(tmp_path / "config")
    with (tmp_path / "log").open("wb") as log:
        lab = subprocess.Popen(
            [installed, "-m", "theorykit", "workbook", "jazz"],
            cwd=tmp_path, env=settings, stdout=log, stderr=log, start_new_session=True,
        )  # fmt: skip
    try:
        address = waited_for(tmp_path / "log", lab)
        with urllib.request.urlopen(f"{address}api/contents?token=x") as answer:
            listed = answer.read().decode()
        assert "00_start_here.ipynb" in listed
    finally:
        os.killpg(lab.pid, signal.SIGTERM)  # JupyterLab as well as the command
        lab.wait(60)


def waited_for(log: Path, lab: subprocess.Popen[bytes]) -> str:
    """The address that JupyterLab says, as soon as it says one."""
    until = time.monotonic() + PATIENCE
    while time.monotonic() < until and lab.poll() is None:
        for word in log.read_text(encoding="utf-8", errors="replace").split():
            if word.startswith("http://127.0.0.1:"):
                return word.partition("lab")[0].partition("?")[0]
        time.sleep(0.5)
    raise AssertionError(log.read_text(encoding="utf-8", errors="replace"))
