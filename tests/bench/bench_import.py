"""What ``import theorykit`` costs a Python that starts."""

import subprocess
import sys

from house import ROOT
from measure import Bench, adds_at_most


def start(statement: str) -> None:
    """Start Python in the root of the repository and run one statement."""
    subprocess.run([sys.executable, "-c", statement], cwd=ROOT, check=True)


BENCHES = (
    Bench(
        name="import theorykit, against python -c pass",
        candidate=lambda: start("import theorykit"),
        reference=lambda: start("pass"),
        goal=adds_at_most(0.060),
        rounds=30,
    ),
)
