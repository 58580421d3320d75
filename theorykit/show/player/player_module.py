"""The module of the player: one control, one clock and one band, for notebooks and for pages."""

from __future__ import annotations

from functools import cache
from pathlib import Path

_HERE = Path(__file__).parent
_MODULE = ("timeline", "band", "supply", "elements", "bars", "control", "alone")


@cache
def player_script(*more: str) -> str:
    """Return the text of the module; ``more`` are names of files that stand at its end.

    >>> "export default" in player_script()
    True
    """
    return "\n".join(_text(f"{name}.js") for name in (*_MODULE, *more))


@cache
def cell_script() -> str:
    """Return what a cell has instead of the module, which it finds in the page.

    Something in the page has ``player_script("arrival")``.
    """
    return _text("cell.js")


@cache
def player_style(*more: str) -> str:
    """Return the style sheet of the control; ``more`` are names of sheets after it."""
    return "\n".join(_text(f"{name}.css") for name in ("control", *more))


def _text(name: str) -> str:
    """Return the text of a file that lies here."""
    return (_HERE / name).read_text("utf-8")
