"""Command: what ``theorykit`` does in a terminal, and what students hand in from a notebook."""

from theorykit.command.class_folder import ClassFolder, hand_in
from theorykit.command.commands import main

__all__ = ["ClassFolder", "hand_in", "main"]
