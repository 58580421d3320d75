"""The tools that read the code without running it, so that one command runs every check."""

import subprocess
import sys

import pytest
from house import ROOT


@pytest.mark.parametrize(
    "tool", ["ruff check .", "ruff format --check .", "mypy"], ids=lambda tool: tool.rstrip(" .")
)
def test_the_tool_finds_nothing(tool: str):
    run = subprocess.run(
        [sys.executable, "-m", *tool.split()], cwd=ROOT, capture_output=True, text=True
    )
    assert run.returncode == 0, run.stdout + run.stderr
