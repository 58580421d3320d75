"""Plausibility: written lines beside played ones. Run ``python -m theorykit.lines.plausibility``.

Lines are written in all keys, colours and forms, and what can be counted in them is counted as it
was in transcribed solos (Weimar Jazz Database, Open Database License 1.0): intervals, last notes,
degrees and contours; where notes begin and how long they last, rests and phrases; repeated notes,
leaps and what follows. Beside each divergence stands that of one half of the solos from the other,
the floor.
"""

from __future__ import annotations

import sys
from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from itertools import pairwise, product
from math import log2
from random import Random

from theorykit.harmony.colours import COLOURS, Colour
from theorykit.harmony.counts import RHYTHM_COUNTS, SHARES, RhythmCounts, tally
from theorykit.harmony.tensions import TENSION_NAMES
from theorykit.lines.chord_palette import palettes
from theorykit.lines.phrase_counts import DOUBLE_TIME, PhraseCounts
from theorykit.lines.text import Line
from theorykit.lines.writing import Wishes, accidental_repeats, broken_rules, write_lines
from theorykit.notes.chord import Chord
from theorykit.notes.key import KEYS
from theorykit.tunes.progression import FORMS, two_five_one

__all__ = ["written_everywhere"]

LINES = 1000
MOST_DIVERGENCE = 0.010  # Jensen-Shannon, base 2, of the intervals
MOST_APART = {"places in the bar": 0.03, "lengths inside phrases": 0.03}  # double time left out
FEWEST_ENDINGS = 0.83  # as published: last notes on 1, 3, 5, 7 and 9 of I
GOOD_ENDINGS = (1, 3, 5, 7, 9)
GUIDES = (3, 4, 7)
OCTAVE = 12
# What three notes in a row may do; that all three are the same is against the rules of the writer.
CONTOURS = tuple(pair for pair in product((-1, 0, 1), repeat=2) if pair != (0, 0))


@dataclass(frozen=True, slots=True)
class Plausibility:
    """What was counted in written lines.

    ``intervals`` counts moves by their signed size in half steps, ``endings`` last notes by the
    number of their degree over I, ``degrees`` notes over V by half steps above its root,
    ``contours`` pairs of moves by direction, ``broken`` rules that some line broke; ``phrases`` has
    the counts of rhythm and shape; ``repeats`` are notes that come again by accident, ``doubles``
    double accidentals; ``heard`` are the lines in which the 3rd or 7th of V sounds.
    """

    lines: int
    intervals: Counter[int]
    endings: Counter[int]
    degrees: Counter[int]
    contours: Counter[tuple[int, int]]
    broken: Counter[str]
    phrases: PhraseCounts = field(default_factory=PhraseCounts)
    repeats: int = 0
    doubles: int = 0
    heard: int = 0

    @property
    def divergence(self) -> float:
        """The Jensen-Shannon divergence, base 2, of the intervals from those of solos."""
        sizes = Counter[str]()
        for size, count in self.intervals.items():
            sizes[str(abs(size)) if abs(size) <= OCTAVE else "more than 12"] += count
        played = tally("intervals inside phrases")
        return divergence([sizes[label] for label in played.labels], played.counts)

    def apart(self, row: RhythmCounts) -> float:
        """Return the divergence of one table of rhythm and shape, double time left out."""
        kept = [n for n, label in enumerate(row.labels) if label not in DOUBLE_TIME]
        mine = self.phrases.tables.get(row.name, Counter())
        counts = [mine[row.labels[n]] for n in kept]
        return divergence(counts, [row.counts[n] for n in kept]) if any(counts) else 1.0

    @property
    def endings_share(self) -> float:
        """The share of last notes on 1, 3, 5, 7 or 9 of I."""
        return sum(self.endings[n] for n in GOOD_ENDINGS) / self.endings.total()

    @property
    def absent(self) -> tuple[str, ...]:
        """What players use and no line had: intervals, degrees over V, contours.

        An octave down is not missed: it is how a line gets back into its range. Nor is a major
        seventh down, a half step turned round: teachers hear it as a slip.
        """
        wanted = range(-OCTAVE + 2, OCTAVE + 1)
        sizes = [f"interval {n:+d}" for n in wanted if not self.intervals[n]]
        names = [f"degree {d}" for d in TENSION_NAMES if not self.degrees[d.semitone]]
        ways = {-1: "down", 0: "again", 1: "up"}
        shapes = [f"{ways[a]} {ways[b]}" for a, b in CONTOURS if not self.contours[a, b]]
        return tuple(sizes + names + shapes)

    @property
    def shares(self) -> tuple[tuple[str, float, float], ...]:
        """Shares of moves and phrases: what, in these lines, in the solos, which is the most."""
        ends = self.phrases.tables.get("notes in a phrase", Counter[str]()).total()
        mine = (
            *(self.phrases.share(widest) for widest in (0, 7, 10)),
            self.phrases.repeated_ends / max(1, ends),
        )
        return tuple((name, share, SHARES[name]) for name, share in zip(SHARES, mine, strict=True))

    @property
    def words(self) -> str:
        """The figures as lines of text."""
        return "\n".join(
            (
                f"{self.lines} lines, {self.intervals.total()} intervals",
                f"Jensen-Shannon divergence of the intervals: {self.divergence:.4f} "
                f"(at most {MOST_DIVERGENCE})",
                *map(self._apart_words, RHYTHM_COUNTS),
                *(
                    f"{name}: {mine:.1%} (in solos {played:.1%})"
                    for name, mine, played in self.shares
                ),
                f"last notes on 1, 3, 5, 7, 9 of I: {self.endings_share:.1%} "
                f"(at least {FEWEST_ENDINGS:.0%})",
                f"3rd or 7th of V heard in {self.heard} of {self.lines} lines (all)",
                f"accidental repeats: {self.repeats}; double accidentals: {self.doubles} (none)",
                f"absent: {', '.join(self.absent) or 'nothing that players use'}",
                f"broken rules: {', '.join(self.broken) or 'none'}",
            )
        )

    def _apart_words(self, row: RhythmCounts) -> str:
        """Say how far one table is from the solos, with its goal and its floor."""
        goal = f"at most {MOST_APART[row.name]}, " if row.name in MOST_APART else ""
        return f"{row.name}: {self.apart(row):.4f} ({goal}floor {row.floor})"

    @property
    def holds(self) -> bool:
        """True where all figures are as they should be."""
        near = self.divergence < MOST_DIVERGENCE and self.endings_share >= FEWEST_ENDINGS
        timed = all(
            self.apart(row) < MOST_APART[row.name]
            for row in RHYTHM_COUNTS
            if row.name in MOST_APART
        )
        modest = all(mine <= played for _, mine, played in self.shares)
        clean = not (self.repeats or self.doubles or self.absent or self.broken)
        return near and timed and modest and clean and self.heard == self.lines


def divergence(one: Sequence[int], other: Sequence[int]) -> float:
    """Return the Jensen-Shannon divergence of two rows of counts, base 2: 0 alike, 1 apart.

    >>> divergence([1, 1], [2, 2]), divergence([1, 0], [0, 1])
    (0.0, 1.0)
    """
    p, q = ([count / sum(row) for count in row] for row in (one, other))
    middle = [(a + b) / 2 for a, b in zip(p, q, strict=True)]
    return sum(_relative(row, middle) for row in (p, q)) / 2


def _relative(row: Iterable[float], middle: Iterable[float]) -> float:
    """Return the relative entropy of a row in bits."""
    return sum(a * log2(a / m) for a, m in zip(row, middle, strict=True) if a)


def written_everywhere(count: int, seed: int = 0) -> Iterator[tuple[Line, Colour | None]]:
    """Write lines through all keys, forms and colours that suit the key, in a mixed order."""
    rng = Random(seed)
    settings = [
        (key, form, row)
        for key, form, row in product(KEYS, FORMS, (None, *COLOURS))
        if row is None or row.suits(key.mode)
    ]
    for number in range(count):
        if number % len(settings) == 0:
            rng.shuffle(settings)
        key, form, row = settings[number % len(settings)]
        over = two_five_one(key, form)
        yield write_lines(over, row, count=1, seed=rng.randrange(1 << 30))[0], row


def measure(count: int = LINES, seed: int = 0) -> Plausibility:
    """Return what is counted in so many written lines."""
    return measured(written_everywhere(count, seed))


def measured(lines: Iterable[tuple[Line, Colour | None]]) -> Plausibility:
    """Return what is counted in lines, each given with its colour."""
    found = Plausibility(0, Counter(), Counter(), Counter(), Counter(), Counter())
    total = repeats = doubles = heard = 0
    for line, row in lines:
        total += 1
        _count(found, line, row)
        repeats += accidental_repeats(line)
        heard += _is_heard(line)
        doubles += sum(abs(note.pitch.note.alteration) > 1 for note in line.notes)
    return replace(found, lines=total, repeats=repeats, doubles=doubles, heard=heard)


def _count(found: Plausibility, line: Line, row: Colour | None) -> None:
    """Add one line to the counts."""
    found.phrases.add(line)
    midis = [note.pitch.midi for note in line.notes]
    sizes = [b - a for a, b in pairwise(midis)]
    found.intervals.update(sizes)
    ways = [(size > 0) - (size < 0) for size in sizes]
    found.contours.update(pairwise(ways))
    chords = palettes(line.progression, row)
    for chord in chords:
        if chord.resolves:
            root = chord.placed.chord.root.semitone
            over = (n for n in line.notes if chord.placed.start <= n.start < chord.placed.end)
            found.degrees.update((note.pitch.midi - root) % 12 for note in over)
    found.endings[_number(midis[-1], chords[-1].placed.chord)] += 1
    found.broken.update(broken_rules(line, row, Wishes().compass))


def _is_heard(line: Line) -> bool:
    """Tell whether a 3rd or 7th, or the 4 of a suspension, sounds over each dominant that goes on.

    >>> from theorykit.tunes.progression import two_five_one
    >>> over = two_five_one("C", "short")
    >>> lines = (f"half D5 8th {one} D5 A4 G4 | whole E4" for one in ("B4", "C5"))
    >>> [_is_heard(Line.parse(line, over)) for line in lines]
    [True, False]
    """
    return all(
        any(
            (note.pitch.midi - chord.placed.chord.root.semitone) % OCTAVE == degree.semitone
            for degree in chord.placed.chord.degrees
            if degree.number in GUIDES
            for note in line.notes
            if note.end > chord.placed.start and note.start < chord.placed.end
        )
        for chord in palettes(line.progression, None)
        if chord.resolves
    )


def _number(midi: int, chord: Chord) -> int:
    """Return the number of the degree of a last note, 0 for one that is no member of I."""
    sound = (midi - chord.root.semitone) % 12
    own = {degree.semitone: degree.number for degree in chord.degrees}
    return ({2: 9, 9: 13, 11: 7} | own).get(sound, 0)


def main(arguments: Sequence[str]) -> int:
    """Measure and print; return 0 where all figures hold."""
    count = int(arguments[0]) if arguments else LINES
    found = measure(count, int(arguments[1]) if len(arguments) > 1 else 0)
    print(found.words)
    return 0 if found.holds else 1


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
