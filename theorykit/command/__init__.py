"""Command: what ``theorykit`` does in a terminal."""

from theorykit.command.commands import main

__all__ = ["main"]
