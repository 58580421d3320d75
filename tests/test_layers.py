"""The rooms of the house: what each file may import, read from the imports it writes."""

import ast
import graphlib
import json
import re
import sys
from collections import Counter
from collections.abc import Iterator
from functools import cache
from pathlib import Path

from house import (
    ARRAYS,
    CORE,
    DOORS,
    EDGE,
    LATE,
    LIBRARIES,
    PACKAGE,
    ROOMS,
    ROOT,
    SYNTHESIZER,
)
from together import together

FILES = sorted(PACKAGE.rglob("*.py"))
MOST_NAMES = 15  # a front is looked over at a glance
MOST_FILES, MOST_LINES = 16, 400  # in a folder, fronts counted; in a file


def module(file: Path) -> str:
    """Name a file as Python does: theorykit.notes.chord."""
    parts = file.relative_to(ROOT).with_suffix("").parts
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)


@cache
def tree(file: Path) -> ast.Module:
    """What a file says, read once."""
    return ast.parse(file.read_text(encoding="utf-8"))


@cache
def imported(file: Path, *, types: bool = True, inside: bool = True) -> tuple[str, ...]:
    """The full name of everything a file imports, wherever in the file it does.

    Without ``types``, what is imported for the type checker alone is left out; without ``inside``,
    what a function imports when it is called.
    """
    package = module(file).split(".")
    home = package if file.name == "__init__.py" else package[:-1]
    found: list[str] = []
    for node in walk(tree(file), types, inside):
        if isinstance(node, ast.Import):
            found.extend(alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            start = home[: len(home) - node.level + 1] if node.level else []
            base = ".".join([*start, *filter(None, [node.module])])
            found.extend(f"{base}.{alias.name}" for alias in node.names)
    return tuple(found)


def walk(node: ast.AST, types: bool, inside: bool = True) -> Iterator[ast.AST]:
    """Yield a piece of code and all its parts."""
    left = [node]
    while left:
        part = left.pop()
        if not types and isinstance(part, ast.If) and ast.unparse(part.test) == "TYPE_CHECKING":
            continue
        if not inside and isinstance(part, ast.FunctionDef | ast.AsyncFunctionDef | ast.Lambda):
            continue
        yield part
        left.extend(ast.iter_child_nodes(part))


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


@together("file", FILES, ids=module)
def test_a_file_imports_only_its_own_room_and_those_before_it(file: Path):
    here = room(module(file))
    allowed = set(ROOMS[: ROOMS.index(here) + 1]) if here else set(CORE)
    ours = {name for name in imported(file) if name.split(".")[0] == "theorykit"}
    assert {name for name in ours if room(name) not in allowed} == set()


@together("file", [PACKAGE / "__init__.py", *in_rooms(*CORE)], ids=module)
def test_the_core_imports_the_standard_library_alone(file: Path):
    assert third_party(file) == set()


@together("file", in_rooms(*EDGE), ids=module)
def test_a_file_at_the_edge_imports_what_its_room_may(file: Path):
    libraries = third_party(file) - {ARRAYS}
    assert libraries <= LIBRARIES[room(module(file))]
    if room(module(file)) == "show":
        assert len(libraries) <= 1


MODULES = frozenset(map(module, FILES))


def ours(file: Path) -> Iterator[str]:
    """The modules of this package that a file imports, names to check types included."""
    for name in imported(file):
        if name.split(".")[0] == "theorykit":
            yield name if name in MODULES else name.rpartition(".")[0]


@cache
def folder(name: str) -> str:
    """The folder inside a room that a module stands in; nothing for a module of the room itself."""
    parts = name.split(".")
    whole = ".".join(parts[:3])
    return whole if (PACKAGE.parent / Path(*parts[:3])).is_dir() and len(parts) > 2 else ""


@together(("library", "door"), DOORS.items(), ids=lambda name: name)
def test_a_library_behind_a_door_is_imported_there_alone(library: str, door: str):
    assert [module(file) for file in FILES if library in third_party(file)] == [door]


def test_only_the_door_of_sound_asks_the_synthesizer():
    inside = SYNTHESIZER | {DOORS["soundfile"]}
    asking = {
        module(file)
        for file in FILES
        for name in imported(file)
        if {name, name.rpartition(".")[0]} & SYNTHESIZER
    }
    assert {DOORS["soundfile"]} < asking <= inside


@together("file", FILES, ids=module)
def test_what_a_start_would_wait_for_is_imported_when_it_has_work(file: Path):
    at_start = {name.split(".")[0] for name in imported(file, types=False, inside=False)}
    assert at_start & LATE == set()


def test_no_two_files_import_each_other():
    """Not even to name a type for the checker: what needs that is one file, or three."""
    graph = {module(file): set(ours(file)) - {module(file)} for file in FILES}
    graphlib.TopologicalSorter(graph).prepare()  # raises CycleError and names the cycle


def test_no_two_folders_import_each_other():
    def part(name: str) -> str:
        return folder(name) or name

    graph: dict[str, set[str]] = {}
    for file in FILES:
        here = part(module(file))
        graph.setdefault(here, set()).update(part(name) for name in ours(file))
        graph[here].discard(here)
    graphlib.TopologicalSorter(graph).prepare()


@together("file", FILES, ids=module)
def test_a_folder_is_entered_by_its_front(file: Path):
    here = folder(module(file))
    fronts = {folder(name) for name in ours(file)}
    behind = {name for name in ours(file) if folder(name) and name not in fronts}
    assert {name for name in behind if folder(name) != here} == set()


def public(file: Path) -> list[str]:
    """The names that a module lists in ``__all__``."""
    for node in tree(file).body:
        if isinstance(node, ast.Assign) and ast.unparse(node.targets[0]) == "__all__":
            return [str(name) for name in ast.literal_eval(node.value)]
    return []


@cache
def asked() -> dict[str, set[str]]:
    """Who asks for each full name: modules, tests, chapters, and the front of the package."""
    users: dict[str, set[str]] = {}
    for file in [*FILES, *sorted((ROOT / "tests").rglob("*.py"))]:
        for name in imported(file):
            users.setdefault(name, set()).add(module(file))
    for chapter in sorted((ROOT / "workbook").glob("*.ipynb")):
        for cell in json.loads(chapter.read_text(encoding="utf-8"))["cells"]:
            if cell["cell_type"] == "code":
                for node in ast.walk(ast.parse("".join(cell["source"]))):
                    if isinstance(node, ast.ImportFrom):
                        for alias in node.names:
                            users.setdefault(f"{node.module}.{alias.name}", set()).add(chapter.stem)
    for stub in PACKAGE.rglob("*.pyi"):
        for node in ast.parse(stub.read_text(encoding="utf-8")).body:
            if isinstance(node, ast.ImportFrom):
                for alias in node.names:
                    users.setdefault(f"{node.module}.{alias.name}", set()).add(str(stub))
    return users


LAZY = {PACKAGE / "__init__.py", PACKAGE / "widgets" / "__init__.py"}  # they list what they look up
LISTING = [file for file in FILES if file not in LAZY and public(file)]


@together("file", LISTING, ids=module)
def test_every_public_name_has_a_user_outside(file: Path):
    here = module(file)
    room_of_front = f"{here}." if file.name == "__init__.py" else here
    lonely = [
        name
        for name in public(file)
        if not any(not user.startswith(room_of_front) for user in asked().get(f"{here}.{name}", ()))
    ]
    assert lonely == []


@together("file", [file for file in FILES if folder(module(file))], ids=module)
def test_only_the_front_of_a_folder_lists_names(file: Path):
    if file.name == "__init__.py":
        assert 0 < len(public(file)) <= MOST_NAMES
    else:
        assert public(file) == []


def test_no_name_of_a_file_comes_twice():
    names = [file.stem for file in FILES if file.name != "__init__.py"]
    assert sorted(name for name in set(names) if names.count(name) > 1) == []


def test_folders_and_files_can_be_taken_in():
    """A dozen files or so in a folder; a file is read in one sitting."""
    files = Counter(str(file.parent) for file in FILES)
    assert {name: count for name, count in files.items() if count > MOST_FILES} == {}
    lines = {module(file): len(file.read_text(encoding="utf-8").splitlines()) for file in FILES}
    assert {name: count for name, count in lines.items() if count > MOST_LINES} == {}


@together("file", FILES, ids=module)
def test_a_module_says_in_its_first_line_what_it_holds(file: Path):
    said = ast.get_docstring(tree(file)) or ""
    first = said.splitlines()[0]
    assert first.endswith((".", ":"))
    assert first.split()[0] not in {"What", "How", "Where", "When", "Why", "Which", "Whether"}
