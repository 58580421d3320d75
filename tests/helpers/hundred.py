"""A hundred choruses over the tunes of the workbook, in all keys, and what is counted in them."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from itertools import pairwise
from statistics import correlation

from house import ROOT

from theorykit.lines.band.feels import RIDE
from theorykit.lines.chorus import perform_chorus, write_chorus
from theorykit.lines.parts import Performance, Sounding
from theorykit.notes.key import KEYS
from theorykit.tunes.charts import Chart
from theorykit.tunes.treatments import Treatment

CHORUSES = 100
TEMPOS = (90, 120, 150, 190, 240)
TOGETHER = 0.12  # seconds that two notes sound together before one hears that they rub
RUB = (-1, 1, 13)  # half steps from a note of the piano up to one of the line


@dataclass(frozen=True, slots=True)
class Played:
    """One chorus: its tune, its feel, its bar in quarters, and who plays what."""

    name: str
    feel: str
    bar: Fraction
    performance: Performance

    def part(self, name: str) -> tuple[Sounding, ...]:
        """The notes of a part, without the count-in."""
        found = (part.notes for part in self.performance.parts if part.name == name)
        return tuple(note for note in next(found, ()) if not note.counts_in)


@cache
def hundred(count: int = CHORUSES) -> tuple[Played, ...]:
    """Return choruses: each another tune, key, tempo, feel and seed than the one before."""
    files = sorted((ROOT / "workbook" / "tunes").glob("*.txt"))
    charts = [Chart.parse(file.read_text(encoding="utf-8")) for file in files]
    return tuple(_one(charts[seed % len(charts)], seed) for seed in range(count))


def _one(chart: Chart, seed: int) -> Played:
    """Return the chorus of a seed."""
    keys = [key for key in KEYS if key.mode == chart.key.mode]
    moved = chart.transposed(keys[(5 * seed) % len(keys)])
    chorus = write_chorus(moved, Treatment.plain(moved), seed=seed)
    played = perform_chorus(chorus, tempo=TEMPOS[seed % len(TEMPOS)], count_in=0, seed=seed)
    bar = Fraction(chorus.line.progression.bars[0].beats)
    return Played(chart.title, chart.feel, bar, played)


def drum_bars(one: Played) -> list[tuple[tuple[Fraction, int], ...]]:
    """The bars of the drummer: what is struck where, loudness left out."""
    bars: dict[int, list[tuple[Fraction, int]]] = {}
    for note in one.part("drums"):
        bars.setdefault(int(note.start // one.bar), []).append((note.start % one.bar, note.midi))
    return [tuple(sorted(bar)) for bar in bars.values()]


def differing_bars(one: Played) -> float:
    """The share of the drummer's bars that are played otherwise than the bar before."""
    bars = drum_bars(one)
    return sum(a != b for a, b in pairwise(bars)) / max(1, len(bars) - 1)


def near_the_ride(one: Played, seconds: float = 0.005) -> tuple[int, int]:
    """How many notes of the line begin so near a stroke of the ride, of those written with one."""
    ride = {n.start: one.performance.begins(n) for n in one.part("drums") if n.midi == RIDE}
    both = [note for note in one.part("line") if note.start in ride]
    near = [n for n in both if abs(one.performance.begins(n) - ride[n.start]) <= seconds]
    return len(near), len(both)


def loudness_and_height(one: Played) -> float:
    """The correlation of how high and how loud the notes of the line are."""
    line = one.part("line")
    return correlation([note.midi for note in line], [note.loudness for note in line])


def bass_of(one: Played) -> tuple[Counter[int], int, int]:
    """How often the bass plays each key, how often twice in a row, and how many notes it has."""
    notes = one.part("bass")
    again = sum(a.midi == b.midi for a, b in pairwise(notes))
    return Counter(note.midi for note in notes), again, len(notes)


def rubs(one: Played, beats: float) -> tuple[int, int]:
    """How often the piano rubs, a half step or a minor ninth, under notes of so many beats.

    The other number is how often a note of the piano sounds under one of these.
    """
    found = all_of = 0
    piano = [(*_span(one, note), note.midi) for note in one.part("piano")]
    for note in one.part("line"):
        begins, ends = _span(one, note)
        if note.beats < beats:
            continue
        for at, end, midi in piano:
            if min(ends, end) - max(begins, at) > TOGETHER:
                all_of += 1
                found += note.midi - midi in RUB
    return found, all_of


def _span(one: Played, note: Sounding) -> tuple[float, float]:
    """When a note begins and ends, in seconds."""
    return one.performance.begins(note), one.performance.ends(note)


def figures(count: int = CHORUSES) -> Iterator[str]:
    """Yield what a hundred choruses say, a line for each question."""
    every = hundred(count)
    bars = [bar for one in every for bar in drum_bars(one)]
    yield f"drums: {len(bars)} bars, {len({*bars})} unlike; other than the bar before in " + str(
        round(sum(map(differing_bars, every)) / len(every), 3)
    )
    pairs = [near_the_ride(one) for one in every]
    near, both = (sum(pair[n] for pair in pairs) for n in (0, 1))
    yield f"line and ride: {near} of {both} within 5 ms, {near / both:.3f}"
    found = [loudness_and_height(one) for one in every]
    yield f"loudness and height of the line: {sum(found) / len(found):.2f}, least {min(found):.2f}"
    loud = {note.loudness for one in every for note in one.part("line")}
    yield f"loudness of the line: {len(loud)} degrees from {min(loud)} to {max(loud)}"
    keys: Counter[int] = Counter()
    again = whole = 0
    for one in every:
        own, more, notes = bass_of(one)
        keys, again, whole = keys + own, again + more, whole + notes
    yield f"bass: {whole} notes, {min(keys)} to {max(keys)}, {again} repeat the one before"
    for beats in (0.4, 0.875):
        rubbing = [rubs(one, beats) for one in every]
        wrong, all_of = (sum(pair[n] for pair in rubbing) for n in (0, 1))
        yield f"piano under notes of {beats:g} beats and more: {wrong} of {all_of} rub"


if __name__ == "__main__":
    print(*figures(), sep="\n")
