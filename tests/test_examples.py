"""Examples: every public name has one that runs, and that a reader can copy."""

from __future__ import annotations

import ast
import builtins
import doctest
import inspect
from collections.abc import Iterator

import pytest

import theorykit
from theorykit.notes.values import Value

PARSER = doctest.DocTestParser()
TABLES = frozenset("COLOURS FORMS KEYS KINDS_OF_QUESTION SCALES".split())
GIVEN = frozenset((*theorykit.__all__, *dir(builtins)))  # after ``from theorykit import *``


def members(public: type) -> Iterator[tuple[str, str]]:
    """The public methods and properties that our own classes give a class, with what is said."""
    ours = (one for one in public.__mro__ if one.__module__.startswith("theorykit"))
    for home in ours:
        for name, value in vars(home).items():
            inner = getattr(value, "__func__", getattr(value, "fget", value))
            if not name.startswith("_") and inspect.isfunction(inner):
                yield name, inner.__doc__ or ""


def said(name: str) -> str:
    """The documentation of a public name; tables have it in ``help(theorykit)``."""
    return inspect.getdoc(theorykit if name in TABLES else getattr(theorykit, name)) or ""


def code(text: str) -> list[ast.AST]:
    """The examples of a documentation, read as code."""
    return [ast.parse(one.source) for one in PARSER.get_examples(text)]


def used(text: str) -> set[str]:
    """Every name and every attribute that the examples of a documentation use."""
    nodes = [node for tree in code(text) for node in ast.walk(tree)]
    names = {node.id for node in nodes if isinstance(node, ast.Name)}
    return names | {node.attr for node in nodes if isinstance(node, ast.Attribute)}


def without_example() -> Iterator[str]:
    """Public names, and methods of them, that no example beside them uses."""
    for name in theorykit.__all__:
        shown = used(said(name))
        if name not in shown and not inherited_way(name, shown):
            yield name
        public = getattr(theorykit, name)
        for member, words in members(public) if inspect.isclass(public) else ():
            if member not in used(words) | shown:
                yield f"{name}.{member}"


def inherited_way(name: str, shown: set[str]) -> bool:
    """Tell whether a result, which nobody makes by hand, is shown where it comes from."""
    return name in RESULTS and bool(shown)


RESULTS = frozenset(
    "Cadence Chorus Evidence Function Identification Resolution Shortcut Subset Substitute".split()
)


def test_every_public_name_has_an_example():
    assert list(without_example()) == []


def strangers(text: str) -> set[str]:
    """The names that examples use and that neither they nor the front door bring."""
    found: set[str] = set()
    brought = set(GIVEN)
    for tree in code(text):
        for node in ast.walk(tree):
            if isinstance(node, ast.alias):
                brought.add(node.asname or node.name.partition(".")[0])
            elif isinstance(node, ast.ClassDef | ast.FunctionDef):
                brought.add(node.name)
            elif isinstance(node, ast.ExceptHandler):
                brought.add(node.name or "")
            elif isinstance(node, ast.arg):
                brought.add(node.arg)
            elif isinstance(node, ast.Name) and not isinstance(node.ctx, ast.Load):
                brought.add(node.id)
        names = (node for node in ast.walk(tree) if isinstance(node, ast.Name))
        found |= {node.id for node in names if node.id not in brought}
    return found


@pytest.mark.parametrize("name", sorted(theorykit.__all__))
def test_an_example_needs_nothing_but_what_a_reader_has(name: str):
    public = getattr(theorykit, name)
    texts = [words for _, words in members(public)] if inspect.isclass(public) else []
    assert {one for text in (said(name), *texts) for one in strangers(text)} == set()


def test_an_example_that_says_nothing_of_its_name_is_none():
    assert used("Text with Note in it.\n\n>>> Chord.parse('G7').notes\n") == {
        "Chord", "parse", "notes",
    }  # fmt: skip
    assert strangers(">>> from fractions import Fraction as F\n>>> F(1), spam") == {"spam"}
    assert "words_ascii" in dict(members(theorykit.Chord))
    assert "words_ascii" in dict(members(Value))
