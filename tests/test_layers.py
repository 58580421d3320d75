"""The rooms of the house: what each file may import, read from the imports it writes."""

import ast
import graphlib
import re
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest
from house import ARRAYS, CORE, EDGE, LIBRARIES, PACKAGE, ROOMS, ROOT

FILES = sorted(PACKAGE.rglob("*.py"))


def module(file: Path) -> str:
    """Name a file as Python does: theorykit.notes.chord."""
    parts = file.relative_to(ROOT).with_suffix("").parts
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)


def imported(file: Path, *, types: bool = True) -> Iterator[str]:
    """Yield the full name of everything a file imports, wherever in the file it does.

    Without ``types``, what is imported for the type checker alone is left out.
    """
    package = module(file).split(".")
    inside = package if file.name == "__init__.py" else package[:-1]
    for node in walk(ast.parse(file.read_text(encoding="utf-8")), types):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            start = inside[: len(inside) - node.level + 1] if node.level else []
            base = ".".join([*start, *filter(None, [node.module])])
            yield from (f"{base}.{alias.name}" for alias in node.names)


def walk(node: ast.AST, types: bool) -> Iterator[ast.AST]:
    """Yield a piece of code and all its parts."""
    if types or not (isinstance(node, ast.If) and ast.unparse(node.test) == "TYPE_CHECKING"):
        yield node
        for part in ast.iter_child_nodes(node):
            yield from walk(part, types)


def room(name: str) -> str:
    """The room of a full name: harmony for theorykit.harmony.colours; nothing for the front."""
    return f"{name}..".split(".")[1]


def third_party(file: Path) -> set[str]:
    """The libraries outside Python and outside this package that a file imports."""
    tops = {name.split(".")[0] for name in imported(file)}
    return tops - set(sys.stdlib_module_names) - {"theorykit"}


def in_rooms(*rooms: str) -> list[Path]:
    """The files of these rooms."""
    return [file for file in FILES if room(module(file)) in rooms]


def test_every_file_stands_in_a_room():
    assert {room(module(file)) for file in FILES} - {""} <= set(ROOMS)


def test_the_page_for_contributors_lists_the_same_rooms():
    page = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    listed = re.findall(r"^\| `theorykit/(\w+)(?:/|\.py)` \|", page, re.MULTILINE)
    assert tuple(listed) == ROOMS


def test_the_page_for_contributors_lists_the_same_libraries():
    page = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    for name, libraries in LIBRARIES.items():
        row = re.search(rf"^\| `theorykit/{name}/` \|.*\|(.*)\|$", page, re.MULTILINE)
        assert row is not None
        assert set(re.findall(r"`(\w+)`", row[1])) - {ARRAYS} == libraries


@pytest.mark.parametrize("file", FILES, ids=module)
def test_a_file_imports_only_its_own_room_and_those_before_it(file: Path):
    here = room(module(file))
    allowed = set(ROOMS[: ROOMS.index(here) + 1]) if here else set(CORE)
    ours = {name for name in imported(file) if name.split(".")[0] == "theorykit"}
    assert {name for name in ours if room(name) not in allowed} == set()


@pytest.mark.parametrize("file", [PACKAGE / "__init__.py", *in_rooms(*CORE)], ids=module)
def test_the_core_imports_the_standard_library_alone(file: Path):
    assert third_party(file) == set()


@pytest.mark.parametrize("file", in_rooms(*EDGE), ids=module)
def test_a_file_at_the_edge_imports_what_its_room_may(file: Path):
    libraries = third_party(file) - {ARRAYS}
    assert libraries <= LIBRARIES[room(module(file))]
    if room(module(file)) == "show":
        assert len(libraries) <= 1


def test_no_two_files_import_each_other():
    names = {module(file) for file in FILES}
    graph = {
        module(file): {
            name if name in names else name.rpartition(".")[0]
            for name in imported(file, types=False)
            if name.startswith("theorykit")
        }
        for file in FILES
    }
    graphlib.TopologicalSorter(graph).prepare()  # raises CycleError and names the cycle
