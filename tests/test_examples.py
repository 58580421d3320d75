"""Examples: every public name has one that runs, and that a reader can copy."""

from __future__ import annotations

import ast
import builtins
import doctest
import inspect
from collections.abc import Iterator
from types import ModuleType

import pytest

import theorykit
import theorykit.handout
import theorykit.widgets
from theorykit.notes.values import Value

PARSER = doctest.DocTestParser()
FRONTS = (theorykit, theorykit.handout, theorykit.widgets)
CONTROLS = theorykit.widgets  # its classes are pages of controls, made by its functions


def members(public: type) -> Iterator[tuple[str, str]]:
    """The public methods and properties that our own classes give a class, with what is said."""
    ours = (one for one in public.__mro__ if one.__module__.startswith("theorykit"))
    for home in ours:
        for name, value in vars(home).items():
            inner = getattr(value, "__func__", getattr(value, "fget", value))
            if not name.startswith("_") and inspect.isfunction(inner):
                yield name, inner.__doc__ or ""


def said(front: ModuleType, name: str) -> str:
    """The documentation of a public name; that of a table is in the help of its front."""
    public = getattr(front, name)
    return inspect.getdoc(public if callable(public) else front) or ""


def code(text: str) -> list[ast.AST]:
    """The examples of a documentation, read as code."""
    return [ast.parse(one.source) for one in PARSER.get_examples(text)]


def used(text: str) -> set[str]:
    """Every name and every attribute that the examples of a documentation use."""
    nodes = [node for tree in code(text) for node in ast.walk(tree)]
    names = {node.id for node in nodes if isinstance(node, ast.Name)}
    return names | {node.attr for node in nodes if isinstance(node, ast.Attribute)}


def without_example(front: ModuleType) -> Iterator[str]:
    """Public names, and methods of them, that no example beside them uses."""
    for name in front.__all__:
        public, shown = getattr(front, name), used(said(front, name))
        made_elsewhere = name in RESULTS and shown
        is_control = inspect.isclass(public) and front is CONTROLS
        if name not in shown and not made_elsewhere and not is_control:
            yield name
        for member, words in members(public) if inspect.isclass(public) and not is_control else ():
            if member not in used(words) | shown:
                yield f"{name}.{member}"


# What nobody makes by hand, shown where it comes from.
RESULTS = frozenset(
    "Cadence Chorus Evidence Function Identification Resolution Shortcut Subset Substitute".split()
)


@pytest.mark.parametrize("front", FRONTS, ids=lambda front: front.__name__)
def test_every_public_name_has_an_example(front: ModuleType):
    assert list(without_example(front)) == []


def strangers(text: str, front: ModuleType = theorykit) -> set[str]:
    """The names that examples use and that neither they nor a front bring by ``import *``."""
    found: set[str] = set()
    brought = {*theorykit.__all__, *front.__all__, *dir(builtins)}
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


@pytest.mark.parametrize("front", FRONTS, ids=lambda front: front.__name__)
def test_an_example_needs_nothing_but_what_a_reader_has(front: ModuleType):
    for name in front.__all__:
        public = getattr(front, name)
        texts = [words for _, words in members(public)] if inspect.isclass(public) else []
        found = {one for text in (said(front, name), *texts) for one in strangers(text, front)}
        assert found == set(), name


def test_an_example_that_says_nothing_of_its_name_is_none():
    assert used("Text with Note in it.\n\n>>> Chord.parse('G7').notes\n") == {
        "Chord", "parse", "notes",
    }  # fmt: skip
    assert strangers(">>> from fractions import Fraction as F\n>>> F(1), spam") == {"spam"}
    assert "words_ascii" in dict(members(theorykit.Chord))
    assert "words_ascii" in dict(members(Value))
