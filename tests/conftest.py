"""What holds for every test."""

from __future__ import annotations

import gc
import os
from collections.abc import Generator
from pathlib import Path
from tempfile import mkdtemp

import hypothesis
import platformdirs
import pytest
from xdist.scheduler import LoadFileScheduling

os.environ.setdefault("MPLBACKEND", "Agg")  # nothing opens a window

# No test reads or writes what the person who runs it keeps: the own files of a reader lie in a
# folder of the run, for this process and for the kernels and servers that it starts.
HOME = mkdtemp(prefix="theorykit-home-")
os.environ["XDG_DATA_HOME"] = HOME
platformdirs.user_data_dir = lambda name=None, *_, **__: str(Path(HOME) / (name or ""))

collect_ignore = ["bench/ear_training.py"]  # it needs torch, which nobody else does

# A slow machine is no failure, and a run of CI is the same run every time.
hypothesis.settings.register_profile("here", deadline=None)
hypothesis.settings.register_profile("ci", deadline=None, derandomize=True)
hypothesis.settings.load_profile("ci" if os.environ.get("CI") else "here")


@pytest.hookimpl(wrapper=True)
def pytest_collection() -> Generator[None, object, object]:
    """Leave what is imported and collected alone: it stays, and looking through it takes long."""
    gc.disable()
    try:
        return (yield)
    finally:
        gc.enable()
        gc.freeze()


def pytest_addoption(parser: pytest.Parser) -> None:
    """Let the pictures that the browser tests take be kept."""
    parser.addoption("--pictures", metavar="FOLDER", help="keep the screenshots of the run here")


@pytest.fixture(scope="session")
def pictures(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Where screenshots go: the folder given with --pictures, else one that pytest clears away."""
    kept = request.config.getoption("--pictures")
    return Path(kept).resolve() if kept else tmp_path_factory.mktemp("pictures")


@pytest.fixture(scope="session")
def small_edition(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The pages of a small workbook, published once: chapter 3 whole, the others cut short."""
    from published import small_workbook

    from theorykit.pages import publish

    folder = tmp_path_factory.mktemp("edition")
    made = list(publish(folder / "pages", small_workbook(folder)))
    assert [file.name for file in made][-1] == "index.html"
    return folder / "pages"


# What stays in one process: the browser and the small edition; what mypy keeps of its first run.
SHARING = (
    ("tests/browser/", "tests/pages/test_publishing.py"),
    ("tests/programs/", "tests/test_lint.py"),
)


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Let mypy read the library first: what it keeps serves the recipes, not the reverse."""
    items.sort(key=lambda item: not item.nodeid.startswith("tests/test_lint.py"))


class ByWhatIsShared(LoadFileScheduling):
    """Give each process whole files, and one of them all files that share what takes long."""

    def _split_scope(self, nodeid: str) -> str:
        file = super()._split_scope(nodeid)
        return next((group[0] for group in SHARING if file.startswith(group)), file)


def pytest_xdist_make_scheduler(config: pytest.Config, log: object) -> ByWhatIsShared:
    """Say how files are dealt out where there are several processes (``-n 2``)."""
    return ByWhatIsShared(config, log)
