"""What the chapters on harmony use between them: each colour and substitute, in three keys."""

import ast
import json
import re
from collections import defaultdict
from collections.abc import Iterable, Iterator
from pathlib import Path

import pytest
from house import ROOT

from theorykit import COLOURS, Chord, Key, TheoryError, colour
from theorykit.harmony.substitution import NAMES

CHAPTERS = sorted((ROOT / "workbook").glob("0[3-8]_*.ipynb"))
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


@pytest.mark.parametrize("row", COLOURS, ids=str)
def test_every_colour_is_used_in_three_keys(row):
    assert len(BY_COLOUR[row.name]) >= LEAST_KEYS


@pytest.mark.parametrize("name", NAMES)
def test_every_substitute_is_used_in_three_keys(name):
    assert len(BY_SUBSTITUTE[name]) >= LEAST_KEYS


def test_a_use_is_found_through_names_and_not_where_nothing_is_called():
    cells = ['two = ["b9", "#9"]', 'see_colours(["C", "E♭"], two)', 'print("altered", "C")']
    (found,) = uses(cells, COLOUR_CALLS)
    assert found == {"b9", "#9", "C", "E♭"}
    assert {key_of(text) for text in ("C", "G7", "E♭ minor", "Dm7", "b9")} == {0, 3, None}
