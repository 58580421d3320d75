"""Writing lines, reading them, and keeping them: what a keystroke or a click waits for.

Nothing is kept between rounds but what the library itself keeps; each round of writing has another
seed, and each round of reading another line.
"""

from itertools import count, cycle
from pathlib import Path
from tempfile import TemporaryDirectory

from measure import Bench, p95_at_most

from theorykit.lines.reading import read_line
from theorykit.lines.text import Line
from theorykit.lines.writing import write_lines
from theorykit.notes.key import KEYS, Key
from theorykit.study.phrasebook import PhraseBook
from theorykit.tunes.progression import Progression, two_five_one

SEEDS = count()
SPLIT = two_five_one("C", "split")
LONG_KEYS = [str(key.tonic) for key in KEYS if not key.is_minor][:12]
COLOURS = cycle(("altered", "b9 13", "half-whole diminished", "b9", None))


def whole_line(seed: int) -> Line:
    """Write 32 bars: a split cadence and another bar of I in eight keys, one after the other."""
    notes, bars = [], []
    for number, tonic in enumerate(LONG_KEYS[:8]):
        over = two_five_one(tonic, "split")
        over = Progression(over.key, (*over.bars, over.bars[-1]))
        line = write_lines(over, "b9 13", count=1, seed=seed + number)[0]
        before = sum((bar.beats for bar in bars), start=over.beats - over.beats)
        notes += [type(n)(n.pitch, n.start + before, n.beats) for n in line.notes]
        bars += over.bars
    return Line(Progression(Key.parse("C"), tuple(bars)), tuple(notes))


LINES = cycle([whole_line(seed) for seed in range(6)])
FOLDER = TemporaryDirectory()
BOOK = PhraseBook(Path(FOLDER.name) / "bench.phrases")
KEPT = write_lines(SPLIT, "b9", count=1)[0]


def is_32_bars() -> None:
    """Raise where the line to be read is not as long as it should be, three notes a bar."""
    line = next(LINES)
    if len(line.progression.bars) != 32 or len(line.notes) < 96:
        raise ValueError(f"{len(line.progression.bars)} bars, {len(line.notes)} notes")


BENCHES = (
    Bench(
        name="write five lines over a split ii-V-I",
        candidate=lambda: write_lines(SPLIT, next(COLOURS), count=5, seed=next(SEEDS)),
        reference=None,
        goal=p95_at_most(0.150),
        rounds=40,
    ),
    Bench(
        name="read a line of 32 bars",
        candidate=lambda: read_line(next(LINES)),
        reference=None,
        goal=p95_at_most(0.020),
        rounds=40,
        check=is_32_bars,
    ),
    Bench(
        name="read a line of 32 bars from text",
        candidate=lambda: Line.parse((line := next(LINES)).text, line.progression),
        reference=None,
        goal=p95_at_most(0.020),
        rounds=40,
    ),
    Bench(
        name="keep a phrase in the phrase book",
        candidate=lambda: BOOK.keep(f"line {next(SEEDS)}", KEPT, colour="b9"),
        reference=None,
        goal=p95_at_most(0.100),
        rounds=20,
    ),
)
