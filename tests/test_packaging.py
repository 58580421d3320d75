"""What ``pip install theorykit`` brings: the theory, its types, and no other package."""

import ast
import email
import importlib
import os
import re
import subprocess
import sys
import tarfile
import tomllib
import zipfile
from collections.abc import Iterator
from contextlib import suppress
from email.message import Message
from importlib.metadata import PackageNotFoundError, distribution

import pytest
from house import CORE, ROOT
from packaging.requirements import Requirement
from packaging.specifiers import SpecifierSet

IMPORT_ALL = """
import pkgutil, sys
import theorykit
if sys.argv[1:]:
    for found in pkgutil.walk_packages(theorykit.__path__, "theorykit."):
        if found.name.split(".")[1] in sys.argv[1:]:
            __import__(found.name)
tops = {name.split(".")[0] for name, module in sys.modules.items() if module is not None}
print(*sorted(tops - set(sys.stdlib_module_names) - {"__main__", "__mp_main__"}))
"""


def modules_after_import(*rooms: str) -> list[str]:
    """Import theorykit in a Python that sees no installed package; name what is not Python's."""
    run = subprocess.run(
        [sys.executable, "-S", "-c", IMPORT_ALL, *rooms],  # -S: site-packages is not on the path
        env={**os.environ, "PYTHONPATH": str(ROOT)},
        capture_output=True,
        text=True,
    )
    assert run.returncode == 0, run.stderr
    return run.stdout.split()


def test_importing_the_library_imports_nothing_else():
    assert modules_after_import() == ["theorykit"]


def test_the_whole_core_works_where_nothing_is_installed():
    assert modules_after_import(*CORE) == ["theorykit"]


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Iterator[zipfile.ZipFile]:
    """The wheel that this repository builds; building needs no network."""
    folder = tmp_path_factory.mktemp("wheel")
    build = [sys.executable, "-m", "hatchling", "build", "-t", "wheel", "-d", str(folder)]
    run = subprocess.run(build, cwd=ROOT, capture_output=True, text=True)
    assert run.returncode == 0, run.stderr
    with zipfile.ZipFile(next(folder.glob("*.whl"))) as opened:
        yield opened


@pytest.fixture(scope="module")
def held(tmp_path_factory: pytest.TempPathFactory) -> dict[str, bytes]:
    """What the source archive holds, by name."""
    folder = tmp_path_factory.mktemp("sdist")
    build = [sys.executable, "-m", "hatchling", "build", "-t", "sdist", "-d", str(folder)]
    run = subprocess.run(build, cwd=ROOT, capture_output=True, text=True)
    assert run.returncode == 0, run.stderr
    with tarfile.open(next(folder.glob("*.tar.gz"))) as opened:
        found = [(one, opened.extractfile(one)) for one in opened.getmembers()]
        return {one.name.partition("/")[2]: file.read() for one, file in found if file}


@pytest.fixture(scope="module")
def metadata(wheel: zipfile.ZipFile) -> Message:
    """What the wheel says of itself."""
    name = next(name for name in wheel.namelist() if name.endswith(".dist-info/METADATA"))
    return email.message_from_bytes(wheel.read(name))


def test_the_wheel_needs_no_other_package(metadata: Message):
    needs = metadata.get_all("Requires-Dist", [])
    assert [need for need in needs if "extra ==" not in need] == []
    assert any(need.startswith("jupyterlab") for need in needs)


def test_the_wheel_says_what_it_is(metadata: Message):
    assert metadata["Name"] == "theorykit"
    assert metadata["Requires-Python"] == ">=3.11"
    assert metadata["License-Expression"] == "MIT"
    assert metadata["Author"] == "the theorykit contributors"
    assert metadata.get_all("License-File") == ["theorykit/LICENSE", "theorykit/NOTICES.md"]
    assert metadata["Description-Content-Type"] == "text/markdown"
    assert metadata.get_all("Provides-Extra") == ["server", "test", "workbook"]


def test_the_wheel_holds_the_package_and_its_types_and_nothing_else(wheel: zipfile.ZipFile):
    names = set(wheel.namelist())
    assert {"theorykit/py.typed", "theorykit/widgets/__init__.pyi"} <= names
    assert {name.split("/")[0].split("-")[0] for name in names} == {"theorykit"}
    sources = {str(file.relative_to(ROOT).as_posix()) for file in ROOT.glob("theorykit/**/*.py")}
    assert sources <= names
    for ending in ("css", "js", "jinja2"):
        files = {str(f.relative_to(ROOT).as_posix()) for f in ROOT.glob(f"theorykit/**/*.{ending}")}
        assert files
        assert files <= names


def test_the_workbook_brings_what_the_player_of_a_page_stands_on(metadata: Message):
    needs = metadata.get_all("Requires-Dist", [])
    assert [need for need in needs if re.match(r"anywidget[^a-z]*; extra == 'workbook'$", need)]


def test_the_wheel_brings_the_words_of_the_licences(wheel: zipfile.ZipFile):
    for name in ("LICENSE", "NOTICES.md"):
        found = [file for file in wheel.namelist() if file.endswith(f"/licenses/theorykit/{name}")]
        assert [wheel.read(file) for file in found] == [(ROOT / "theorykit" / name).read_bytes()]


# === The source archive ===


def test_the_pictures_and_links_of_the_page_for_the_reader_are_in_the_source_archive(held):
    page = held["README.md"].decode()
    links = re.findall(r"\]\(([^)]+)\)", page)
    assert [link for link in links if link not in held] == []
    pictures = [link for link in links if link.endswith(".png")]
    assert len(pictures) >= 4
    assert {held[link][:8] for link in pictures} == {b"\x89PNG\r\n\x1a\n"}


def test_both_commands_of_the_page_work_in_the_source_archive(held):
    assert {"workbook/start.py", "tests/versions/tested.txt", "tests/conftest.py"} <= set(held)
    tests = {file.relative_to(ROOT).as_posix() for file in ROOT.glob("tests/**/test_*.py")}
    assert tests <= set(held)
    assert not [name for name in held if "checkpoint" in name or "__pycache__" in name]


# === Versions of other packages ===

EXTRAS = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"][
    "optional-dependencies"
]
NEED = re.compile(r"([\w.-]+)(?:\[\w+\])?(?:>=([\d.]+))?(?:,?<([\d.]+))?$")


def listed(name: str) -> dict[str, str]:
    """The versions of a list, by package."""
    text = (ROOT / "tests" / "versions" / name).read_text(encoding="utf-8")
    rows = [row for row in text.splitlines() if row and not row.startswith("#")]
    return {
        one.lower().replace("-", "_"): version
        for one, _, version in (r.partition("==") for r in rows)
    }


def numbers(version: str) -> tuple[int, ...]:
    """A version as numbers, zeros at its end left out; ``.post0`` is the version before it."""
    found = [int(part) for part in re.match(r"[\d.]*\d", version)[0].split(".")]  # type: ignore[index]
    while found and not found[-1]:
        found.pop()
    return tuple(found)


def bounds(extra: str) -> list[tuple[str, str, str]]:
    """Each package of an extra with its lower and its upper bound, empty where there is none."""
    found = [NEED.match(need) for need in EXTRAS[extra]]
    return [(m[1].lower().replace("-", "_"), m[2] or "", m[3] or "") for m in found if m]


def test_every_need_can_be_read():
    assert {extra: len(bounds(extra)) for extra in EXTRAS} == {
        extra: len(needs) for extra, needs in EXTRAS.items()
    }


def test_every_package_of_the_workbook_has_a_lower_bound_and_none_an_upper_one():
    assert [name for name, low, high in bounds("workbook") if not low or high] == []


def test_an_upper_bound_has_its_reason_beside_it():
    page = (ROOT / "pyproject.toml").read_text(encoding="utf-8")
    rows = [row for row in page.splitlines() if re.match(r' +"[\w.>=,-]+<', row)]
    assert rows
    assert [row for row in rows if " # " not in row and ",  #" not in row] == []


def test_the_lowest_versions_are_the_lower_bounds():
    lowest = listed("lowest.txt")
    assert {name: numbers(low) for name, low, _ in bounds("workbook")} == {
        name: numbers(lowest[name]) for name, _, _ in bounds("workbook")
    }


def test_the_tested_versions_are_within_the_bounds():
    tested = listed("tested.txt")
    for name, low, high in (*bounds("workbook"), *bounds("server"), *bounds("test")):
        if name != "theorykit":
            assert numbers(low or "0") <= numbers(tested[name]), name
            assert not high or numbers(tested[name]) < numbers(high), name


def test_the_tested_versions_can_be_had_on_the_first_python_that_is_supported():
    """Debian 12 has Python 3.11.2; the newest of a package may want a later 3.11."""
    oldest = {"python_version": "3.11", "python_full_version": "3.11.0"}
    text = (ROOT / "tests" / "versions" / "tested.txt").read_text(encoding="utf-8")
    here, too_new = 0, []
    for row in (row for row in text.splitlines() if row and not row.startswith("#")):
        need = Requirement(row)
        with suppress(PackageNotFoundError):
            found = distribution(need.name)
            if found.version in need.specifier and (
                not need.marker or need.marker.evaluate(oldest)
            ):
                here += 1
                wants = found.metadata["Requires-Python"] or ""
                too_new += [] if "3.11.0" in SpecifierSet(wants) else [f"{row}: Python {wants}"]
    assert here > 100
    assert too_new == []


def test_a_crash_is_shut_out():
    """verovio 4 and 5 end the process when a staff is engraved."""
    assert ("verovio", "6", "") in bounds("workbook")


def test_the_wheel_brings_the_workbook_and_nothing_that_tools_left_in_it(
    wheel: zipfile.ZipFile,
):
    held = {name for name in wheel.namelist() if name.startswith("theorykit/workbook/")}
    books = [*ROOT.glob("workbook/*.ipynb"), *ROOT.glob("workbook/tunes/*.txt")]
    books += ROOT.glob("workbook/handouts/*.toml")
    assert held >= {f"theorykit/{file.relative_to(ROOT).as_posix()}" for file in books}
    assert not [name for name in held if "checkpoint" in name or "__pycache__" in name]


def test_the_version_stands_in_one_place(metadata: Message):
    page = (ROOT / "pyproject.toml").read_text(encoding="utf-8")
    assert metadata["Version"] == importlib.import_module("theorykit").__version__
    assert f'version = "{metadata["Version"]}"' not in page


def test_the_wheel_brings_the_command(wheel: zipfile.ZipFile):
    name = next(name for name in wheel.namelist() if name.endswith("entry_points.txt"))
    assert "theorykit = theorykit.__main__:main" in wheel.read(name).decode().splitlines()


def test_the_broken_release_of_the_synthesizer_is_shut_out(metadata: Message):
    """0.6.0 raises TypeError on every render; measured with numpy 2.2 and 2.4."""
    pins = [need for need in metadata.get_all("Requires-Dist", []) if need.startswith("symusic")]
    assert pins
    assert all("<0.6" in pin for pin in pins)


@pytest.mark.parametrize("name", ["theorykit", "theorykit.widgets"])
def test_every_public_name_has_the_same_home_for_python_and_for_type_checkers(name: str):
    """``__init__.py`` imports a name when it is asked for; ``__init__.pyi`` says where from."""
    file = ROOT.joinpath(*name.split("."), "__init__.pyi")
    homes = {
        alias.name: node.module
        for node in ast.parse(file.read_text(encoding="utf-8")).body
        if isinstance(node, ast.ImportFrom)
        for alias in node.names
    }
    package = importlib.import_module(name)
    assert sorted(homes) == sorted(package.__all__)
    assert set(dir(package)) >= set(homes)
    for public, home in homes.items():
        assert getattr(package, public) is getattr(importlib.import_module(str(home)), public)
    with pytest.raises(AttributeError, match="bagpipe"):
        package.bagpipe  # noqa: B018  (asking is the test)
