"""Readying: what is done as the student, before the student's server starts."""

from __future__ import annotations

from pathlib import Path

from theorykit.command.own_copy import copy_workbook

PRIVATE = 0o700


def make_ready() -> None:
    """Close the student's home to others, and copy the workbook into it."""
    home = Path.home()
    home.chmod(PRIVATE)
    copy_workbook(home / "workbook")
