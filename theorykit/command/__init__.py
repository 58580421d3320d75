"""Command: what ``theorykit`` does in a terminal, and what students hand in from a notebook.

A folder of a class is imported when it is asked for: a command needs none of its packages to start.
"""

from importlib import import_module
from typing import TYPE_CHECKING

from theorykit.command.commands import main

if TYPE_CHECKING:
    from theorykit.command.class_folder import ClassFolder, hand_in

__all__ = ["ClassFolder", "hand_in", "main"]


def __getattr__(name: str) -> object:
    """Return a name of the folder of a class."""
    if name not in __all__:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    return getattr(import_module(f"{__name__}.class_folder"), name)
