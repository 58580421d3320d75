"""Readying: what is done as the student, before the student's server starts."""

from __future__ import annotations

import os
import sys
from pathlib import Path

from theorykit.command import ClassFolder
from theorykit.command.own_copy import copy_workbook
from theorykit.errors import TheoryError

PRIVATE = 0o700
CLASS = "THEORYKIT_CLASS"


def make_ready() -> None:
    """Close the student's home, and copy the workbook and what was given into it.

    A disk that is full keeps nobody from the work that is there.
    """
    home = Path.home()
    home.chmod(PRIVATE)
    try:
        copy_workbook(home / "workbook")
        if given := os.environ.get(CLASS, ""):
            ClassFolder(given).take_given(home / "workbook" / "given")
    except (OSError, TheoryError) as problem:
        print(f"theorykit: {problem}", file=sys.stderr)
