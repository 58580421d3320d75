"""The band on whole choruses, counted as one would count along.

Sources of what is expected: Anders Friberg and Andreas Sundström, *Swing ratios and ensemble timing
in jazz performance*, Music Perception 19, 2002 (soloist and drummer do not coincide); the rest is
common practice.
"""

from __future__ import annotations

from bisect import bisect
from collections.abc import Iterator
from functools import cache
from itertools import pairwise
from statistics import correlation, mean

import pytest
from house import ROOT

from theorykit.lines.band.comping import rubs
from theorykit.lines.band.feels import CLOSED_HI_HAT, RIDE
from theorykit.lines.chorus import perform_chorus, write_chorus
from theorykit.lines.parts import Performance, Sounding
from theorykit.tunes.charts import Chart
from theorykit.tunes.treatments import Treatment

TUNES = sorted((ROOT / "workbook" / "tunes").glob("*.txt"))
LONG, TOGETHER = 7 / 8, 1 / 4  # beats of a long note, and that two sound together

pytestmark = [
    pytest.mark.sweep,
    pytest.mark.parametrize("tune", TUNES, ids=lambda file: file.stem),
]


@cache
def choruses(tune) -> tuple[tuple[Chart, Performance], ...]:
    """Some choruses over a tune as the band plays them."""
    chart = Chart.parse(tune.read_text(encoding="utf-8"))
    treated = Treatment.proposed(chart)
    return tuple(
        (chart, perform_chorus(write_chorus(chart, treated, seed=seed), count_in=0, seed=seed))
        for seed in range(3)
    )


def of(name: str, played: Performance) -> tuple[Sounding, ...]:
    return next(part.notes for part in played.parts if part.name == name)


def bars_of_drums(chart: Chart, played: Performance) -> list[tuple[tuple[object, int], ...]]:
    """What is struck in each bar, where."""
    beats = chart.metre.beats * chart.metre.quarters
    bars: dict[int, list[tuple[object, int]]] = {}
    for note in of("drums", played):
        bars.setdefault(int(note.start // beats), []).append((note.start % beats, note.midi))
    return [tuple(sorted(bars[number])) for number in sorted(bars)]


def test_hardly_a_bar_of_drums_is_like_the_one_before(tune):
    for chart, played in choruses(tune):
        bars = bars_of_drums(chart, played)
        assert mean(one != other for one, other in pairwise(bars)) > 0.85


def test_the_line_does_not_fall_together_with_the_cymbal(tune):
    # To five milliseconds two onsets of three did, before players had hands of their own. With even
    # eighths both play on the grid, and only what they stray sets them apart.
    near = total = 0
    for _, played in choruses(tune):
        cymbals = sorted(
            played.begins(n) for n in of("drums", played) if n.midi in (RIDE, CLOSED_HI_HAT)
        )
        for note in of("line", played):
            begins = played.begins(note)
            at = bisect(cymbals, begins)
            near += any(abs(c - begins) <= 0.005 for c in cymbals[max(0, at - 1) : at + 1])
            total += 1
    even = choruses(tune)[0][1].swing == 1
    assert near < (0.6 if even else 0.25) * total


def test_the_height_of_a_line_is_heard_in_its_loudness(tune):
    found = [
        correlation([n.midi for n in line], [n.loudness for n in line])
        for line in (of("line", played) for _, played in choruses(tune))
    ]
    assert mean(found) > 0.3


def test_the_bass_stays_in_its_range_and_seldom_repeats_or_leaps(tune):
    for _, played in choruses(tune):
        midis = [note.midi for note in of("bass", played)]
        assert min(midis) >= 28  # E1, the open low string (common practice)
        assert max(midis) <= 55
        moves = [abs(after - before) for before, after in pairwise(midis)]
        assert moves.count(0) < 0.25 * len(moves)  # a bossa takes its root once more
        assert sum(move > 7 for move in moves) < 0.05 * len(moves)


def overlaps(played: Performance) -> Iterator[tuple[int, int]]:
    """The keys of the piano and of long notes of the line that sound together."""
    for note in of("line", played):
        if note.beats < LONG:
            continue
        for under in of("piano", played):
            ends = min(note.start + note.beats, under.start + under.beats)
            if ends - max(note.start, under.start) >= TOGETHER:
                yield under.midi, note.midi


def test_the_piano_lies_below_a_long_note_and_does_not_rub_it(tune):
    pairs = [pair for _, played in choruses(tune) for pair in overlaps(played)]
    assert pairs
    assert not [pair for pair in pairs if rubs(*pair)]
    assert mean(low < high for low, high in pairs) > 0.97
