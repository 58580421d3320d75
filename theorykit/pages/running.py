"""Running a chapter: its cells one after the other, in this Python, and what each of them shows."""

from __future__ import annotations

import ast
import io
import json
from collections.abc import Callable, Iterator
from contextlib import redirect_stdout
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from theorykit.errors import TheoryError, shown

__all__ = ["Cell", "run_chapter"]

LARGEST = 5_000_000  # bytes of a chapter

# What is shown in the place of a call: given its keywords, the HTML; by the name of the function.
Instead = dict[str, Callable[[dict[str, Any]], str]]


@dataclass(frozen=True, slots=True)
class Cell:
    """A cell as it stands on a page.

    ``words`` is the text of a text cell, ``code`` that of a code cell, which is ``folded`` where
    its picture or player is the point; ``printed`` is what it said, ``value`` what it ended in, and
    ``instead`` the HTML that stands in the place of that.
    """

    words: str = ""
    code: str = ""
    folded: bool = False
    printed: str = ""
    value: object = None
    instead: str = ""


def run_chapter(file: Path, instead: Instead) -> Iterator[Cell]:
    """Yield the cells of a chapter as they are run; the first that fails is told with its place.

    The current folder has to be that of the chapter. Calls that ``instead`` names are not made.
    """
    names: dict[str, Any] = {"__name__": "__main__"}
    for number, cell in enumerate(_cells(file)):
        source = "".join(cell["source"])
        if cell["cell_type"] != "code":
            yield Cell(words=source)
            continue
        folded = bool(cell.get("metadata", {}).get("jupyter", {}).get("source_hidden"))
        try:
            yield _run(source, folded, names, instead)
        except Exception as wrong:
            place = f"{file.name}, cell {number}"
            raise TheoryError(f"{place}: {type(wrong).__name__}: {wrong}") from wrong


def _cells(file: Path) -> list[dict[str, Any]]:
    """Return the cells of a notebook, refusing what is none."""
    try:
        data = file.read_bytes()
        return list(json.loads(data if len(data) <= LARGEST else b"")["cells"])
    except (OSError, ValueError, TypeError, KeyError):
        raise TheoryError(f"not a chapter: {shown(str(file))} (want a notebook)") from None


def _run(source: str, folded: bool, names: dict[str, Any], instead: Instead) -> Cell:
    """Run one cell of code and return it with what it showed."""
    tree = ast.parse(source)
    last = tree.body[-1] if tree.body else None
    said = io.StringIO()
    value, other = None, ""
    with redirect_stdout(said):
        if isinstance(last, ast.Expr):
            _execute(tree.body[:-1], names)
            call = _call(last.value)
            if call is not None and call[0] in instead:
                other = instead[call[0]](call[1])
            else:
                value = eval(compile(ast.Expression(last.value), "<cell>", "eval"), names)
        else:
            _execute(tree.body, names)
    return Cell("", source, folded, said.getvalue(), value, other)


def _execute(body: list[ast.stmt], names: dict[str, Any]) -> None:
    """Run statements."""
    exec(compile(ast.Module(body, []), "<cell>", "exec"), names)


def _call(node: ast.expr) -> tuple[str, dict[str, Any]] | None:
    """Return the name of a function that is called, and its keywords if they are plain."""
    if not isinstance(node, ast.Call) or not isinstance(node.func, ast.Name):
        return None
    try:
        return node.func.id, {one.arg or "": ast.literal_eval(one.value) for one in node.keywords}
    except ValueError:
        return node.func.id, {}
