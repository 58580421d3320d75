"""Run the benches and print a table: ``python tests/bench/run.py [--quick] [part of a name ...]``.

Every file ``bench_*.py`` beside this one holds a tuple ``BENCHES``. The exit code is 1 where a goal
is missed; with ``--quick``, which runs too few rounds to judge, it is 0 as long as all of them run.
"""

from __future__ import annotations

import argparse
import importlib
import sys
from pathlib import Path

HERE = Path(__file__).resolve().parent
QUICK = 2  # rounds


def main(arguments: list[str]) -> int:
    """Run what was asked for; return the exit code."""
    parser = argparse.ArgumentParser(description="Measure theorykit against its yardsticks.")
    parser.add_argument("--quick", action="store_true", help=f"run {QUICK} rounds, judge nothing")
    parser.add_argument("names", nargs="*", help="run only benches whose name holds one of these")
    asked = parser.parse_args(arguments)

    sys.path[:0] = [str(HERE), str(HERE.parent / "helpers"), str(HERE.parents[1])]
    measure = importlib.import_module("measure")
    files = sorted(HERE.glob("bench_*.py"))
    benches = [bench for file in files for bench in importlib.import_module(file.stem).BENCHES]
    chosen = [b for b in benches if not asked.names or any(n in b.name for n in asked.names)]
    if not chosen:
        parser.error(f"no bench is called so (there are: {', '.join(b.name for b in benches)})")

    results = [(bench, bench.run(QUICK if asked.quick else None)) for bench in chosen]
    print(measure.table(results))
    missed = [bench.name for bench, comparison in results if not bench.goal.met(comparison)]
    return 1 if missed and not asked.quick else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
