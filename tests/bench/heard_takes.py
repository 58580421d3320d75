"""Takes that another synthesizer plays, taken down and compared with what was played.

    python tests/bench/heard_takes.py [--seeds 0 2] [--hard] [--names NAME ...] [--tempos T ...]
        [--cache FOLDER] [--soundfont FILE] [--told]

Of each instrument a take at each tempo (``tests/helpers/played_takes.py``). Printed are F1 by
``mir_eval`` (onset 50 ms, pitch 50 cents), the faults by their kind, and the bars whose rhythm is
right: by instrument, by tempo and over all. The numbers of the library were set on takes of even
seeds; odd ones are for the last look. Sounds are kept in the folder of ``--cache``. It needs
``mir_eval``, ``fluidsynth`` and a SoundFont other than those that the ear was trained on.
"""

from __future__ import annotations

import argparse
import sys
import tempfile
import time
from collections.abc import Sequence
from itertools import product
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[1] / "helpers"))

from judged_takes import Judged, judged
from played_takes import BARS, LOWEST, RATE, START, TEMPOS, Take, bare, form, take, with_all

from theorykit.lines.taking import compass_of, taken_line
from theorykit.show.listening.heard_notes import heard_notes

SOUNDFONTS = ("/usr/share/sounds/sf2/FluidR3_GM.sf2", "/usr/share/sounds/sf2/TimGM6mb.sf2")
KINDS = ("octave", "pitch", "late or early", "missed repeat", "missed", "too much")


def sound(one: Take, seed: int, wishes: argparse.Namespace) -> np.ndarray:
    """The sound of a take, from the folder of sounds if it is there."""
    name = f"{Path(wishes.soundfont).stem} {one.name} {one.tempo} {seed} {'hard' * wishes.hard}.npy"
    kept = wishes.cache and Path(wishes.cache) / name.replace(" ", "_")
    if kept and kept.is_file():
        return np.load(kept).astype(np.float64)
    with tempfile.TemporaryDirectory() as folder:
        wave = (with_all if wishes.hard else bare)(one, wishes.soundfont, Path(folder))
    if kept:
        np.save(kept, wave.astype(np.float32))
    return wave.astype(np.float32).astype(np.float64)


def heard(one: Take, wave: np.ndarray, named: bool) -> tuple[Judged, float]:
    """A take, taken down and judged; the seconds of a processor for a second of sound."""
    begun = time.process_time()
    found = heard_notes(wave, RATE, compass_of(one.name) if named else None, one.tempo)
    written = taken_line(found.notes, form(), tempo=one.tempo, start=START).line
    spent = (time.process_time() - begun) / (len(wave) / RATE)
    rows = [(n.start, n.end, n.midi) for n in found.notes]
    return judged(one.notes, rows, one.places, [n.start for n in written], BARS), spent


def row(name: str, found: Sequence[Judged]) -> str:
    """A line of a table."""
    whole = sum(found[1:], found[0])
    faults = "  ".join(f"{whole.faults[kind]:{len(kind)}}" for kind in KINDS)
    figures = f"{whole.measure:.3f}  {whole.precision:.3f}  {whole.recall:.3f}"
    return f"{name:20} {figures}  {whole.bars[0] / whole.bars[1]:5.3f}  {faults}"


def main() -> None:
    """Print a row for each instrument, each tempo and all."""
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--seeds", type=int, nargs="+", default=[0])
    parser.add_argument("--hard", action="store_true")
    parser.add_argument("--names", nargs="+", default=sorted(LOWEST))
    parser.add_argument("--tempos", type=int, nargs="+", default=TEMPOS)
    parser.add_argument("--unnamed", action="store_true", help="do not say which instrument it is")
    parser.add_argument("--cache")
    parser.add_argument("--told", action="store_true", help="a row for each take too")
    there = next((name for name in SOUNDFONTS if Path(name).is_file()), "")
    parser.add_argument("--soundfont", default=there)
    wishes = parser.parse_args()
    found, spent = {}, []
    print(f"{'':20} F1     P      R      bars   {'  '.join(KINDS)}")
    for name, tempo, seed in product(wishes.names, wishes.tempos, wishes.seeds):
        one = take(name, tempo, seed)
        found[name, tempo, seed], seconds = heard(one, sound(one, seed, wishes), not wishes.unnamed)
        spent.append(seconds)
        if wishes.told:
            print(
                row(f"{name[:11]} {tempo} {seed} {one.swing}", [found[name, tempo, seed]]),
                flush=True,
            )
    for place, kinds in ((0, wishes.names), (1, wishes.tempos)):
        for kind in kinds:
            print(row(str(kind), [one for key, one in found.items() if key[place] == kind]))
    print(row("all", [*found.values()]))
    print(f"{np.mean(spent):.3f} s of a processor for a second of sound")


if __name__ == "__main__":
    main()
