"""Charts read and analysed: a thousand of 32 bars, and the growth from 10 to 10,000 bars."""

import random
from functools import partial

from measure import Bench, at_most_times, median_at_most

from theorykit.tunes.cadences import cadences, functions
from theorykit.tunes.charts import Chart, chart_problems

# Bars that tunes are made of: cadences long and short, chains, substitutes, chords at rest.
CELLS = (
    ("Dm7 G7", "Cmaj7"), ("Gm7", "C7", "Fmaj7", "%"), ("Bm7b5 E7", "Am6"), ("Fm7 Bb7", "C6"),
    ("Em7 A7", "Dm7 G7"), ("Abm7 Db7", "Cmaj7"), ("D7", "G7sus4 G7"), ("C7", "F7", "C7", "%"),
    ("Cm7", "F7", "Bbmaj7", "Ebmaj7"), ("F#m7b5", "B7b9", "Em7"), ("Cmaj7 / / A7", "Dm7 G7"),
)  # fmt: skip


def text(bars: int, seed: int) -> str:
    """Write a chart of so many bars."""
    draw = random.Random(seed)
    found: list[str] = []
    while len(found) < bars:
        found += draw.choice(CELLS)
    rows = [" | ".join(found[start : min(start + 4, bars)]) for start in range(0, bars, 4)]
    return f"title: Number {seed}\nkey: C\n\n" + "\n".join(f"| {row} |" for row in rows)


def read_and_analyse(texts: list[str]) -> int:
    """Return how many cadences there are in charts."""
    return sum(len(cadences(Chart.parse(one))) for one in texts)


THOUSAND = [text(32, seed) for seed in range(1000)]
ONE_OF_10_000 = [text(10_000, 1)]
TEN_OF_1000 = [text(1000, seed) for seed in range(10)]
THOUSAND_OF_10 = [text(10, seed) for seed in range(1000)]


def with_jump(bars: int) -> str:
    """Write a chart of so many bars and four more, with D.S. al Coda."""
    row = "| Dm7 G7 | C | Am7 D7 | F |\n" * (bars // 4)
    return f"key: C\n| segno C | F to coda |\n{row}| C D.S. al coda |\n| coda C |\n"


def play(texts: list[str]) -> int:
    """Read charts and follow their jumps; return how many bars are played."""
    return sum(len(Chart.parse(one).played_bars) for one in texts)


SIXTY_FOUR = Chart.parse(text(64, 1))
JUMPS_OF_10_000, JUMPS_OF_1000 = [with_jump(10_000)], [with_jump(1000)] * 10
# A hundred kilobytes of what takes a reader of charts longest.
LONG = [(piece * 100_000)[:100_000] for piece in ("|: C :| x9", "| C fine", "|: | ", "C/")]


def refuse_or_read() -> int:
    """Look for what is wrong in long texts; return how much was found."""
    return sum(len(chart_problems(one)) for one in LONG)


def all_bars_read() -> None:
    """Raise where the charts do not have the bars that they are measured for."""
    for texts in (ONE_OF_10_000, TEN_OF_1000, THOUSAND_OF_10):
        bars = sum(len(Chart.parse(one).bars) for one in texts)
        if bars != 10_000:
            raise ValueError(f"{bars} bars (want 10000)")


BENCHES = (
    Bench(
        name="1,000 charts of 32 bars read and analysed",
        candidate=partial(read_and_analyse, THOUSAND),
        reference=None,
        goal=median_at_most(3.0),
        rounds=3,
    ),
    Bench(
        name="the job of every chord of 64 bars",
        candidate=partial(functions, SIXTY_FOUR),
        reference=None,
        goal=median_at_most(0.03),
        rounds=25,
    ),
    Bench(
        name="one chart of 10,000 bars, against ten of 1,000",
        candidate=partial(read_and_analyse, ONE_OF_10_000),
        reference=partial(read_and_analyse, TEN_OF_1000),
        goal=at_most_times(1.5),
        rounds=7,
        check=all_bars_read,
    ),
    Bench(
        name="ten charts of 1,000 bars, against a thousand of 10",
        candidate=partial(read_and_analyse, TEN_OF_1000),
        reference=partial(read_and_analyse, THOUSAND_OF_10),
        goal=at_most_times(1.5),
        rounds=7,
    ),
    Bench(
        name="10,000 bars with D.S. al Coda, against ten times 1,000",
        candidate=partial(play, JUMPS_OF_10_000),
        reference=partial(play, JUMPS_OF_1000),
        goal=at_most_times(1.5),
        rounds=5,
    ),
    Bench(
        name="four texts of a hundred kilobytes read or refused",
        candidate=refuse_or_read,
        reference=None,
        goal=median_at_most(4.0),
        rounds=3,
    ),
)
