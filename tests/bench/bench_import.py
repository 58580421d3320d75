"""What it costs a Python that starts to import the library, and to show the explorer."""

import os
import subprocess
import sys
import tempfile
from functools import cache

from house import ROOT
from measure import Bench, adds_at_most, at_most_times

# What the explorer cannot do without: controls, arrays, an engraver, an encoder of sound.
LIBRARIES = "import ipywidgets, numpy, soundfile, verovio"
EXPLORER = "from theorykit.widgets import explorer"


@cache
def kept_bytecode() -> tempfile.TemporaryDirectory[str]:
    """Where compiled modules are kept, as they are for a reader; it goes with this process."""
    return tempfile.TemporaryDirectory(prefix="theorykit-bytecode-")


def start(statement: str) -> None:
    """Start Python in the root of the repository and run one statement."""
    kept = {"PYTHONDONTWRITEBYTECODE": "", "PYTHONPYCACHEPREFIX": kept_bytecode().name}
    env = {**os.environ, **kept}
    subprocess.run([sys.executable, "-c", statement], cwd=ROOT, env=env, check=True)


BENCHES = (
    Bench(
        name="import theorykit, against python -c pass",
        candidate=lambda: start("import theorykit"),
        reference=lambda: start("pass"),
        goal=adds_at_most(0.060),
        rounds=30,
    ),
    Bench(
        name="import the explorer, against the libraries it needs",
        candidate=lambda: start(EXPLORER),
        reference=lambda: start(LIBRARIES),
        goal=at_most_times(1.8),
        rounds=15,
    ),
    Bench(
        name="import every desk, against the libraries they need",
        candidate=lambda: start("from theorykit.widgets import *"),
        reference=lambda: start(LIBRARIES),
        goal=at_most_times(2.5),
        rounds=15,
    ),
    Bench(
        name="the first explorer with its players, against the libraries it needs",
        candidate=lambda: start(f"{EXPLORER}; explorer()"),
        reference=lambda: start(LIBRARIES),
        goal=at_most_times(3.0),
        rounds=15,
    ),
)
