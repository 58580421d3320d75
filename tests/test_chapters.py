"""How the chapters are made, and what those on harmony use: each colour and substitute."""

import ast
import json
import re
from collections import defaultdict
from collections.abc import Iterable, Iterator
from pathlib import Path

import pytest
from house import ROOT
from together import together

from theorykit import COLOURS, Chord, Key, TheoryError, colour
from theorykit.harmony.substitution import NAMES
from theorykit.study.course import chapter

ALL = sorted((ROOT / "workbook").glob("[0-9][0-9]_*.ipynb"))
CHAPTERS = [file for file in ALL if "03" <= file.name[:2] <= "08"]
LEAST_KEYS = 3
FIFTH = 5  # half steps from a dominant up to the chord it leads to

# The functions by whose arguments a colour or a substitute is used.
COLOUR_CALLS = {"colour", "demonstration", "hear", "see_colours", "shortcuts"}
SUBSTITUTE_CALLS = {"hear_substitute", "in_place", "substitute", "with_substitute"}


def sources(file: Path) -> list[str]:
    """The code cells of a notebook."""
    found = json.loads(file.read_text(encoding="utf-8"))["cells"]
    return ["".join(cell["source"]) for cell in found if cell["cell_type"] == "code"]


def uses(cells: Iterable[str], calls: set[str]) -> Iterator[set[str]]:
    """Yield the texts of each cell that calls one of these functions, names looked up."""
    known: dict[str, set[str]] = {}
    for source in cells:
        tree = ast.parse(source)
        for node in ast.walk(tree):
            if isinstance(node, ast.Assign) and isinstance(node.targets[0], ast.Name):
                known[node.targets[0].id] = texts(node.value, known)
        named = {node.id for node in ast.walk(tree) if isinstance(node, ast.Name)}
        if calls & named:
            yield texts(tree, known)


def texts(tree: ast.AST, known: dict[str, set[str]]) -> set[str]:
    """The texts in a piece of code, those of names among them."""
    found: set[str] = set()
    for node in ast.walk(tree):
        if isinstance(node, ast.Constant) and isinstance(node.value, str):
            found.add(node.value)
        elif isinstance(node, ast.Name):
            found |= known.get(node.id, set())
    return found


def key_of(text: str) -> int | None:
    """The tonic of a key, or of the key that a dominant leads to, by half steps above C."""
    try:
        return Key.parse(text).tonic.semitone
    except TheoryError:
        pass
    try:
        chord = Chord.parse(text)
    except TheoryError:
        return None
    return (chord.root.semitone + FIFTH) % 12 if chord.kind.is_dominant else None


def colour_of(text: str) -> str | None:
    """The name of the colour that a text names."""
    try:
        return colour(text).name
    except TheoryError:
        return None


def keys_by_name(calls: set[str], name_of) -> dict[str, set[int]]:
    """The keys in which each name is used, over all chapters."""
    found: dict[str, set[int]] = defaultdict(set)
    for file in CHAPTERS:
        for strings in uses(sources(file), calls):
            keys = {key_of(text) for text in strings} - {None}
            for name in {name_of(text) for text in strings} - {None}:
                found[name] |= keys
    return found


BY_COLOUR = keys_by_name(COLOUR_CALLS, colour_of)
BY_SUBSTITUTE = keys_by_name(SUBSTITUTE_CALLS, lambda text: text if text in NAMES else None)


def test_the_start_leads_to_every_chapter_that_the_page_for_the_reader_names():
    start = json.loads((ROOT / "workbook" / "00_start_here.ipynb").read_text(encoding="utf-8"))
    text = "\n".join("".join(cell["source"]) for cell in start["cells"])
    table = re.findall(r"(?:^\| .* \|\n)+", text.partition("|---|---|\n")[2], re.MULTILINE)[0]
    rows = re.findall(
        r"^\| \[(\d+) [^]]+\]\((\d\d_\w+)\.ipynb\) \| (.*\?) \|$", table, re.MULTILINE
    )
    assert text.count("\n| ") == len(rows) + 1  # all in one table, under one head
    page = (ROOT / "README.md").read_text(encoding="utf-8")
    named = re.findall(r"^\| `(\d\d_\w+)` \|", page, re.MULTILINE)
    assert [name for _, name, _ in rows] == [name for name in named if name != "00_start_here"]
    for number, name, question in rows:
        first = json.loads((ROOT / "workbook" / f"{name}.ipynb").read_text(encoding="utf-8"))
        title = "".join(first["cells"][0]["source"]).splitlines()[0]
        assert (int(number), f"# {question}") == (int(name[:2]), title)


def test_the_chapters_on_harmony_are_there():
    assert [file.name[:2] for file in CHAPTERS] == ["03", "04", "05", "06", "07", "08"]


@together("row", COLOURS, ids=str)
def test_every_colour_is_used_in_three_keys(row):
    assert len(BY_COLOUR[row.name]) >= LEAST_KEYS


@together("name", NAMES)
def test_every_substitute_is_used_in_three_keys(name):
    assert len(BY_SUBSTITUTE[name]) >= LEAST_KEYS


def test_a_use_is_found_through_names_and_not_where_nothing_is_called():
    cells = ['two = ["b9", "#9"]', 'see_colours(["C", "E♭"], two)', 'print("altered", "C")']
    (found,) = uses(cells, COLOUR_CALLS)
    assert found == {"b9", "#9", "C", "E♭"}
    assert {key_of(text) for text in ("C", "G7", "E♭ minor", "Dm7", "b9")} == {0, 3, None}


# The form of a chapter.

each_chapter = together("file", ALL, ids=lambda file: file.stem)
ASKED_FIRST = {"04": 4, "05": 5, "07": 7, "11": 11}  # before a table shows all keys
MANY_KEYS = 6  # a row of a table with all of them
NUMBERS = {word: n for n, word in enumerate("four five six seven eight".split(), 4)}


def cells(file: Path) -> list[tuple[str, str, dict]]:
    """The cells of a chapter: kind, text, metadata."""
    found = json.loads(file.read_text(encoding="utf-8"))["cells"]
    return [(cell["cell_type"], "".join(cell["source"]), cell["metadata"]) for cell in found]


def shown(file: Path) -> set[str]:
    """The names that stand for a picture, a player or a widget in a chapter."""
    found: set[str] = set()
    for source in sources(file):
        for node in ast.walk(ast.parse(source)):
            if isinstance(node, ast.ImportFrom) and str(node.module).startswith(SHOWING):
                found |= {alias.name for alias in node.names}
            made = isinstance(node, ast.Assign) and called(node.value) in found & KEPT
            if made and isinstance(node.targets[0], ast.Name):
                found.add(node.targets[0].id)
    return found


SHOWING = ("theorykit.show", "theorykit.widgets")
KEPT = {"explorer", "line_desk", "tune_desk"}  # widgets that a later cell takes over


def called(node: ast.AST) -> str:
    """The name of the function that is called, or of the value that is named."""
    name = node.func if isinstance(node, ast.Call) else node
    return name.id if isinstance(name, ast.Name) else ""


@each_chapter
def test_a_cell_is_folded_where_it_ends_in_a_picture_a_player_or_a_widget(file: Path):
    names = shown(file)
    for kind, source, about in cells(file):
        if kind == "code":
            last = ast.parse(source).body[-1]
            shows = isinstance(last, ast.Expr) and called(last.value) in names
            assert about == ({"jupyter": {"source_hidden": True}} if shows else {}), source


def test_the_start_tells_once_that_code_is_folded():
    texts = {file.name[:2]: " ".join(t for kind, t, _ in cells(file) if kind == "markdown")
             for file in ALL}  # fmt: skip
    assert [number for number, text in texts.items() if "**folded**" in text] == ["00"]


@each_chapter
def test_a_chapter_stays_at_its_top(file: Path):
    (second,) = [source for kind, source, _ in cells(file)[1:2] if kind == "code"]
    assert second.endswith("\n\nfrom_the_top()")


@each_chapter
def test_a_chapter_ends_in_questions_and_states_nothing(file: Path):
    row = chapter(int(file.name[:2]))
    (_, words, _), (kind, asking, _), _ = cells(file)[-3:]
    head, told, can_do = " ".join(words.split()).partition(" **When you get these right:** ")
    assert head.startswith("## Check yourself ")
    assert (told != "", can_do) == (True, row.can_do)
    assert (kind, asking.splitlines()[-1]) == ("code", f"drill(chapter={row.number})")
    count = NUMBERS.get(head.removeprefix("## Check yourself ").split()[0].lower())
    assert count in (None, len(row.asked))
    for source in sources(file):
        assert not any(isinstance(node, ast.Assert) for node in ast.walk(ast.parse(source)))


@each_chapter
def test_a_chapter_leads_on_and_back_and_to_the_contents(file: Path):
    place = ALL.index(file)
    links = re.findall(r"(Previous: |Next: )?\[([^]]+)\]\((\w+\.ipynb)\)", cells(file)[-1][1])
    wanted = [(before, other.name) for before, other in (
        ("Previous: ", ALL[place - 1] if place else None),
        ("", ALL[0] if place else None),
        ("Next: ", ALL[place + 1] if place + 1 < len(ALL) else None),
    ) if other]  # fmt: skip
    assert [(before, name) for before, _, name in links] == wanted
    for before, name, book in links:
        assert not before or name.split()[0] == str(int(book[:2]))


@each_chapter
def test_every_link_of_a_chapter_leads_to_a_file(file: Path):
    text = " ".join(source for kind, source, _ in cells(file) if kind == "markdown")
    for target in re.findall(r"\]\(([^)#]+)", text):
        assert (file.parent / target).is_file(), target


def drilled(source: str) -> tuple[int, int]:
    """The chapter and the number of keys that a cell asks in; noughts where it asks nothing."""
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.Call) and called(node) == "drill":
            given = {one.arg: ast.literal_eval(one.value) for one in node.keywords}
            return given["chapter"], len(given.get("keys", ()))
    return 0, 0


@pytest.mark.parametrize(("number", "asked"), ASKED_FIRST.items())
def test_a_reader_is_asked_in_three_keys_before_a_table_shows_all(number: str, asked: int):
    (file,) = (ROOT / "workbook").glob(f"{number}_*.ipynb")
    found = sources(file)
    first = next(place for place, source in enumerate(found) if drilled(source) == (asked, 3))
    tables = [
        place
        for place, source in enumerate(found)
        for node in ast.walk(ast.parse(source))
        if isinstance(node, ast.Call)
        and called(node) == "see_colours"
        and len(ast.literal_eval(node.args[0])) >= MANY_KEYS
    ]
    assert len(tables) >= 2
    assert first < min(tables)
